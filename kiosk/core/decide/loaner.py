"""The rules of vendors' sets and implants: instructions on file, the second count, used and refilled, going home."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import CountImplant, Page, ReturnLoaner, RuleIfu, SecondCountDone, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispositions import waits
from kiosk.core.second_count import second_lines

NO_IFU = "@ifu"
"""What a vendor's set waits for whose instructions are not on file."""


def settle(pen: Pen) -> None:
    """A vendor's set without its maker's instructions on file is held from its opening on."""
    trip = pen.bench.trip
    if trip is None or trip.ended or trip.tray.loaner is None or trip.let_go_ms is not None:
        return
    missing = not (trip.tray.loaner.ifu_on_file or trip.ifu_filed)
    if missing and not any(NO_IFU in hold.waits_for for hold in trip.holds):
        pen.hold("no_ifu", NO_IFU)


def rule_ifu(pen: Pen, command: RuleIfu) -> None:
    """The supervisor has the instructions on file now."""
    pen.sign_ruling(command.by)
    if next_step(pen.bench, pen.desk).kind != "no_ifu":
        raise Refused("refused.not_asked")
    pen.write(e.IfuFiled(), who=command.by)
    pen.let_go(NO_IFU, "ifu on file", who=command.by)


def count_implant(pen: Pen, command: CountImplant) -> None:
    """Implants used in surgery, and put back in."""
    if next_step(pen.bench, pen.desk).kind != "count":
        raise Refused("refused.not_asked")
    if all(line.name != command.line for line in pen.trip.tray.implants) or min(command.used, command.refilled) < 0:
        raise Refused("refused.not_asked")
    pen.write(e.ImplantUsed(line=command.line, used=command.used, refilled=command.refilled))
    pen.turn = Turn(page=Page.IMPLANT, subject=command.line)


def count_second(pen: Pen, by: str, counts: dict[str, int]) -> None:
    """Numbers of the second person, by line."""
    _second(pen, by)
    asked = {line.name for line in second_lines(pen.bench, pen.desk, pen.trip)}
    for line, have in counts.items():
        if line in asked:
            pen.write(e.SecondLineCounted(line=line, have=max(0, have)), who=by)
    pen.turn = Turn(page=Page.SECOND, subject=f"count:{by}")


def _second(pen: Pen, by: str) -> None:
    """Refuse whoever may not count as the second person now."""
    if next_step(pen.bench, pen.desk).kind != "second_count":
        raise Refused("refused.not_asked")
    if by in {pen.bench.who, pen.trip.counted_by}:
        raise Refused("refused.same_person")


def second_count_done(pen: Pen, command: SecondCountDone) -> None:
    """Every line is counted twice. Where the two counts differ, both count again; nobody is told who was right."""
    _second(pen, command.by)
    trip = pen.trip
    lines = [line.name for line in second_lines(pen.bench, pen.desk, trip)]
    if any(line not in trip.second_counts for line in lines):
        raise Refused("refused.count_all_lines")
    differs = tuple(line for line in lines if trip.second_counts[line] != trip.counts.get(line))
    pen.write(e.SecondCounted(differs=differs), who=command.by)
    pen.turn = None
    if differs:
        pen.say("notice.second_differs", lines=", ".join(differs))


def return_loaner(pen: Pen, command: ReturnLoaner) -> None:
    """The set goes home whole. It was cleaned here (its load is released), counted, and no piece is elsewhere."""
    trip = pen.trip
    ready = trip.counted and not trip.ended and next_step(pen.bench, pen.desk).kind in {"check", "pack", "unit"}
    if trip.tray.loaner is None or not ready:
        raise Refused("refused.not_asked")
    if waiting := waits(trip):
        names = [trip.pieces[name].plan.name if name in trip.pieces else name for name in waiting]
        raise Refused("refused.loaner_waits", pieces=", ".join(dict.fromkeys(names)))
    pen.write(e.LoanerReturned())
    pen.write(e.PrintAsked(doc="tray_sheet", number=trip.id))
