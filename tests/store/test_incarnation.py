"""A log that was copied, put back or rolled back goes on under a new name, whole, and says so to people."""

import shutil
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.state.bench import Bench
from kiosk.core.state.keeping import SKIPPED
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import FIRST
from kiosk.store.database import FILE, Store
from kiosk.store.incarnation import RESTORED, Incarnation, incarnations
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from tests.store.older import copied, older_store
from tests.store.shift import yes


def told(folder: Path) -> list[Incarnation]:
    """Open the store once more, hold its chain, and tell its incarnations."""
    with Store(folder) as store:
        assert Log(store).verify() is None
        known = list(incarnations(store.db.conn))
        assert store.origin == known[-1].origin
        assert store.keys.public(store.origin) == known[-1].public_key
        return known


def began(folder: Path) -> list[e.IncarnationBegan]:
    with Store(folder) as store:
        return [kept.event for kept in Log(store).read() if isinstance(kept.event, e.IncarnationBegan)]


def worked(folder: Path, numbers: range) -> None:
    with BenchStore(folder).store as store:
        Log(store).append([yes(n) for n in numbers])


def sign(folder: Path) -> None:
    """Sign the head, as a ticket or a sign-out does."""
    bench = BenchStore(folder)
    bench.sign_head(at_ms=5)
    bench.close()


def test_a_new_store_has_one_origin_with_a_key_and_no_event_about_it(folder: Path) -> None:
    (only,) = told(folder)
    assert (only.after_seq, only.was_origin, only.was_h, only.why) == (0, None, FIRST, "first")
    assert began(folder) == []
    assert len(told(folder)) == 1


def test_the_key_lies_beside_the_store_and_is_its_owners_alone(folder: Path) -> None:
    (only,) = told(folder)
    keys = folder.with_name("store.keys")
    key = keys / f"{only.origin}.key"
    assert (keys.stat().st_mode & 0o777, key.stat().st_mode & 0o777) == (0o700, 0o600)
    secret = key.read_bytes()
    assert len(secret) == 32
    for file in folder.iterdir():
        assert secret not in file.read_bytes()


def test_a_store_of_before_the_keys_is_given_one_and_stays_the_same_log(folder: Path) -> None:
    origin = older_store(folder, [yes(1), yes(2)])
    (only,) = told(folder)
    assert (only.origin, only.why) == (origin, "first")
    worked(folder, range(3, 5))
    assert [one.origin for one in told(folder)] == [origin]
    assert began(folder) == []


def test_a_copied_store_goes_on_under_a_new_origin_and_the_first_one_as_it_was(folder: Path, tmp_path: Path) -> None:
    worked(folder, range(1, 4))
    (first,) = told(folder)
    elsewhere = copied(folder, tmp_path / "copy")
    old, new = told(elsewhere)
    assert old == first
    assert (new.after_seq, new.was_origin, new.why) == (3, first.origin, "copied")
    (event,) = began(elsewhere)
    assert (event.origin, event.was, event.after, event.why) == (new.origin, first.origin, 3, "copied")
    assert event.key == new.public_key.hex()
    assert told(folder) == [first]
    assert told(elsewhere) == [old, new]


def test_what_was_kept_before_stays_and_the_chain_runs_on_through_both(folder: Path, tmp_path: Path) -> None:
    worked(folder, range(1, 4))
    elsewhere = copied(folder, tmp_path / "copy")
    worked(elsewhere, range(4, 6))
    with Store(elsewhere) as store:
        log = Log(store)
        rows = list(log.rows())
        assert [row.seq for row in rows] == [1, 2, 3, 4, 5, 6]
        assert [kept for kept in log.read() if isinstance(kept.event, e.CheckYes)] == [yes(n) for n in range(1, 6)]
        assert log.verify() is None
        assert log.verify(last=1) is None
        assert log.verify(last=3) is None


def test_a_store_put_back_to_an_earlier_day_begins_a_new_origin(folder: Path, tmp_path: Path) -> None:
    worked(folder, range(1, 4))
    earlier = copied(folder, tmp_path / "earlier")
    worked(folder, range(4, 9))
    sign(folder)
    shutil.rmtree(folder)
    shutil.copytree(earlier, folder)
    first, new = told(folder)
    assert (new.after_seq, new.was_origin, new.why) == (3, first.origin, "restored")
    assert [event.why for event in began(folder)] == ["restored"]


def test_a_store_that_took_another_way_since_its_head_was_signed_begins_a_new_origin(
    folder: Path, tmp_path: Path
) -> None:
    """As long as the one that was signed, but not the same."""
    worked(folder, range(1, 4))
    earlier = copied(folder, tmp_path / "earlier")
    worked(folder, range(4, 6))
    sign(folder)
    shutil.rmtree(folder)
    shutil.copytree(earlier, folder)
    keys = folder.with_name("store.keys")
    keys.rename(tmp_path / "away")
    shutil.copytree(tmp_path / "away", keys)
    for head in keys.glob("*.head"):
        head.unlink()
    worked(folder, range(14, 20))
    shutil.rmtree(keys)
    (tmp_path / "away").rename(keys)
    assert [one.why for one in told(folder)] == ["first", "restored"]


