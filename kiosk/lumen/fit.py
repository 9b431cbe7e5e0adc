"""Which swab head and which scope fit a bore, and how far they reach along a lumen."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Kit, Lumen, Mm, Scope, Swabs
from kiosk.core.plan import Ends
from kiosk.core.vocabulary import Feature, Opening

_BEST_FIRST: tuple[Ends, ...] = ("one end", "both ends", "part")


@dataclass(frozen=True, slots=True, kw_only=True)
class Reach:
    """How far a tool gets. `short_mm` counts only with "part", and may pass the length when the reach is tiny."""

    ends: Ends
    short_mm: Mm = Decimal(0)

    def missed_mm(self, length_mm: Mm) -> Mm:
        """Millimeters of the lumen out of reach, at most its length."""
        return min(self.short_mm, length_mm)


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeFit:
    """A scope that goes in, and how far it gets."""

    scope: Scope
    reach: Reach


def is_blind(lumen: Lumen) -> bool:
    """Open at one end only; a record that says "blind" is believed over one that says "open both"."""
    return lumen.open is Opening.ONE or Feature.BLIND in lumen.features


def reach(reach_mm: Mm, length_mm: Mm, *, blind: bool, overlap_mm: Mm) -> Reach:
    """All from one end; else all from both ends with the overlap; else part of it, so many millimeters short."""
    if reach_mm >= length_mm:
        return Reach(ends="one end")
    if blind:
        return Reach(ends="part", short_mm=length_mm - reach_mm)
    short = length_mm + overlap_mm - 2 * reach_mm
    return Reach(ends="both ends") if short <= 0 else Reach(ends="part", short_mm=short)


def swab_head(swabs: Swabs, inside_mm: Mm) -> Mm | None:
    """The smallest head not thinner than the bore and at most `max_over` times it; None: no head fits."""
    limit = swabs.max_over * inside_mm
    return min((head for head in swabs.heads_mm if inside_mm <= head <= limit), default=None)


def scopes_in_use(kit: Kit, out_of_use: Iterable[str]) -> tuple[Scope, ...]:
    """The bench's scopes in its order of preference, less those taken out of use."""
    gone = frozenset(out_of_use)
    return tuple(scope for scope in kit.scopes if scope.id not in gone)


def best_scope(
    scopes: Iterable[Scope],
    inside_mm: Mm,
    length_mm: Mm,
    *,
    curved: bool,
    blind: bool,
    fit_ratio: Decimal,
    overlap_mm: Mm,
) -> ScopeFit | None:
    """The scope that fits and reaches best: full, both ends, part, then least short, then the order given."""
    fits = (
        ScopeFit(scope=scope, reach=reach(scope.reach_mm, length_mm, blind=blind, overlap_mm=overlap_mm))
        for scope in scopes
        if scope.od_mm <= fit_ratio * inside_mm and (scope.bends or not curved)
    )
    return min(fits, key=lambda fit: (_BEST_FIRST.index(fit.reach.ends), fit.reach.short_mm), default=None)
