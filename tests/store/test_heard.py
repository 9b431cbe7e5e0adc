"""What other stations kept is taken in link by link, from where their log really begins, and under their own key."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS
from kiosk.store.database import Store
from kiosk.store.heard import Was
from kiosk.store.keys import SignedHead
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from kiosk.sync.beside import Beside, Told
from tests.store.older import copied
from tests.store.shift import yes

THE_REST = "id, hlc, cls, typ, ver, bench, at_ms, offset_min, trusted, who, trip, policy, record, body, h"
ROWS = f"SELECT {', '.join(COLUMNS)} FROM event ORDER BY seq"


@pytest.fixture
def here(tmp_path: Path) -> Iterator[BenchStore]:
    """The bench that listens."""
    bench = BenchStore(tmp_path / "here", "B1")
    yield bench
    bench.close()


def worked(folder: Path, numbers: range) -> None:
    with Store(folder, "B2") as store:
        Log(store).append([yes(n) for n in numbers])


def listen(here: BenchStore, folder: Path) -> list[Told]:
    """Take in everything that lies in the folder beside."""
    other, out = Beside(folder), []
    while told := other.fetch(here.heard.heads()):
        here.heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
        out.append(told)
    other.close()
    return out


@pytest.fixture
def restored(tmp_path: Path) -> Path:
    """B2 after its folder was moved: three events under one origin, then its word about it and two more."""
    worked(tmp_path / "first", range(1, 4))
    there = copied(tmp_path / "first", tmp_path / "there")
    worked(there, range(4, 6))
    return there


def test_a_bench_that_was_put_back_is_heard_through_both_its_origins(here: BenchStore, restored: Path) -> None:
    first, second = listen(here, restored)
    assert [len(first.rows), len(second.rows)] == [3, 3]
    assert first.was is None
    assert second.was == Was(first.origin, 3, first.rows[-1][15])
    assert here.heard.heads() == {first.origin: 3, second.origin: 6}
    checks = [kept for _, kept in here.heard.read() if isinstance(kept.event, e.CheckYes)]
    assert sorted(kept.stamp.at_ms for kept in checks) == [yes(n).stamp.at_ms for n in range(1, 6)]
    assert listen(here, restored) == []


def test_a_bench_that_goes_on_under_a_new_origin_is_heard_by_who_listens_already(
    here: BenchStore, tmp_path: Path
) -> None:
    """The folder is put back while the other one holds its old file open."""
    there = tmp_path / "there"
    worked(there, range(1, 4))
    copied(there, tmp_path / "earlier")
    worked(there, range(4, 8))
    other = Beside(there)
    told = other.fetch(here.heard.heads())
    assert told is not None
    here.heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
    there.rename(tmp_path / "gone")
    (tmp_path / "earlier").rename(there)
    (tmp_path / "there.keys").rename(tmp_path / "lost.keys")
    worked(there, range(8, 10))
    again = other.fetch(here.heard.heads())
    assert again is not None
    taken = here.heard.take(again.origin, again.rows, was=again.was, public_key=again.public_key)
    other.close()
    assert again.was == Was(told.origin, 3, told.rows[2][15])
    assert here.heard.heads() == {told.origin: 7, again.origin: 6}
    assert [kept for _, kept in taken][1:] == [yes(8), yes(9)]


def test_a_station_that_is_not_there_yet_or_has_said_nothing_brings_nothing(here: BenchStore, tmp_path: Path) -> None:
    other = Beside(tmp_path / "there")
    assert other.fetch(here.heard.heads()) is None
    Store(tmp_path / "there", "B2").close()
    assert other.fetch(here.heard.heads()) is None
    worked(tmp_path / "there", range(1, 3))
    told = other.fetch(here.heard.heads())
    assert told is not None
    assert len(told.rows) == 2
    other.close()


def test_the_station_stands_as_its_newest_origin_says(here: BenchStore, restored: Path) -> None:
    listen(here, restored)
    there = BenchStore(restored)
    assert here.records.benches() == {"B2": there.bench()}
    assert here.records.fresh()["B2"].seq == 6
    there.close()


def test_an_origin_with_a_beginning_is_not_taken_from_another_place(here: BenchStore, restored: Path) -> None:
    first, second = listen(here, restored)
    assert second.was is not None
    for was in (second.was._replace(seq=2), second.was._replace(h=bytes(32)), second.was._replace(origin="0" * 36)):
        with pytest.raises(Outage, match="begins elsewhere"):
            here.heard.take(second.origin, second.rows, was=was)
    with pytest.raises(Outage, match="at event 4"):
        here.heard.take("1" * 36, second.rows, was=Was(first.origin, 3, second.was.h))


def test_a_gap_after_the_beginning_is_not_taken(here: BenchStore, restored: Path) -> None:
    other = Beside(restored)
    first = other.fetch({})
    assert first is not None
    second = other.fetch({first.origin: 3})
    other.close()
    assert second is not None
    with pytest.raises(Outage, match="at event 4"):
        here.heard.take(second.origin, second.rows[1:], was=second.was)
    with pytest.raises(Outage, match="at event 1"):
        here.heard.take(second.origin, second.rows)
    assert here.heard.heads() == {}


def test_a_key_that_was_told_once_is_the_key(here: BenchStore, restored: Path) -> None:
    (first, *_) = listen(here, restored)
    with pytest.raises(Outage, match="another key"):
        here.heard.take(first.origin, first.rows, public_key=bytes(32))
    here.heard.take(first.origin, first.rows, public_key=first.public_key)


def test_a_key_that_comes_later_is_noted(here: BenchStore, restored: Path) -> None:
    other = Beside(restored)
    told = other.fetch({})
    other.close()
    assert told is not None
    assert told.public_key is not None
    here.heard.take(told.origin, told.rows)
    here.heard.take(told.origin, (), public_key=told.public_key)
    with pytest.raises(Outage, match="another key"):
        here.heard.take(told.origin, (), public_key=told.public_key[::-1])


@pytest.fixture
def signed(tmp_path: Path) -> tuple[Told, SignedHead]:
    """B2's rows and the head that it signed over them."""
    there = tmp_path / "there"
    worked(there, range(1, 4))
    bench = BenchStore(there)
    head = bench.sign_head(at_ms=9)
    bench.close()
    other = Beside(there)
    told = other.fetch({})
    other.close()
    assert told is not None
    assert head is not None
    return told, head


