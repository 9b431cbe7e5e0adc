"""People hurt or splashed, and everything stopped at once. What concerns a person carries neither name nor trip."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class AllStopped:
    """Leak, pest, alarm: every tray open at this bench is marked exposed and held; a supervisor decides later.

    `began_ms`: when it was touched (Unix ms), at this bench or at the one named by `heard`.
    """

    began_ms: int
    heard: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposedRuled:
    """The supervisor's ruling on a tray that was marked exposed. `reason`: covered, not_reached; "" when it goes back.

    A tray that goes back has its ticket in `tray_back`.
    """

    back: bool
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class HitMarked:
    """After a splash: this open tray was hit, or it was covered and was not."""

    hit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureCleared:
    """Somebody said which open trays were hit. `kind`: splash, sharps or none."""

    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchSoiled:
    """The bench is to be cleaned before anything else on it, whatever lies there."""

    level: str
    gloves: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class SharpSecured:
    """The sharp that hurt somebody is where it can hurt nobody else."""


@dataclass(frozen=True, slots=True, kw_only=True)
class GloveTorn:
    """A glove tore: new ones before the next touch. Counted for nobody."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TurnedTo:
    """The bench turns to this tray, which went back with others: its papers are due."""


@dataclass(frozen=True, slots=True, kw_only=True)
class NotePrinted:
    """The exposure note of this number went to the printer; `copy` 0 is the first. What stands in it is kept apart."""

    n: int
    copy: int = 0


SafetyEvent = (
    AllStopped | ExposedRuled | HitMarked | ExposureCleared | BenchSoiled | SharpSecured | GloveTorn | TurnedTo
    | NotePrinted
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "all_stopped": Shipped(1, AllStopped, "hold"),
    "exposed_ruled": Shipped(1, ExposedRuled, "clear"),
    "hit_marked": Shipped(1, HitMarked, "hold"),
    "exposure_cleared": Shipped(1, ExposureCleared, "info"),
    "bench_soiled": Shipped(1, BenchSoiled, "hold"),
    "sharp_secured": Shipped(1, SharpSecured, "clear"),
    "glove_torn": Shipped(1, GloveTorn, "hold"),
    "turned_to": Shipped(1, TurnedTo, "info"),
    "note_printed": Shipped(1, NotePrinted, "info"),
}
