"""Scans: opening a tray, its load, its count; setting it aside and going on."""

from kiosk.core import events as e
from kiosk.core.agenda import bench_owed, next_step, untouched
from kiosk.core.catalogue import Tray
from kiosk.core.commands import (
    Confirm,
    CountAgain,
    CountAll,
    CountDiffers,
    CountLine,
    LetGo,
    OpenPiece,
    OpenSwabLot,
    Page,
    Scanned,
    StopHere,
    TakeOver,
    Turn,
)
from kiosk.core.decide import handing, loads, loaner, reopening, standing
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.kit import open_lot
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispositions import shorts, waits
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.second_count import used
from kiosk.core.stamp import local_time
from kiosk.core.startup import kit_today, startup_questions
from kiosk.core.state.piece import TRAY, is_missing
from kiosk.core.state.trip import Trip, wanted_here
from kiosk.core.together.loads import void_of

SHOWN_OF_A_CODE = 24
"""Letters of a strange code that are shown and kept: enough to tell it by, too few for what is none of ours."""

QUICK_COUNT_MS = 1000
"""All-as-listed faster than this is asked once (a choice, no source)."""


def scanned(pen: Pen, command: Scanned) -> None:
    """What a scan does here. A code of another kind than the page can use says what it is and opens nothing."""
    meaning = command.meaning
    step = next_step(pen.bench, pen.desk)
    if meaning.kind is Kind.PERSON and step.kind == "sign_in":
        pen.turn = Turn(page=Page.PIN, subject=meaning.text)
    elif step.kind == "sign_in":
        raise Refused("refused.sign_in_first")
    elif meaning.kind is Kind.SWAB_LOT:
        open_lot(pen, OpenSwabLot(lot=meaning.text))
    elif meaning.kind is Kind.TRAY and step.kind in {"scan", "startup"}:
        _scan_tray(pen, meaning)
    elif meaning.kind is Kind.LOAD and step.kind in loads.MAY_ADD:
        loads.scanned_for_tray(pen, meaning.text)
    elif meaning.kind is Kind.LOAD and step.kind == "scan":
        loads.rack(pen, meaning.text)
    elif meaning.kind is Kind.LABEL and reopening.scanned_label(pen, meaning.text):
        pass
    elif meaning.kind is Kind.SCOPE and step.kind == "scan" and _out_of_use(pen, meaning.text):
        pen.turn = Turn(page=Page.SCOPE_BACK, subject=meaning.text)
    elif meaning.kind is Kind.TRAY and pen.bench.trip and pen.bench.trip.tray.code == meaning.text:
        pen.turn = Turn(page=Page.OVERVIEW)
    elif meaning.kind is not Kind.ITEM or not standing.read_mark(pen, meaning):
        wrong(pen, meaning)


def _out_of_use(pen: Pen, scope: str) -> bool:
    state = pen.bench.scopes.get(scope)
    return state is not None and bool(state.out_of_use)


def wrong(pen: Pen, meaning: Meaning) -> None:
    """A code of another kind than this page can use: it says what it is, and opens nothing."""
    text = meaning.text[:SHOWN_OF_A_CODE]
    pen.write(e.WrongScan(kind=str(meaning.kind), text=text))
    pack = reopening.known(pen, meaning.text) if meaning.kind is Kind.LABEL else None
    if pack is not None:
        void = void_of(pen.bench, pen.desk, meaning.text)
        time = f"{local_time(pack.at_ms, pen.now.offset_min):%Y-%m-%d %H:%M}"
        pen.say("notice.scan_void" if void else "notice.scan_label", tray=f"{pack.name} {pack.tray}", time=time)
    elif meaning.why and not meaning.valid:
        pen.say("notice.scan.not_valid", text=text, why=meaning.why)
    else:
        pen.say(f"notice.scan.{meaning.kind}", text=text)


