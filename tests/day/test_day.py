"""A whole invented day ends with counters equal to a recount straight from the logs, and what must hold, holds.

The definitions are those of the written shifts' README ("How counters count"); the recount is SQL of its own.
"""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from pypdf import PdfReader

from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.past.counters import COUNTERS, summaries
from kiosk.core.stamp import Kept
from kiosk.core.state.trip import Trip
from kiosk.rehearsal.day import Day, play_day
from kiosk.rehearsal.day.play import ON
from kiosk.resources import policy
from kiosk.store.bench_store import BenchStore
from tests.day.killed import KILLED, killed_for_real
from tests.day.recount import joined, recount

pytestmark = pytest.mark.slow


@dataclass(frozen=True, slots=True)
class Played:
    """The day, each station's log, every trip as last seen."""

    day: Day
    logs: dict[str, list[Kept]]
    trips: dict[str, Trip]


@pytest.fixture(scope="module")
def played(tmp_path_factory: pytest.TempPathFactory) -> Played:
    KILLED.clear()
    day = play_day(tmp_path_factory.mktemp("day"), cut=killed_for_real)
    logs: dict[str, list[Kept]] = {}
    trips: dict[str, Trip] = {}
    for name in day.stations:
        store = BenchStore(day.folder / name, name)
        logs[name], bench = list(store.read()), store.bench()
        assert store.log.verify() is None
        store.close()
        folded = type(bench)()
        for kept in logs[name]:
            folded = evolve(folded, kept)
            trips |= folded.trips
        assert folded == bench  # the snapshot against the whole log
    return Played(day, logs, trips)


@pytest.mark.parametrize("shift", ["day", "late", "night"])
def test_the_counters_of_the_shift_are_those_of_the_recount(played: Played, shift: str) -> None:
    begins, ends = played.day.shifts[shift]
    counted = recount(joined(played.day.folder, played.day.stations), begins, ends)
    logs = [[kept for kept in log if kept.stamp.at_ms < ends] for log in played.logs.values()]
    ours = summaries(logs, (shift, ON), policy({"missing_rule": "pack_short_by_supervisor"}))
    assert not set(counted) - set(COUNTERS)
    assert {name: counted[name] for name in COUNTERS} == ours


def test_the_day_is_as_large_as_a_day_and_has_something_of_everything(played: Played) -> None:
    connection = joined(played.day.folder, played.day.stations)
    shifts = [recount(connection, *hours) for hours in played.day.shifts.values()]
    assert 110 <= sum(counted["trays_opened"] for counted in shifts) <= 135
    happened = {name for name in COUNTERS if any(counted[name] for counted in shifts)}
    assert set(COUNTERS) - happened == set(NOT_THIS_DAY)


NOT_THIS_DAY = {
    "offline_minutes": "the network is watched by the window's program, which does not run here",
    "sync_conflicts": "two stations that were apart are played in a written shift; on this day all hear each other",
}
"""The counters that stay zero on this day, each with why. Every other one comes to something in some shift."""


def test_both_sides_and_the_supervisor_did_their_part(played: Played) -> None:
    kinds = {e.NAME_OF[type(kept.event)] for log in played.logs.values() for kept in log}
    assert {
        "ticket_received", "ticket_answered", "answer_heard", "item_returned_clean", "recheck_started", "handed_over",
        "rush_marked", "not_before", "policy_changed", "policy_shown", "load_withdrawn", "package_fetched",
        "load_released", "second_look_asked", "override_cosigned", "load_alerted",
    } <= kinds  # fmt: skip
    phoned = [kept.event for log in played.logs.values() for kept in log if isinstance(kept.event, e.OverrideDone)]
    assert {given.phone for given in phoned} == {True, False}


def test_a_recount_of_a_log_with_an_event_less_is_another(played: Played) -> None:
    begins, ends = played.day.shifts["day"]
    for typ, counter in (("packed", "trays_packed"), ("check_yes", "lumens_checked"), ("finding", "soil")):
        connection = joined(played.day.folder, played.day.stations)
        before = recount(connection, begins, ends)[counter]
        about = "AND json_extract(body, '$.group') = 'soil'" if typ == "finding" else ""
        about = "AND json_extract(body, '$.key') LIKE '%.swab'" if typ == "check_yes" else about
        connection.execute(
            f"DELETE FROM ev WHERE rowid = (SELECT min(rowid) FROM ev WHERE typ = ? {about})",
            (typ,),
        )
        assert recount(connection, begins, ends)[counter] == before - 1


