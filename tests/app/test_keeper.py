"""While the bench works its log is signed and backed up, and nobody at the glass is disturbed."""

from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field, replace
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from kiosk.app.keeper import BackupPlan, Keeper
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core import waiting
from kiosk.core.commands import Page
from kiosk.core.evolve import evolve
from kiosk.core.state.keeping import OLD_MS
from kiosk.devices.clock import HandClock
from kiosk.store.backup import backups
from kiosk.store.bench_store import BenchStore
from kiosk.store.keys import proven
from kiosk.store.proving import prove_file
from tests.core.department import Shift, desk
from tests.core.test_desk import desk_with, rows
from tests.store.shift import MORNING_MS, kept, yes

DAY_MS = 24 * 3_600_000
MINUTE_MS = 60_000


@dataclass
class Works:
    """A bench's store with a keeper, and what the keeper told."""

    store: BenchStore
    clock: HandClock
    keeper: Keeper
    worker: ThreadPoolExecutor
    folder: Path
    told: list[c.TellBackup] = field(default_factory=list)

    def beat(self) -> list[Path]:
        """A heartbeat, and what it started is done; the backups that are there now, the newest first."""
        self.keeper.beat()
        self.worker.submit(int).result()
        QCoreApplication.sendPostedEvents(self.keeper, QEvent.Type.MetaCall)
        return backups(self.folder, "B1")


@pytest.fixture
def works(qapp: QApplication, tmp_path: Path) -> Iterator[Works]:
    store, clock = BenchStore(tmp_path / "store", "B1"), HandClock(MORNING_MS)
    worker = ThreadPoolExecutor(max_workers=1)
    told: list[c.TellBackup] = []
    plan = BackupPlan(folder=tmp_path / "backups", keep=3)
    keeper = Keeper(store, clock, worker, told.append, plan)
    yield Works(store=store, clock=clock, keeper=keeper, worker=worker, folder=plan.folder, told=told)
    worker.shutdown(wait=True)
    store.close()


@pytest.mark.parametrize(
    "event",
    [
        e.SignedOut(reason="key"),
        e.ItemBack(ticket="RT-1", pieces=("A3#1",), findings=(1,), bench="none", gloves=False),
        e.TrayBack(ticket="RT-1", pieces=("A3#1",), findings=(1,), why="soil", bench="none", gloves=False),
    ],
)
def test_a_ticket_and_a_sign_out_are_signed_at_once(works: Works, event: e.Event) -> None:
    told = [kept(event)]
    works.store.keep(told)
    works.keeper.after(told)
    head = works.store.heads.newest()
    assert head is not None
    assert (head.seq, head.h) == (1, works.store.log.head().h)
    key = works.store.store.keys.public(head.origin)
    assert key is not None
    assert proven(head, key)


def test_an_answer_is_signed_within_a_minute_and_a_quiet_bench_signs_nothing(works: Works) -> None:
    works.store.keep([yes(1)])
    works.keeper.after([yes(1)])
    works.beat()
    assert works.store.heads.newest() is None
    works.clock.advance(MINUTE_MS)
    works.beat()
    head = works.store.heads.newest()
    assert head is not None
    assert head.seq == 1
    works.clock.advance(10 * MINUTE_MS)
    works.beat()
    assert works.store.heads.newest() == head


def test_a_backup_is_written_once_a_day_and_the_oldest_go(works: Works) -> None:
    days = []
    for day in range(5):
        works.store.keep([yes(day)])
        days.append(len(works.beat()))
        works.clock.advance(12 * 3_600_000)
        assert len(works.beat()) == days[-1]
        works.clock.advance(12 * 3_600_000)
    assert days == [1, 2, 3, 3, 3]
    assert [each.seq for each in works.told] == [1, 2, 3, 4, 5]
    newest = works.beat()[0]
    assert prove_file(newest).faults == []


def test_a_bench_that_was_off_for_a_week_writes_one_when_it_is_up_again(works: Works) -> None:
    works.store.keep([yes(1)])
    assert len(works.beat()) == 1
    works.clock.advance(7 * DAY_MS)
    assert len(works.beat()) == 2


def test_a_backup_dated_in_the_future_keeps_no_other_from_being_written(works: Works) -> None:
    works.folder.mkdir()
    (works.folder / "throughlight-B1-20990101-000000.backup").write_bytes(b"a clock went wrong")
    assert len(works.beat()) == 2


@pytest.mark.expect_log("no backup was written")
def test_a_log_that_does_not_hold_is_not_backed_up_and_is_tried_again(works: Works) -> None:
    works.store.keep([yes(1)])
    ask = works.store.store.db.conn.execute
    ask("DROP TRIGGER event_never_changes")
    ask("UPDATE event SET who = 'P-9'")
    assert works.beat() == []
    ask("UPDATE event SET who = 'P-014'")
    assert works.beat() == []
    works.clock.advance(15 * MINUTE_MS)
    assert len(works.beat()) == 1
    assert [each.seq for each in works.told] == [1]


def test_a_backup_that_was_written_turns_nobodys_page() -> None:
    shift = desk_with(Shift())
    shift.session.send(c.Turn(page=Page.NEEDS))
    shift.session.send(c.TellBackup(file="b", seq=1))
    assert shift.session.turn == c.Turn(page=Page.NEEDS)


def _lines(shift: Shift) -> list[str]:
    return [line.state for line in waiting.some(waiting.lines(shift.bench, shift.desk, shift.now()), ("backup",))]


def test_a_backup_older_than_two_days_asks_for_the_supervisor_and_a_younger_one_tells_its_age() -> None:
    assert _lines(Shift()) == []
    shift = desk_with(Shift(desk=replace(desk(), backups=True)))
    assert _lines(shift) == ["backup_none"]
    at_ms = shift.now().at_ms
    shift.session.bench = evolve(shift.bench, kept(e.BackedUp(file="b", seq=1), at_ms - OLD_MS, None, None))
    assert _lines(shift) == []
    shift.session.send(c.Turn(page=Page.NEEDS))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert "Last backup 2 days ago" in view.help
    shift.session.bench = evolve(shift.bench, kept(e.BackedUp(file="b", seq=1), at_ms - OLD_MS - 1, None, None))
    assert _lines(shift) == ["backup_old"]
    assert rows(shift, Page.NEEDS)[0].name == "backup"


def test_a_version_that_is_installed_and_not_in_force_asks_for_the_supervisor() -> None:
    assert "software" not in [row.name for row in rows(desk_with(Shift()), Page.NEEDS)]
    shift = desk_with(Shift(desk=replace(desk(), not_taken="9.8.7")))
    (row,) = [row for row in rows(shift, Page.NEEDS) if row.name == "software"]
    assert "9.8.7" in row.title
    assert shift.desk.software in row.title
    assert row.send is None