def _scan_tray(pen: Pen, meaning: Meaning) -> None:
    tray = pen.desk.catalogue.trays.get(meaning.text)
    if tray is None:
        wrong(pen, Meaning(kind=Kind.UNKNOWN, text=meaning.text, why=meaning.why))
        return
    if next_step(pen.bench, pen.desk).kind == "startup":
        raise Refused("refused.startup_first", left=len(startup_questions(pen.desk)))
    going = next((trip for trip in pen.bench.trips.values() if trip.tray.code == tray.code and not trip.ended), None)
    if pen.bench.wet_since_ms is not None and not (going and any(task.kind == "bench" for task in going.tasks)):
        raise Refused("refused.bench_wet")  # only the tray whose bench cleaning it is goes on
    owed = bench_owed(pen.bench)
    if owed is not None and owed != going:
        raise Refused("refused.bench_owed", tray=owed.tray.name)
    if going is None and handing.twice(pen, tray.code):
        raise Refused("refused.same_label", tray=tray.code)
    if going is None and handing.elsewhere(pen, tray.code):
        handing.refuse_two_records(pen, tray.code)
        pen.turn = Turn(page=Page.ELSEWHERE, subject=tray.code)
    elif going is None:
        _open(pen, tray)
    else:
        _go_on(pen, going)


def _open(pen: Pen, tray: Tray) -> None:
    load = loads.load_for(pen, tray.code)
    trip = f"{pen.desk.bench_number}-{pen.bench.trips_begun + 1:06d}"
    pen.write(e.TrayOpened(tray=tray, load=load), trip=trip)
    if load is not None:
        loads.check_load(pen, load)
    kit, out = kit_today(pen.bench, pen.desk)
    pen.write(e.PlanShown(plans=pen.desk.make_plan(tray.items, pen.desk.policy, kit, out)))
    if next_step(pen.bench, pen.desk).kind == "recalled":
        return  # what the stop list names is asked after before anything else
    if tray.items:  # a plain tray is asked after on its first page of the count: no touch more for what it has not
        pen.turn = Turn(page=Page.OVERVIEW)


def take_over(pen: Pen, command: TakeOver) -> None:
    """The tray is here now: it begins a trip of its own, and everything is asked."""
    if handing.take_over(pen, command) is not None:
        _open(pen, pen.desk.catalogue.trays[command.tray])


def _go_on(pen: Pen, trip: Trip) -> None:
    """Go on with a tray that was set aside: at once, or after asking whether it stayed covered."""
    if trip.exposed:
        pen.turn = Turn(page=Page.EXPOSED, subject=f"{trip.id}:")
        return
    if trip.pause is None:
        pen.turn = Turn(page=Page.OVERVIEW)
        return
    if must_repeat(pen, trip):
        pen.turn = Turn(page=Page.RESUME, subject=trip.id)
    else:
        pen.write(_resumed(pen, trip, covered=True), trip=trip.id)


