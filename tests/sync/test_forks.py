"""A log that went on twice goes on under a new name from where its branches part, and nobody hears anything twice.

Two copies of one station with the same keys, both at work: a disk that was cloned, a machine that was set back.
"""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication
from sqlite_utils.utils import sqlite3

from kiosk.app.stage import Stage
from kiosk.core.events import CheckYes
from kiosk.core.waiting import lines
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from kiosk.store.database import FILE
from kiosk.store.outage import Outage
from kiosk.store.proving import prove_store
from kiosk.sync.courier import Courier
from kiosk.sync.entry import Entry
from kiosk.sync.exchange import fetch_moved, send_own
from tests.sync.department import Department
from tests.sync.healing import Bench, Site
from tests.sync.test_courier import until

pytestmark = pytest.mark.postgres

SCENARIOS = Path(__file__).parents[1] / "scenarios"


class Twice:
    """B1 with four events that the hub has, a copy of it with its keys, and a neighbor."""

    def __init__(self, hub: Department, tmp_path: Path) -> None:
        self.site = Site(hub)
        self.one = Bench(tmp_path / "one", "B1")
        self.beside = Bench(tmp_path / "beside", "B2")
        self.one.keep(4)
        self.one.store.sign_head(1)
        self.let_in()
        self.round(self.one)
        self.one.stop()
        shutil.copytree(tmp_path / "one", tmp_path / "two")
        shutil.copytree(tmp_path / "one.keys", tmp_path / "two.keys")
        self.one.start()
        self.two = Bench(tmp_path / "two", "B1", clock_ms=self.one.clock_ms + 500)
        self.two.told = 100

    def let_in(self) -> None:
        for bench in (self.one, self.beside, *([self.two] if hasattr(self, "two") else [])):
            self.site.let_in(bench)

    def round(self, bench: Bench) -> Any:
        return bench.round(self.site.doors[bench.bench])

    def come_together(self) -> None:
        """Rounds until nothing moves, with everybody let in and each doing as the kiosk does."""
        for _ in range(8):
            for bench in (self.one, self.two, self.beside):
                self.let_in()
                bench.store.sign_head(bench.clock_ms)
                self.round(bench)
                bench.goes_on_anew()
                bench.hear()

    def close(self) -> None:
        for bench in (self.one, self.two, self.beside):
            bench.stop()
        self.site.close()


@pytest.fixture
def twice(hub: Department, tmp_path: Path) -> Iterator[Twice]:
    found = Twice(hub, tmp_path)
    yield found
    found.close()


def change(bench: Bench, *statements: str) -> None:
    """Change its file as no program of ours would."""
    connection = sqlite3.connect(str(bench.folder / FILE), isolation_level=None)
    for sql in statements:
        connection.execute(sql)
    connection.close()


def answers(bench: Bench) -> list[str]:
    """The checks that a station knows of, its own and all others', as its lists tell them."""
    return [kept.event.piece for _, kept in bench.store.records.kept("check_yes") if isinstance(kept.event, CheckYes)]


def test_what_each_of_two_copies_kept_is_heard_by_everybody_once(twice: Twice) -> None:
    twice.one.keep(3)
    twice.two.keep(5)
    twice.come_together()
    wanted = {f"A3#{n}" for n in (1, 2, 3, 4, 5, 6, 7, 101, 102, 103, 104, 105)}
    for bench in (twice.one, twice.two, twice.beside):
        assert sorted(answers(bench)) == sorted(wanted)
        assert [str(fault) for fault in prove_store(bench.folder).faults] == []
    as_told = twice.beside.store.records.benches()["B1"]
    assert as_told in (twice.one.store.bench(), twice.two.store.bench())


