"""A doubt and the second person: the two words stand side by side, and together they say what becomes of the piece."""

from kiosk.core import events as e
from kiosk.core.agenda import end_now
from kiosk.core.commands import TakeSecondLook
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispose import nothing_comes_off
from kiosk.core.findings import DOUBTS
from kiosk.core.state.piece import TRAY, FindingOn
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Disposition

SAYS = ("soil", "not_sure", "scratch", "color_only", "clear")
"""What a second person may say; on the screen always in this order, whatever the first one said."""

NO_CLAIM = frozenset({"unsure", "picture_unclear"})
"""First words that say nothing: the second person's word then settles it, but for "not sure"."""


def waiting(trip: Trip) -> tuple[FindingOn, ...]:
    """The doubts of this trip that wait for a second person."""
    said = {look.n for look in trip.second_looks}
    told = {n for ticket in trip.tickets for n in ticket.findings}

    def waits(finding: FindingOn) -> bool:
        doubt = finding.code in DOUBTS and finding.decided and not (finding.put_right or finding.first)
        open_still = finding.n not in said | told
        out = trip.pieces[finding.piece].disposition is Disposition.SECOND_LOOK or finding.piece == TRAY
        return doubt and open_still and out

    return () if trip.ended else tuple(f for f in trip.findings if waits(f))


def take(pen: Pen, command: TakeSecondLook) -> None:
    """The second person's word. Never from whoever found it, nor from whoever is signed in."""
    finding = next((f for f in waiting(pen.trip) if f.n == command.n), None)
    if finding is None or command.says not in SAYS:
        raise Refused("refused.not_asked")
    if command.by in {finding.by, pen.bench.who}:
        raise Refused("refused.same_person")
    pen.write(e.SecondLookDone(n=finding.n, piece=finding.piece, says=command.says), who=command.by)
    how = together(pen.trip, finding, command.says)
    match how:
        case "clear":
            _settle(pen, finding, how, finding.code)
            _yes(pen, finding, command.by)
        case "accepted":
            goes_on(pen, finding, by=command.by, code="discolored")
        case "repair":
            _settle(pen, finding, how, "deep_scratch")
        case _:
            _settle(pen, finding, how, "unknown_spot")
    pen.say(f"notice.second_look.{how}")


def together(trip: Trip, finding: FindingOn, says: str) -> str:
    """What both words say: clear, accepted, repair or back. Two who differ, or one who is not sure too: it goes back.

    Where the first person claimed nothing, a clear word of the second settles it.
    """
    first = "" if finding.code in NO_CLAIM else {"discolored": "color_only", "deep_scratch": "scratch"}[finding.code]
    if says in {"soil", "not_sure"} or first not in {"", says}:
        return "back"
    if says == "color_only" and not nothing_comes_off(trip, finding):
        return "back"
    return {"clear": "clear", "color_only": "accepted", "scratch": "repair"}[says]


def goes_on(pen: Pen, finding: FindingOn, *, by: str, code: str) -> None:
    """Color only: it is recorded, its picture is kept, the check is answered and the piece goes on."""
    _settle(pen, finding, "accepted", code)
    _yes(pen, finding, by)


def _settle(pen: Pen, finding: FindingOn, how: str, code: str) -> None:
    group = str(pen.desk.findings[code].group)
    pen.write(e.DoubtSettled(n=finding.n, piece=finding.piece, how=how, code=code, group=group))


def _yes(pen: Pen, finding: FindingOn, by: str) -> None:
    """The check is answered, by the person whose word settled it."""
    piece = pen.trip.pieces[finding.piece]
    check = next((each for each in piece.open_checks() if each.key == finding.key), None)
    if check is None:
        return
    pen.write(e.CheckYes(piece=piece.name, key=check.key, end=end_now(piece, check), asked_twice=True), who=by)
    mark_not_seen(pen, piece.name, check.lumen)


def mark_not_seen(pen: Pen, name: str, lumen: str) -> None:
    """A lumen that is finished and that nobody looked through from end to end is marked so."""
    piece = pen.trip.pieces[name]
    plan = piece.lumen(lumen)
    if plan is not None and piece.lumen_done(lumen) and (plan.not_seen or plan.not_seen_all):
        mm = int(plan.not_seen_mm) if plan.not_seen_mm is not None else None
        pen.write(e.NotSeenMarked(piece=name, lumen=lumen, mm=mm, all=plan.not_seen_all))
