"""The rules of pictures: a still that lies on the disk, a reason for none, a look that a second person accepts."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.decide import checking
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.stills import NO_REASONS, TARGET_STEPS, answered, before_the_lens, scope_of


def keep(pen: Pen, command: c.KeepStill) -> None:
    """A still lies on the disk. Whatever was touched meanwhile, it belongs where it was frozen: nothing is lost."""
    trip = pen.bench.trips.get(command.trip)
    piece = trip.pieces.get(command.piece) if trip else None
    if trip is None or piece is None:
        raise Refused("refused.not_asked")
    if any(still.sha256 == command.sha256 for still in trip.stills):
        raise Refused("refused.still_kept")
    finding = _finding(pen, command)
    pen.write(
        e.StillKept(
            n=len(trip.stills) + 1,
            piece=command.piece,
            lumen=command.lumen,
            at_mm=command.at_mm,
            file=command.file,
            sha256=command.sha256,
            size=command.size,
            width=command.width,
            height=command.height,
            source=command.source,
            scope=scope_of(piece, command.lumen),
            finding=finding,
            quality=command.quality,
        ),
        trip=command.trip,
        who=command.taken_by,
    )
    if finding:
        checking.keep_photo(pen, c.KeepPhoto(file=command.file, sha256=command.sha256), who=command.taken_by)


def _finding(pen: Pen, command: c.KeepStill) -> int:
    """The finding that waits for this very picture now, or 0."""
    trip = pen.bench.trip
    if not command.finding or trip is None or trip.id != command.trip or pen.bench.who is None:
        return 0
    deciding = next((task.n for task in trip.tasks if task.kind == "decide"), 0)
    return command.finding if command.finding == deciding else 0


def give_none(pen: Pen, command: c.GiveNoStill) -> None:
    """No picture, with a reason."""
    here = before_the_lens(pen.trip, next_step(pen.bench, pen.desk))
    if here is None or here != (command.piece, command.lumen, 0) or command.reason not in NO_REASONS:
        raise Refused("refused.not_asked")
    pen.write(e.NoStill(piece=command.piece, lumen=command.lumen, reason=command.reason))


def accept(pen: Pen, command: c.AcceptLook) -> None:
    """A second person accepts a still as the known look: after the check's YES, and never one's own."""
    trip = pen.trip
    still = next((each for each in trip.stills if each.n == command.n), None)
    if still is None:
        raise Refused("refused.not_asked")
    said = answered(trip, still.piece, still.lumen)
    if said != "yes":
        raise Refused("refused.look_found" if said else "refused.answer_first")
    piece = trip.pieces[still.piece]
    answers = {yes.by for yes in piece.yes.get(f"{still.lumen}.scope", ())}
    if command.by in {still.by, pen.bench.who, *answers}:
        raise Refused("refused.same_person")
    pen.write(
        e.LookAccepted(
            n=still.n,
            piece=still.piece,
            lumen=still.lumen,
            file=still.file,
            sha256=still.sha256,
            at_mm=still.at_mm,
            tray=trip.tray.code,
            item=piece.plan.item,
            mark=piece.mark,
        ),
        who=command.by,
    )
    pen.say("notice.look_accepted")


def keep_target(pen: Pen, command: c.KeepTarget) -> None:
    """The test target was read: at the start of the work, of a scope of this bench. Nothing stops for it."""
    scopes = {scope.id for scope in pen.desk.catalogue.kit.scopes}
    if next_step(pen.bench, pen.desk).kind not in TARGET_STEPS or command.scope not in scopes:
        raise Refused("refused.not_asked")
    pen.write(e.ScopeTargetRead(scope=command.scope, figures=command.figures, shift=command.shift), off_trip=True)


def settle(pen: Pen) -> None:
    """Nothing follows by itself."""


RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.KeepStill: keep,
    c.GiveNoStill: give_none,
    c.AcceptLook: accept,
    c.KeepTarget: keep_target,
}
BY_NOBODY: tuple[type, ...] = (c.KeepStill,)
"""Commands that need nobody signed in: the disk may be slower than whoever signs out."""
OVERRIDES: tuple[Overridable, ...] = ()
