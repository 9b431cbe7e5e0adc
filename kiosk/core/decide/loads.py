"""The rules of washer loads: released by another, several in a tray, found bad later, too many soiled pieces."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import Confirm, Page, RuleLoad, Turn, WithdrawLoad
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.state.trip import Trip, every_load_of, loads_of
from kiosk.core.together.loads import alerted, found_bad, is_released, soiled_in_shift, unreleased, words_known
from kiosk.core.together.returns import spent_loads

REASONS = ("indicator", "printout", "machine", "other")
"""Why a load is withdrawn; their words stand under `load_bad.why`."""

MAY_ADD = frozenset({"load", "count"})
"""Until the count is done, another load of the same tray may be scanned."""


def check_load(pen: Pen, load: str) -> None:
    """Keep whether the load is released."""
    if is_released(pen.bench, pen.desk, load):
        pen.write(e.LoadChecked(load=load))
    else:
        pen.write(e.LoadNotReleased(load=load))


def scanned_for_tray(pen: Pen, load: str) -> None:
    """A load scanned with a tray open: the tray's own once more, or a further one that brought some of its pieces."""
    trip = pen.trip
    if load in spent_loads(pen.bench, pen.desk, trip.tray.code):
        raise Refused("refused.load_spent", load=load)
    if trip.load is not None and load not in loads_of(trip):
        if load not in pen.desk.catalogue.loads:
            raise Refused("refused.no_load", load=load)
        pen.write(e.LoadAdded(load=load))
        pen.say("notice.load_added", load=load)
    if trip.load is None:
        check_load(pen, load)
        return
    check_load(pen, unreleased(pen.bench, pen.desk, pen.trip) or load)


def rack(pen: Pen, load: str) -> None:
    """A load scanned with no tray open: it stands for the trays that follow, until another is scanned."""
    if load not in pen.desk.catalogue.loads:
        raise Refused("refused.no_load", load=load)
    if not is_released(pen.bench, pen.desk, load):
        pen.turn = Turn(page=Page.RACK, subject=load)
        return
    pen.write(e.RackTaken(load=load), off_trip=True)
    pen.say("notice.rack", load=load)


def load_for(pen: Pen, tray: str) -> str | None:
    """The load a tray came from: the rack's if it lists the tray, else the newest that lists it, else the rack's.

    Never one that the tray went back from as a whole.
    """
    known, spent = pen.desk.catalogue.loads, spent_loads(pen.bench, pen.desk, tray)
    listed = [load.id for load in known.values() if tray in load.trays and load.id not in spent]
    if pen.bench.rack in listed or (pen.bench.rack and not listed and pen.bench.rack not in spent):
        return pen.bench.rack
    return listed[-1] if listed else None  # the newest stands last


def rule_load(pen: Pen, command: RuleLoad) -> None:
    """The supervisor records that the load's printout is signed; never for the tray they work on, by policy."""
    if next_step(pen.bench, pen.desk).kind != "load" or command.load != unreleased(pen.bench, pen.desk, pen.trip):
        raise Refused("refused.not_asked")
    if command.by == pen.bench.who and pen.desk.policy.load_release_two_people:
        raise Refused("refused.own_work")
    over = words_known(pen.bench, pen.desk, command.load)
    pen.write(e.LoadReleased(load=command.load, over=over), who=command.by)
    check_load(pen, unreleased(pen.bench, pen.desk, pen.trip) or command.load)


def withdraw(pen: Pen, command: WithdrawLoad) -> None:
    """A load was found bad after its release: what is open of it stops at once, what is packed is to be fetched."""
    if command.why not in REASONS or found_bad(pen.bench, pen.desk, (command.load,)):
        raise Refused("refused.not_asked")
    over = words_known(pen.bench, pen.desk, command.load)
    pen.write(e.LoadWithdrawn(load=command.load, why=command.why, over=over), off_trip=True)
    pen.turn = Turn(page=Page.FETCH, subject=command.load)


def send_back(pen: Pen, command: Confirm) -> None:
    """The tray of a load that was found bad goes back whole."""
    if command.what != "tray_back":
        raise Refused("refused.not_asked")
    settle(pen)
    number = f"K-{pen.desk.bench_number}{pen.bench.tickets_issued % 9999 + 1:04d}"
    pen.write(
        e.TrayBack(ticket=number, pieces=(), findings=(), why="load_withdrawn", bench="wipe", gloves=True),
    )


def settle(pen: Pen) -> None:
    """Open trays of a load found bad are held, their packed ones' labels void; a load's third soiled piece is told;
    a tray that stopped for a signature goes on once the load is signed for anywhere."""
    for trip in tuple(pen.bench.trips.values()):
        _hold_or_let_go(pen, trip)
    for number, pack in tuple(pen.bench.packs.items()):
        if number not in pen.bench.void and found_bad(pen.bench, pen.desk, pack.loads):
            pen.write(e.LabelVoided(number=number, why="load_withdrawn"), off_trip=True)
    trip_here = pen.bench.trip
    if trip_here is None:
        return
    stopped = trip_here.load_ok is False and not trip_here.ended and pen.bench.who is not None
    if stopped and not unreleased(pen.bench, pen.desk, trip_here):  # signed at another station meanwhile
        check_load(pen, trip_here.load or "")
    when = (pen.now.at_ms, pen.now.offset_min, pen.desk.policy)
    if any(isinstance(kept.event, e.Found | e.DoubtSettled) for kept in pen.kept):
        for load in loads_of(trip_here):
            soiled = soiled_in_shift(pen.bench, pen.desk, load, *when)
            if soiled >= pen.desk.policy.repeat_load_alert and not alerted(pen.bench, pen.desk, load, *when):
                pen.write(e.LoadAlerted(load=load, pieces=soiled), off_trip=True)
    for load in loads_of(trip_here):
        new = load not in pen.bench.alerts_told and alerted(pen.bench, pen.desk, load, *when)
        if new and pen.turn is None and pen.bench.who is not None and pen.bench.first_aid_ms is None:
            pen.write(e.LoadAlertTold(load=load), off_trip=True)
            pen.turn = Turn(page=Page.LOAD_ALERT, subject=load)


def _hold_or_let_go(pen: Pen, trip: Trip) -> None:
    """An open tray waits for the word about its load, and no longer when that load is released again."""
    bad = "" if trip.ended else found_bad(pen.bench, pen.desk, every_load_of(trip))
    held = {name for hold in trip.holds for name in hold.waits_for if name.startswith("@load:")}
    if bad and f"@load:{bad}" not in held:
        pen.hold("load_withdrawn", f"@load:{bad}", trip=trip.id)
    for name in held - {f"@load:{bad}"}:
        pen.let_go(name, "trip ended" if trip.ended else "load released", trip=trip.id)
