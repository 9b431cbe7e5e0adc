"""What a second reading found: own work by another way in, records that were lost, holds let go untruly."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve_trip import evolve_trip
from kiosk.core.folds.loads import soiled
from kiosk.core.together.loads import soiled_in_shift
from kiosk.core.vocabulary import Check
from tests.core.department import EAR, HOLD, PIN, Shift, at_work, names
from tests.core.short import GIVE, packed_short, short


def test_a_tray_sent_back_for_a_withdrawn_load_never_says_that_the_load_was_released() -> None:
    first, second = at_work(EAR), at_work(EAR)
    first.must(c.StopHere(reason="break"), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    first.must(c.WithdrawLoad(load="W-1", why="printout"))
    second.session.hear("B2", first.log)
    events = second.must(c.Confirm(what="tray_back"))
    assert not any(isinstance(event, e.HoldReleased) and event.why == "load released" for event in events)


def test_the_supervisor_who_counted_the_tray_does_not_let_it_go_short() -> None:
    shift = short()
    trip = replace(shift.trip, counted_by="S1")
    shift.session.bench = replace(shift.bench, trips={**shift.bench.trips, trip.id: trip})
    assert names(shift.send(GIVE)) == ["override_refused"]
    assert shift.refused == "refused.override.own_work"


def test_a_size_corrected_at_the_bench_undoes_no_other_correction_of_the_record() -> None:
    shift = at_work(EAR)
    shift.must(c.StopHere(reason="break"), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    shift.must(c.KeepItem(tray=EAR, item="A1", field="forbid", lumen="bore", value="air"))
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open(EAR)
    if shift.session.turn is not None and shift.session.turn.page is c.Page.RESUME:
        shift.must(c.Confirm(what="covered", subject=shift.session.turn.subject))
    shift.must(c.CorrectSize(by="S1", piece="A1", lumen="bore", inside="2.0", length="150"))
    item = next(one for one in shift.session.desk.catalogue.trays[EAR].items if one.id == "A1")
    assert Check.AIR in item.lumens[0].forbid


def test_the_measure_a_supervisor_took_alone_is_not_taken_by_the_same_supervisor() -> None:
    shift = Shift()
    shift.sign_in()
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    shift.open(HOLD)
    shift.count()
    shift.must(c.Measure(piece="A4", lumen="bore", goes="1.5", stops="2.0"))
    shift.send(c.RuleSize(by="S1", piece="A4", lumen="bore"))
    assert shift.refused == "refused.own_work"


def test_a_soiled_piece_that_came_back_clean_stays_one_of_its_loads_soiled_pieces() -> None:
    shift = at_work(EAR, raise_to_tray=[])
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    trip = shift.trip
    gone = replace(trip, findings=(), returned=trip.findings)  # as a recheck leaves it
    place = trip.findings[0].place
    found = e.Found(n=trip.next_finding, piece="A2", key="look", code="bone_grit", group="soil", place=place)
    stamp = shift.log[-1].stamp
    again = evolve_trip(gone, found, stamp)
    bench = soiled(replace(shift.bench, trips={trip.id: again}), found, stamp)
    policy = shift.desk.policy
    assert soiled_in_shift(bench, shift.desk, "W-1", shift.at_ms, 0, policy) == 2


def test_an_override_for_one_missing_piece_lets_no_second_one_go_after_the_package_was_opened() -> None:
    shift = packed_short()
    shift.tidy()
    shift.must(c.Turn())
    number = next(iter(shift.bench.packs))
    shift.must(c.Reopen(number=number, why="forgotten"), c.OldLabelGone(number=number))
    others = tuple(line.name for line in shift.trip.tray.lines if line.name != "Forceps")
    shift.must(c.CountLine(line="Forceps", have=1), c.CountAll(lines=others, took_ms=5000), c.CountDiffers())
    assert shift.step.kind == "search"
    shift.must(c.Search(line="Forceps", places=("sink",), over=True))
    assert shift.step.kind == "shelf"