def _with(head: SignedHead, **changes: Any) -> SignedHead:
    values = {name: getattr(head, name) for name in ("origin", "seq", "hlc", "h", "at_ms", "sig")}
    return SignedHead(**{**values, **changes})


def test_a_signed_head_is_kept_with_what_it_signs(here: BenchStore, signed: tuple[Told, SignedHead]) -> None:
    told, head = signed
    here.heard.take(told.origin, told.rows, public_key=told.public_key, head=head)
    assert here.heads.newest(told.origin) == head
    here.heard.take(told.origin, told.rows, public_key=told.public_key, head=head)


def test_a_head_whose_event_is_not_here_yet_is_kept_when_it_comes(
    here: BenchStore, signed: tuple[Told, SignedHead]
) -> None:
    """Until then another branch may come; a head that contradicts it would hold against this store ever after."""
    told, head = signed
    here.heard.take(told.origin, told.rows[:2], public_key=told.public_key, head=head)
    assert here.heads.newest(told.origin) is None
    here.heard.take(told.origin, told.rows, public_key=told.public_key, head=head)
    assert here.heads.newest(told.origin) == head


@pytest.mark.parametrize(
    "changes", [{"seq": 2}, {"hlc": 1}, {"h": bytes(32)}, {"sig": bytes(64)}, {"origin": "0" * 36}]
)
def test_a_head_that_its_own_key_did_not_sign_takes_nothing_in(
    here: BenchStore, signed: tuple[Told, SignedHead], changes: dict[str, Any]
) -> None:
    told, head = signed
    with pytest.raises(Outage, match="not signed by its own key"):
        here.heard.take(told.origin, told.rows, public_key=told.public_key, head=_with(head, **changes))
    assert here.heard.heads() == {}


def test_a_head_without_a_known_key_proves_nothing(here: BenchStore, signed: tuple[Told, SignedHead]) -> None:
    told, head = signed
    with pytest.raises(Outage, match="not signed by its own key"):
        here.heard.take(told.origin, told.rows, head=head)


def test_two_heads_signed_for_one_number_are_told_as_a_fork(
    here: BenchStore, signed: tuple[Told, SignedHead], tmp_path: Path
) -> None:
    """The whole machine was put back, its keys too, and it wrote the same numbers anew."""
    told, head = signed
    here.heard.take(told.origin, told.rows, public_key=told.public_key, head=head)
    with Store(tmp_path / "there") as store:
        other = store.keys.sign(told.origin, 3, head.hlc, b"x" * 32, 9)
    assert other is not None
    with pytest.raises(Outage, match="signed twice at event 3"):
        here.heard.take(told.origin, (), head=other)


def test_nobody_else_is_this_very_log(here: BenchStore) -> None:
    here.keep([yes(1)])
    rows = here.store.db.conn.execute(ROWS).fetchall()
    with pytest.raises(Outage, match="says that it is this one"):
        here.heard.take(here.store.origin, rows)


def test_what_a_restored_bench_lost_is_heard_back_from_others(here: BenchStore, tmp_path: Path) -> None:
    """B2 told eight events, lost five, and takes them in again from who heard them: beside its log, not in it."""
    there = tmp_path / "there"
    worked(there, range(1, 4))
    earlier = copied(there, tmp_path / "earlier")
    worked(there, range(4, 9))
    (told,) = listen(here, there)
    back = BenchStore(earlier)
    back.heard.take(told.origin, told.rows, public_key=told.public_key)
    assert back.heard.heads() == {told.origin: 8}
    assert [kept for _, kept in back.heard.read()] == [yes(n) for n in range(4, 9)]
    assert back.log.verify() is None
    lost = [row for row in told.rows if row[0] > 4]
    with pytest.raises(Outage, match="at event 9"):
        back.heard.take(told.origin, [(9, *row[1:]) for row in lost[-1:]])
    back.close()


@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE remote_origin SET public_key = zeroblob(32)",
        "UPDATE remote_origin SET was_seq = 9",
        "DELETE FROM remote_origin",
        "UPDATE remote_event SET who = NULL",
        "DELETE FROM remote_event",
        f"INSERT INTO remote_event SELECT origin, 9, {THE_REST} FROM remote_event WHERE seq = 5",
    ],
)
def test_what_was_heard_is_not_changed_in_sql(here: BenchStore, restored: Path, sql: str) -> None:
    listen(here, restored)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        here.store.db.conn.execute(sql)
