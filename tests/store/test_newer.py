"""What a newer program kept: stored and passed on byte for byte, never guessed at, and a hold is a hold."""

from dataclasses import replace
from pathlib import Path

import pytest

from kiosk import resources
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.dispositions import tray_disposition, waits
from kiosk.core.past.counters import Tally
from kiosk.core.past.lookback import Question, met, trace
from kiosk.core.stamp import Kept
from kiosk.core.vocabulary import Disposition
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import Store
from kiosk.store.log import Log
from kiosk.store.proving import prove_store
from kiosk.sync.beside import Beside
from tests.core.department import at_work
from tests.store.older import keep_newer


def begun(folder: Path, station: str) -> tuple[BenchStore, str]:
    """A store in which a tray lies open on the bench, and its trip."""
    shift = at_work()
    store = BenchStore(folder, station)
    store.keep(shift.log)
    return store, shift.trip.id


@pytest.mark.parametrize(("typ", "ver"), [("tray_smelled", 1), ("hold_placed", 2)])
def test_a_hold_that_this_program_never_heard_of_holds_the_tray(folder: Path, typ: str, ver: int) -> None:
    store, trip = begun(folder, "B1")
    assert tray_disposition(store.bench().trips[trip]) is not Disposition.HOLD
    keep_newer(store.store, typ, "hold", trip=trip, ver=ver)
    held = store.bench().trips[trip]
    assert tray_disposition(held) is Disposition.HOLD
    assert waits(held) == ("@newer",)
    assert resources.words().say("waits.newer") == "newer software, which knows why"
    store.close()


@pytest.mark.parametrize("cls", ["clear", "info"])
def test_what_would_let_it_go_or_only_tells_something_changes_nothing(folder: Path, cls: str) -> None:
    store, trip = begun(folder, "B1")
    keep_newer(store.store, "tray_smelled", "hold", trip=trip)
    before = store.bench()
    keep_newer(store.store, "tray_aired", cls, trip=trip)
    assert store.bench() == before
    store.close()


def test_a_hold_of_no_tray_stands_on_the_supervisors_list(folder: Path) -> None:
    store, _ = begun(folder, "B1")
    keep_newer(store.store, "shelf_smelled", "hold", trip=None)
    shift = at_work()
    (line,) = waiting.some(waiting.lines(store.bench(), shift.desk, shift.now()), ("log",))
    assert (line.state, line.names) == ("log_newer", {"n": 1})
    store.close()


def test_another_stations_newer_hold_is_passed_on_byte_for_byte_and_holds_over_here(tmp_path: Path) -> None:
    there, trip = begun(tmp_path / "there", "B2")
    body = '{"smell":"süß","how":[1,2]}'.encode()
    keep_newer(there.store, "tray_smelled", "hold", trip=trip, body=body)
    there.close()
    here, ear = BenchStore(tmp_path / "here", "B1"), Beside(tmp_path / "there")
    told = ear.fetch({})
    assert told is not None
    taken = here.heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
    assert taken[-1][1].event == e.NotKnown(typ="tray_smelled", cls="hold")
    ask = "SELECT typ, body FROM remote_event ORDER BY seq DESC LIMIT 1"
    assert here.store.db.conn.execute(ask).fetchone() == ("tray_smelled", body)
    assert tray_disposition(here.records.benches()["B2"].trips[trip]) is Disposition.HOLD
    assert prove_store(tmp_path / "here").faults == []
    ear.close()
    here.close()


def test_counting_and_looking_back_go_over_it_without_a_stumble(folder: Path) -> None:
    store, trip = begun(folder, "B1")
    keep_newer(store.store, "tray_smelled", "hold", trip=trip)
    policy = resources.policy()
    tally = Tally(station="B1", shift=("day", at_work().log[0].stamp.local.date()), policy=policy)
    for kept in store.read():
        tally.take(kept)
    trips = met(store.records, Question(kind="bench", value="B1"))
    (found,) = [one for one in trace(store.records, trips, policy) if one.trip == trip]
    assert found.state == "held"
    store.close()


def test_a_program_that_knows_it_reads_the_same_bytes_as_what_they_are(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The update comes: the same log, and the hold is let go by what had let it go."""
    store, trip = begun(folder, "B1")
    stamp = replace(next(iter(store.read())).stamp, trip=trip)
    store.keep([Kept(event=e.HoldPlaced(hold="1-H1", code="x", waits_for=("@weight",)), stamp=stamp)])
    store.keep([Kept(event=e.HoldReleased(holds=("1-H1",), why="x"), stamp=stamp)])
    with monkeypatch.context() as older:
        older.delitem(e.EVENTS, "hold_placed")
        older.delitem(e.EVENTS, "hold_released")
        assert tray_disposition(store.bench().trips[trip]) is Disposition.HOLD
    assert tray_disposition(store.bench().trips[trip]) is not Disposition.HOLD
    store.close()


def test_a_log_with_a_newer_event_goes_on_and_holds(folder: Path) -> None:
    store, trip = begun(folder, "B1")
    keep_newer(store.store, "tray_smelled", "hold", trip=trip)
    store.snapshot(store.bench())
    store.close()
    with Store(folder) as opened:
        assert Log(opened).verify() is None
    assert prove_store(folder).faults == []