def test_the_branch_that_came_second_is_told_again_as_the_same_events(twice: Twice, hub: Department) -> None:
    twice.one.keep(3)
    twice.two.keep(5)
    before = [tuple(row) for row in twice.two.own.rows(4, 9, 9)]
    was = twice.two.origin
    for bench in (twice.one, twice.two):
        bench.store.sign_head(bench.clock_ms)
        twice.round(bench)
    assert twice.two.goes_on_anew()
    assert twice.two.origin != was
    assert not twice.two.goes_on_anew()
    twice.let_in()
    twice.round(twice.two)
    stored = hub.stored(twice.two.origin)
    assert [row[:15] for row in stored[:5]] == [row[:15] for row in before]
    assert [row[0] for row in stored] == [5, 6, 7, 8, 9, 10]
    assert stored[5][10] == "incarnation_began"
    aside = hub.ask("SELECT seq, h FROM sync.fork WHERE origin = %s ORDER BY seq", was)
    assert aside == [(row[0], row[15]) for row in before]
    proof = prove_store(twice.two.folder)
    assert (proof.faults, [one["from"] for one in proof.origins]) == ([], [1, 5])


def test_a_link_that_somebody_changed_is_found_in_the_branch_that_is_told_again(twice: Twice) -> None:
    twice.one.keep(3)
    twice.two.keep(5)
    twice.come_together()
    twice.two.stop()
    change(twice.two, "DROP TRIGGER relinked_never_changes", "UPDATE relinked SET h = zeroblob(32) WHERE seq = 7")
    assert [(fault.key, fault.names.get("seq")) for fault in prove_store(twice.two.folder).faults] == [("chain", 7)]
    with pytest.raises(Outage, match="damaged"):
        twice.two.start()


def test_what_was_kept_first_under_the_old_name_is_proven_too(twice: Twice) -> None:
    twice.one.keep(3)
    twice.two.keep(5)
    twice.come_together()
    change(twice.two, "DROP TRIGGER event_never_changes", "UPDATE event SET h = zeroblob(32) WHERE seq = 7")
    assert ("chain", 7) in [(fault.key, fault.names.get("seq")) for fault in prove_store(twice.two.folder).faults]


def test_a_neighbor_that_had_heard_the_other_branch_counts_nothing_twice(twice: Twice) -> None:
    """Beside each other, or by a hub that lost the end: the neighbor knew this branch under the old name."""
    twice.two.keep(5)
    rows = [tuple(row) for row in twice.two.own.rows(0, 9, 9)]
    twice.beside.store.heard.take(twice.two.origin, rows)
    twice.one.keep(3)
    twice.one.store.sign_head(5)
    twice.round(twice.one)
    twice.round(twice.two)
    assert twice.two.goes_on_anew()
    twice.let_in()
    twice.round(twice.two)
    sent = send_own(twice.beside.own, twice.site.doors["B2"], sent_ms=lambda: 0)
    (segment,) = fetch_moved(twice.beside.own, twice.site.doors["B2"], sent, limit=100)
    assert segment.origin == twice.two.origin
    twice.beside.store.heard.take(segment.origin, segment.rows, was=segment.was, public_key=segment.public_key)
    told = answers(twice.beside)
    assert sorted(told) == sorted(f"A3#{n}" for n in (1, 2, 3, 4, 101, 102, 103, 104, 105))
    assert twice.beside.store.records._told_again() == {twice.two.origin: 9}


def test_a_station_that_was_set_back_without_a_word_goes_on_beside_what_it_lost(twice: Twice) -> None:
    """The second copy stands where the first one was four events ago, and keeps nothing: nothing is a fork."""
    twice.one.keep(4)
    twice.round(twice.one)
    sent = twice.round(twice.two)
    assert [(verdict.kind, verdict.seq) for verdict in sent.verdicts] == [("ahead", 5)]
    twice.two.keep(2)  # a person was faster than the word from the hub
    assert twice.two.goes_on_anew()
    twice.come_together()
    for bench in (twice.one, twice.two, twice.beside):
        assert sorted(answers(bench)) == sorted(f"A3#{n}" for n in (*range(1, 9), 101, 102))
    assert twice.two.store.store.spans[-1].after_seq == 4


