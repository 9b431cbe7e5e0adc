"""What the rules and the views both ask about stills: which lumen is before the lens, was its check answered.

A known look and outlines are shown only after the answer, so that they cannot lead it: `answered` says when.
"""

from collections.abc import Mapping

from kiosk.core.agenda import Step
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import Piece
from kiosk.core.state.trip import Trip
from kiosk.core.still import KnownLook, StillOn
from kiosk.core.vocabulary import Check

NO_REASONS = ("no_scope", "too_dark", "no_time")
"""Why there is no picture; the words are those of a finding's picture."""

TARGET_STEPS = frozenset({"startup", "scan"})
"""Steps at which the scopes' test target may be read: before a tray lies on the bench."""


def before_the_lens(trip: Trip | None, step: Step) -> tuple[str, str, int] | None:
    """Piece, lumen and finding (0 for none) that a picture taken now is of; None where none is taken."""
    if trip is None:
        return None
    if step.kind == "check" and step.check is not None and step.check.check is Check.SCOPE:
        return step.piece, step.check.lumen, 0
    if step.kind == "decide" and step.task is not None:
        found = trip.finding(step.task.n)
        return found.piece, found.key.rpartition(".")[0], found.n
    return None


def scope_of(piece: Piece, lumen: str) -> str:
    """The scope that the plan asks for in this lumen, or ""."""
    return next((c.tool for c in piece.plan.checks if c.check is Check.SCOPE and c.lumen == lumen), "")


def of_lumen(trip: Trip, piece: str, lumen: str) -> tuple[StillOn, ...]:
    """The stills of one lumen on this trip, in their order."""
    return tuple(still for still in trip.stills if (still.piece, still.lumen) == (piece, lumen))


def answered(trip: Trip, name: str, lumen: str) -> str:
    """How the scope check of this lumen was answered: yes, no, or "" while it is open, at either end.

    A NO that can be taken back still counts as open until its finding is decided: a picture must not lead it back.
    """
    piece, key = trip.pieces.get(name), f"{lumen}.{Check.SCOPE}"
    if piece is None or (trip.asking is not None and (trip.asking.piece, trip.asking.key) == (name, key)):
        return ""
    found = [f for f in trip.findings if (f.piece, f.key) == (name, key) and not f.put_right]
    if found:
        return "no" if all(f.decided for f in found) else ""
    planned = any(check.key == key for check in piece.plan.checks)
    still_open = any(check.key == key for check in piece.open_checks())
    return "yes" if planned and not still_open else ""


def look_key(trip: Trip, piece: Piece, lumen: str) -> str:
    """Whose known look it is: of the piece by its own mark, or of its line in this tray where it carries none."""
    return f"mark {piece.mark} {lumen}" if piece.mark else line_key(trip.tray.code, piece.plan.item, lumen)


def line_key(tray: str, item: str, lumen: str) -> str:
    """The known look of a line."""
    return f"line {tray}/{item} {lumen}"


def known_look(bench: Bench, others: Mapping[str, Bench], trip: Trip, still: StillOn) -> KnownLook | None:
    """The look that a second person accepted last, here or at a station beside; never the still itself.

    None too while the check is open: it must not lead the answer.
    """
    if not answered(trip, still.piece, still.lumen):
        return None
    key = look_key(trip, trip.pieces[still.piece], still.lumen)
    found = (each.looks.get(key) for each in (bench, *others.values()))
    looks = [look for look in found if look is not None and look.sha256 != still.sha256]
    return max(looks, key=_when, default=None)


def _when(look: KnownLook) -> int:
    return look.at_ms