def minutes_away(pen: Pen, trip: Trip) -> int:
    """Whole minutes since the trip was set aside."""
    assert trip.pause is not None
    return max(0, (pen.now.at_ms - trip.pause.at_ms) // 60_000)


def must_repeat(pen: Pen, trip: Trip) -> bool:
    """Another person, or longer away than policy allows?"""
    assert trip.pause is not None
    late = minutes_away(pen, trip) > pen.desk.policy_at(trip.policy).pause_restart_minutes
    return late or trip.pause.by != pen.bench.who


def _resumed(pen: Pen, trip: Trip, *, covered: bool) -> e.Resumed:
    assert trip.pause is not None
    return e.Resumed(covered=covered, other_person=trip.pause.by != pen.bench.who, minutes=minutes_away(pen, trip))


def confirm_covered(pen: Pen, trip_id: str, *, covered: bool) -> None:
    """The answer to "was it covered and untouched?". NO asks everything again."""
    trip = pen.bench.trips.get(trip_id)
    if trip is None or trip.pause is None or trip.exposed or next_step(pen.bench, pen.desk).kind != "scan":
        raise Refused("refused.no_tray")
    half = tuple(p.name for p in trip.pieces.values() if p.name != TRAY and p.yes and not p.all_yes)
    if not covered:
        half = tuple(p.name for p in trip.pieces.values() if p.yes)
    again = must_repeat(pen, trip) or not covered
    pen.write(_resumed(pen, trip, covered=covered), trip=trip.id)
    if again:
        pen.write(e.RepeatedAfterPause(pieces=half, count=True))


def stop_here(pen: Pen, command: StopHere) -> None:
    """Set the tray aside; its place is kept."""
    if not pen.trip.ended:
        pen.write(e.Paused(reason=command.reason))
    elif command.reason != "end_of_shift":
        raise Refused("refused.finish_first")
    if command.reason == "end_of_shift":
        pen.write(e.SignedOut(reason="own"))


def let_go(pen: Pen, command: LetGo) -> None:
    """The wrong tray: let it go, as long as nothing on it was answered."""
    if not untouched(pen.trip):
        raise Refused("refused.not_asked")
    pen.write(e.TrayLetGo())


def count_again(pen: Pen, command: CountAgain) -> None:
    """Count a tray again whose count differs: at once, where it was a slip, or from the shelf."""
    kind = next_step(pen.bench, pen.desk).kind
    if kind not in {"search", "whose", "shelf"} or not pen.trip.differences:
        raise Refused("refused.not_asked")
    pen.write(e.RepeatedAfterPause(pieces=(), count=True))


def shelf(pen: Pen, command: Confirm) -> None:
    """Covered and on the hold shelf."""
    pen.write(e.Paused(reason="hold_shelf"))


def _counting(pen: Pen) -> None:
    if pen.trip.counted:
        raise Refused("refused.counted")
    if next_step(pen.bench, pen.desk).kind != "count":
        raise Refused("refused.not_asked")


def count_line(pen: Pen, command: CountLine) -> None:
    """A number for one line."""
    if command.by:
        loaner.count_second(pen, command.by, {command.line: command.have})
        return
    _counting(pen)
    if all(line.name != command.line for line in pen.trip.tray.lines):
        raise Refused("refused.not_asked")
    pen.write(e.LineCounted(line=command.line, have=max(0, command.have)))
    if any(line.name == command.line for line in pen.trip.tray.implants):
        pen.turn = Turn(page=Page.IMPLANT, subject=command.line)  # where the number was typed


def count_all(pen: Pen, command: CountAll) -> None:
    """These lines are there as listed. The last line's number ends the count when all agree."""
    if not command.by:
        _counting(pen)
    if command.took_ms < QUICK_COUNT_MS:
        pen.say("notice.count_quick")
        pen.turn = Turn(page=Page.SECOND, subject=f"count:{command.by}") if command.by else None
        return
    if command.by:
        listed = {line.name: wanted_here(pen.trip, line) for line in pen.trip.tray.lines if line.name in command.lines}
        new = {line: have for line, have in listed.items() if line not in pen.trip.second_counts}
        loaner.count_second(pen, command.by, new)
        return
    wanted = {line.name: wanted_here(pen.trip, line) for line in pen.trip.tray.lines}
    for line in command.lines:
        if line in wanted and line not in pen.trip.counts:
            pen.write(e.LineCounted(line=line, have=wanted[line]))
    if all(pen.trip.counts.get(line) == want for line, want in wanted.items()):
        pen.write(e.CountOk(again=bool(pen.trip.count_again)))


def count_differs(pen: Pen, command: CountDiffers) -> None:
    """The count stands although it differs."""
    _counting(pen)
    lines = pen.trip.tray.lines
    if any(line.name not in pen.trip.counts for line in lines):
        raise Refused("refused.count_all_lines")
    for line in lines:
        have, want = pen.trip.counts[line.name], wanted_here(pen.trip, line)
        if have < want and line.implant:
            if used(pen.trip, line) != want - have:  # used in surgery, and nothing put back in
                pen.write(e.ImplantUsed(line=line.name, used=want - have, refilled=0))
        elif have < want:
            pen.write(e.CountShort(line=line.name, want=want, have=have))
        elif have > want:
            pen.write(e.CountOver(line=line.name, want=want, have=have))
    if not pen.trip.counted:
        pen.write(e.CountOk(again=bool(pen.trip.count_again)))
        return
    held = {name for hold in pen.trip.holds for name in hold.waits_for}
    differs = {line for line, _, _ in pen.trip.differences}
    missing = {piece.name for piece in pen.trip.pieces.values() if is_missing(piece)}
    place_hold(pen, "count", tuple(name for name in waits(pen.trip) if name in (differs | missing) - held))
    small = {line.name for line in pen.trip.tray.lines if line.small}
    for name, _, _ in shorts(pen.trip):
        pen.write(e.LeadTold(piece=name, why="missing_small" if name in small else "missing"))


def open_piece(pen: Pen, command: OpenPiece) -> None:
    """Go on with the piece picked on the overview."""
    if command.piece not in pen.trip.pieces or pen.trip.ended:
        raise Refused("refused.no_piece")
    pen.write(e.PieceChosen(piece=command.piece))