def test_a_bench_killed_in_the_middle_of_the_day_goes_on_where_it_stood(played: Played) -> None:
    assert len(KILLED) == 1
    ((said, found),) = KILLED
    assert found >= said > 10  # everything that it said it had kept, and perhaps what it did not get to say
    lost = [(name, kept) for name, log in played.logs.items() for kept in log if isinstance(kept.event, e.PowerLost)]
    assert len(lost) >= 2  # once when the other program took over, once when it was killed
    bench, kept = lost[-1]
    trip = played.trips.get(kept.stamp.trip or "")
    after = [k for k in played.logs[bench] if k.stamp.at_ms > kept.stamp.at_ms]
    assert len(after) > 50
    assert trip is None or trip.ended or trip.holds


def test_no_person_is_named_on_a_paper_that_crosses(played: Played) -> None:
    names = {person.name for person in played.day.people}
    papers = list(played.day.folder.glob("return_ticket-*.pdf"))
    assert papers
    for path in papers:
        text = " ".join(page.extract_text() for page in PdfReader(path).pages)
        assert not [name for name in names if name in text], path.name


def test_no_stations_clock_runs_back(played: Played) -> None:
    for name, log in played.logs.items():
        times = [kept.stamp.at_ms for kept in log]
        assert times == sorted(times), name


def test_every_hold_has_a_reason_and_an_age(played: Played) -> None:
    closes = max(ends for _, ends in played.day.shifts.values())
    holds = [(trip, hold) for trip in played.trips.values() for hold in trip.holds]
    assert holds
    for trip, hold in holds:
        assert hold.code, trip.id
        assert hold.waits_for, trip.id
        assert trip.opened_ms <= hold.at_ms < closes, trip.id


def test_every_ticket_is_received_or_waits(played: Played) -> None:
    _, ends = played.day.shifts["night"]
    connection = joined(played.day.folder, played.day.stations)
    issued = _texts(connection, "ticket", "item_back", "tray_back")
    received = _texts(connection, "ticket", "ticket_received")
    assert len(set(issued)) == len(issued) > 5
    assert set(received) <= set(issued)
    assert recount(connection, 0, ends)["tickets_waiting"] == len(set(issued) - set(received))


def test_no_package_number_stands_twice_in_the_department(played: Played) -> None:
    connection = joined(played.day.folder, played.day.stations)
    numbers = _texts(connection, "number", "packed") + _texts(connection, "new", "label_voided")
    numbers = [number for number in numbers if number]
    assert len(numbers) > 90
    assert len(set(numbers)) == len(numbers)


def test_every_yes_says_who(played: Played) -> None:
    connection = joined(played.day.folder, played.day.stations)
    ((said, named),) = connection.execute("SELECT count(*), count(who) FROM ev WHERE typ = 'check_yes'")
    assert said == named > 500


def test_nothing_is_packed_with_a_finding_that_is_not_settled(played: Played) -> None:
    packed = [trip for trip in played.trips.values() if trip.packed_ms is not None]
    assert len(packed) > 80
    for trip in packed:
        assert trip.asking is None, trip.id
        open_still = [f.n for f in trip.findings if not (f.put_right or f.decided)]
        assert open_still == [], trip.id
        for piece in trip.pieces.values():
            gone = piece.name in trip.replaced or piece.disposition is not None
            assert gone or piece.all_yes, f"{trip.id} {piece.name}"


def test_the_supervisor_is_called_fewer_than_six_times_a_shift(played: Played) -> None:
    """Common practice, no source: the design target of the work's description."""
    for shift in played.day.shifts:
        assert played.day.sign_ins.get((shift, "supervisor"), 0) < 6, shift


def _texts(connection: object, field: str, *typs: str) -> list[str]:
    rows: Iterator[tuple[str]] = connection.execute(  # type: ignore[attr-defined]
        f"SELECT body FROM ev WHERE typ IN ({', '.join('?' * len(typs))}) ORDER BY at_ms, st, seq",
        typs,
    )
    return [json.loads(body)[field] for (body,) in rows]


def test_papers_are_made_for_real(played: Played) -> None:
    made = list(Path(played.day.folder).glob("*.pdf"))
    assert len(made) >= played.day.papers_made > 10  # the program that was killed made some too
    assert {path.name.split("-")[0] for path in made} >= {"tray_sheet", "package_label", "return_ticket"}


def test_stop_pages_are_fewer_than_two_a_tray_hour(played: Played) -> None:
    """Common practice, no source: a stop page only for real stops; more of them, and nobody reads one."""
    assert 0 < played.day.stops < 2 * played.day.tray_hours
    assert 20 < played.day.tray_hours < 48