def test_a_store_marked_as_put_back_begins_a_new_origin_once(folder: Path) -> None:
    worked(folder, range(1, 3))
    connection = sqlite3.connect(str(folder / FILE), isolation_level=None)
    connection.execute("INSERT INTO meta VALUES (?, '1')", (RESTORED,))
    connection.close()
    assert [one.why for one in told(folder)] == ["first", "restored"]
    assert [one.why for one in told(folder)] == ["first", "restored"]


def test_work_after_the_last_signed_head_and_a_power_cut_are_no_reason_for_a_new_origin(folder: Path) -> None:
    worked(folder, range(1, 4))
    sign(folder)
    worked(folder, range(4, 6))
    assert len(told(folder)) == 1


def test_a_bench_may_be_put_back_again_and_again(folder: Path, tmp_path: Path) -> None:
    worked(folder, range(1, 3))
    for turn in range(3):
        copied(folder, tmp_path / f"copy{turn}")
        folder = tmp_path / f"copy{turn}"
        worked(folder, range(10 * turn + 10, 10 * turn + 12))
    known = told(folder)
    assert [one.why for one in known] == ["first", "copied", "copied", "copied"]
    assert [one.was_origin for one in known] == [None, *(one.origin for one in known[:-1])]


def test_a_store_without_any_event_that_is_copied_is_another_one_too(folder: Path, tmp_path: Path) -> None:
    told(folder)
    first, new = told(copied(folder, tmp_path / "copy"))
    assert (new.after_seq, new.was_h, new.was_origin) == (0, FIRST, first.origin)


def test_a_fork_goes_on_under_a_new_origin_without_being_closed(folder: Path) -> None:
    with Store(folder) as store:
        log = Log(store)
        log.append([yes(1), yes(2)])
        store.begin_again("fork")
        log.append([yes(3)])
        assert log.verify() is None
    assert [one.why for one in told(folder)] == ["first", "fork"]


@pytest.mark.parametrize("column", ["after_seq", "origin", "was_h"])
def test_an_incarnation_that_somebody_changed_does_not_hold(folder: Path, tmp_path: Path, column: str) -> None:
    worked(folder, range(1, 4))
    elsewhere = copied(folder, tmp_path / "copy")
    told(elsewhere)
    with Store(elsewhere) as store:
        store.db.conn.execute("DROP TRIGGER incarnation_never_changes")
        other = {"after_seq": 2, "origin": "0" * 36, "was_h": b"x" * 32}[column]
        store.db.conn.execute(f"UPDATE incarnation SET {column} = ? WHERE n = 2", (other,))
    with Store(elsewhere) as store:
        assert Log(store).verify() == {"after_seq": 3, "origin": 4, "was_h": 4}[column]


@pytest.mark.parametrize("sql", ["UPDATE incarnation SET why = 'fork'", "DELETE FROM incarnation"])
def test_no_incarnation_is_changed_or_taken_away_in_sql(store: Store, sql: str) -> None:
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        store.db.conn.execute(sql)


@pytest.mark.parametrize("gone", [True, False], ids=["gone", "cut to nothing"])
def test_a_store_whose_file_was_emptied_is_not_begun_anew_as_if_it_had_never_been(
    folder: Path, tmp_path: Path, gone: bool
) -> None:
    worked(folder, range(1, 4))
    sign(folder)
    kept = copied(folder, tmp_path / "kept")
    for file in folder.iterdir():
        file.unlink()
    if not gone:
        (folder / FILE).touch()
    for _ in range(2):
        with pytest.raises(Outage, match=r"empty or gone.*take store\.keys away"):
            Store(folder)
    shutil.copy(kept / FILE, folder / FILE)
    assert len(told(folder)) == 1
    (folder / FILE).unlink()
    shutil.rmtree(folder.with_name("store.keys"))
    assert [one.why for one in told(folder)] == ["first"]


def test_no_number_is_given_twice_after_a_restore(folder: Path, tmp_path: Path) -> None:
    """What the papers of the lost days carry is not known here: so many numbers are passed over."""
    worked(folder, range(1, 4))
    elsewhere = copied(folder, tmp_path / "copy")
    with Store(elsewhere) as store:
        kepts = list(Log(store).read())
    bench = evolve(Bench(), kepts[-1])
    assert (bench.trips_begun, bench.tickets_issued, bench.tags_issued, bench.packages) == (SKIPPED,) * 4
    assert (bench.holds_placed, bench.forms_numbered, bench.keeping.passed_over) == (SKIPPED,) * 3