def test_a_commit_in_doubt_is_looked_at_anew(twice: Twice, monkeypatch: pytest.MonkeyPatch) -> None:
    """The new origin is on the disk, and the disk said that it is not."""
    twice.one.keep(3)
    twice.two.keep(5)
    for bench in (twice.one, twice.two):
        twice.round(bench)
    store = twice.two.store.store
    commits = store.transaction

    @contextmanager
    def doubted() -> Iterator[sqlite3.Connection]:
        with commits() as connection:
            yield connection
        store._doubt = True
        raise Outage("disk", doubt=True)

    monkeypatch.setattr(store, "transaction", doubted)
    with pytest.raises(Outage):
        twice.two.goes_on_anew()
    monkeypatch.undo()
    assert twice.two.store.recover() == twice.two.store.bench()
    assert not twice.two.goes_on_anew()
    twice.two.keep(1)
    twice.two.stop()
    twice.two.start()
    assert prove_store(twice.two.folder).faults == []


def test_what_was_noted_of_the_fold_stays_good_under_the_new_name(twice: Twice) -> None:
    """A thousand events are not folded anew for it, and verify holds what was noted against the log."""
    twice.two.keep(900)
    twice.two.store.snapshot(twice.two.store.bench())
    noted = "SELECT origin, seq FROM bookmark"
    connection = twice.two.store.store.db.conn
    assert connection.execute(noted).fetchall() == [(twice.two.origin, 904)]
    twice.one.keep(3)
    twice.come_together()
    assert connection.execute(noted).fetchall() == [(twice.two.origin, 904)]
    for bench in (twice.one, twice.two, twice.beside):
        assert [str(fault) for fault in prove_store(bench.folder).faults] == []


def test_what_was_changed_since_it_was_kept_is_not_told_again(twice: Twice) -> None:
    twice.one.keep(3)
    twice.two.keep(5)
    for bench in (twice.one, twice.two):
        twice.round(bench)
    change(twice.two, "DROP TRIGGER event_never_changes", "UPDATE event SET who = 'P-666' WHERE seq = 7")
    was = twice.two.origin
    with pytest.raises(Outage, match="from event 7"):
        twice.two.goes_on_anew()
    assert twice.two.origin == was
    assert twice.two.store.store.db.conn.execute("SELECT count(*) FROM relinked").fetchone() == (0,)


def test_no_link_is_changed_or_taken_away_in_sql(twice: Twice) -> None:
    twice.one.keep(1)
    twice.two.keep(1)
    twice.come_together()
    connection = twice.two.store.store.db.conn
    for sql in ("UPDATE relinked SET seq = 9", "DELETE FROM relinked"):
        with pytest.raises(Exception, match="append-only"):
            connection.execute(sql)


def test_the_running_kiosk_goes_on_by_itself_and_tells_the_supervisor(
    qapp: QApplication, twice: Twice, hub: Department, tmp_path: Path
) -> None:
    twice.one.keep(3)
    twice.one.store.sign_head(5)
    twice.round(twice.one)
    twice.two.keep(2)
    twice.two.stop()
    (tmp_path / "stage").mkdir()
    for name in ("two", "two.keys"):
        shutil.move(tmp_path / name, tmp_path / "stage" / name.replace("two", "store"))
    let = twice.site.lets["B1"]
    entry = Entry(login=let.login, password=let.password, department=hub.dept)

    def courier(folder: Path) -> Courier:
        return Courier(folder, hub.server.url(hub.name), entry, plain=True, quick=True)

    world = build(read_scenario(SCENARIOS / "S01.yaml"))
    clock = HandClock(world.at_ms)
    stage = Stage(world, clock, tmp_path / "stage", (1280, 800), courier=courier)
    kiosk = stage.kiosk
    was = kiosk.store.store.origin

    def went_on() -> bool:
        kiosk.listen()
        return kiosk.store.store.origin != was

    until(went_on)
    told = [line.state for line in lines(kiosk.session.bench, kiosk.session.desk, clock.now()) if line.kind == "log"]
    assert told == ["log_fork"]
    assert kiosk.session.bench == kiosk.store.bench()
    kiosk.listen()
    assert [began.why for began in kiosk.session.bench.keeping.began] == ["fork"]
    stage.close()
    twice.two = Bench(tmp_path / "stage" / "store", "B1")
    assert prove_store(twice.two.folder).faults == []
