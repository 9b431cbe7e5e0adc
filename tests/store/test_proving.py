"""What is asked of a store's file: each fault is made in a real file, and is named in a sentence."""

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE, Store
from kiosk.store.facts import FACTS
from kiosk.store.keys import Keys
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from kiosk.store.proving import Proof, bench_of, prove_file, prove_store
from kiosk.store.records import StoreRecords
from kiosk.sync.beside import Beside
from tests.store.older import copied, older_store
from tests.store.shift import kept, yes


def change(folder: Path, *statements: str) -> None:
    """What somebody with the file in hand may do: no trigger, no check, no rule of the program."""
    connection = sqlite3.connect(str(folder / FILE), isolation_level=None)
    for (name,) in connection.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
        connection.execute(f"DROP TRIGGER {name}")
    for sql in statements:
        connection.execute(sql)
    connection.close()


def told(proof: Proof) -> list[str]:
    return [fault.key for fault in proof.faults]


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    """B1: moved once, signed, with a snapshot; it heard B2, which was moved too and had signed."""
    other = tmp_path / "first"
    with Store(other, "B2") as store:
        Log(store).append([yes(n) for n in range(1, 4)])
    bench = BenchStore(other)
    head = bench.sign_head(at_ms=3)
    bench.close()
    there = copied(other, tmp_path / "there")
    with Store(there, "B2") as store:
        Log(store).append([yes(n) for n in range(4, 6)])
    folder = tmp_path / "here"
    bench = BenchStore(folder, "B1")
    bench.keep([kept(e.SignedIn(person="P-014")), *(yes(n) for n in range(10, 14))])
    bench.sign_head(at_ms=4)
    bench.close()
    moved = copied(folder, tmp_path / "moved")
    bench = BenchStore(moved)
    ear = Beside(there)
    while said := ear.fetch(bench.heard.heads()):
        bench.heard.take(said.origin, said.rows, was=said.was, public_key=said.public_key)
    ear.close()
    assert head is not None
    bench.heard.take(head.origin, (), head=head)
    bench.keep([yes(20), yes(21)])
    bench.sign_head(at_ms=5)
    bench.snapshot(bench.bench())
    bench.close()
    return moved


def test_a_store_that_nobody_touched_holds_in_every_part(whole: Path) -> None:
    proof = prove_store(whole)
    assert proof.faults == []
    assert (proof.bench, proof.events, proof.first_bad) == ("B1", 8, None)
    assert [(one["station"], one["from"], one["to"], one["why"]) for one in proof.origins[:2]] == [
        ("B1", 1, 5, "first"), ("B1", 6, 8, "copied"),
    ]  # fmt: skip
    assert sorted((one["station"], one["from"], one["to"]) for one in proof.origins[2:]) == [("B2", 1, 3), ("B2", 4, 6)]
    assert (proof.signed, proof.projections - len(FACTS)) == (3, 1)
    assert bench_of(whole) == "B1"


def test_it_is_asked_while_the_bench_works_and_writes_nothing(whole: Path) -> None:
    bench = BenchStore(whole)
    before = bench.log.head()
    assert prove_store(whole).faults == []
    bench.keep([yes(30)])
    assert prove_store(whole).events == before.seq + 1
    assert prove_store(whole).faults == []
    bench.close()


@pytest.mark.parametrize(
    ("sql", "key", "says"),
    [
        ("UPDATE event SET who = 'P-9' WHERE seq = 2", "chain", "The log of B1 does not hold from event 2 on"),
        ("DELETE FROM event WHERE seq = 4", "chain", "from event 4 on"),
        ("UPDATE event SET at_ms = at_ms + 1 WHERE seq = 8", "chain", "from event 8 on"),
        ("UPDATE remote_event SET trip = 'T-9' WHERE seq = 2", "other_chain", "What was heard of B2"),
        ("UPDATE remote_event SET body = x'7b7d' WHERE seq = 6", "other_chain", "from event 6 on"),
        ("DELETE FROM remote_event WHERE seq = 5", "other_chain", "from event 5 on"),
        ("UPDATE remote_origin SET was_h = zeroblob(32) WHERE was_seq = 3", "other_chain", "from event 4 on"),
        ("UPDATE signed_head SET sig = zeroblob(64) WHERE seq = 8", "head_sig", "not signed by its own key"),
        ("UPDATE signed_head SET h = zeroblob(32) WHERE seq = 3", "head_sig", "at event 3 is not signed"),
        ("UPDATE remote_origin SET public_key = zeroblob(32)", "head_sig", "not signed by its own key"),
        ("UPDATE incarnation SET public_key = zeroblob(32) WHERE n = 2", "not_said", "another key than it said"),
        ("UPDATE meta SET v = 'another' WHERE k = 'origin'", "renamed", "says that it is another log"),
        ("UPDATE snapshot SET seal = zeroblob(32)", "snapshot", "is not what the log says"),
        ("UPDATE snapshot SET seq = 3", "snapshot", "noted at event 3"),
    ],
)
def test_whatever_is_changed_in_the_file_is_named(whole: Path, sql: str, key: str, says: str) -> None:
    change(whole, sql)
    proof = prove_store(whole)
    assert key in told(proof)
    assert any(says in str(fault) for fault in proof.faults)


def test_a_log_that_was_cut_off_behind_its_signed_head_is_named(whole: Path) -> None:
    """The chain alone can not see it: what is left of it holds."""
    change(whole, "DELETE FROM event WHERE seq > 6", "DELETE FROM snapshot")
    proof = prove_store(whole)
    assert proof.first_bad is None
    assert sorted(told(proof)) == ["head_beyond", "rolled_back"]
    change(whole, "DELETE FROM signed_head WHERE seq = 8")
    assert told(prove_store(whole)) == ["rolled_back"]


def test_a_log_that_was_written_anew_with_every_hash_made_good_is_named_by_what_was_signed(folder: Path) -> None:
    bench = BenchStore(folder)
    bench.keep([yes(1), yes(2)])
    bench.sign_head(at_ms=1)
    origin = bench.store.origin
    bench.close()
    change(folder, "DELETE FROM event")
    with Store(folder.with_name("forged")) as forged:
        forged.origin = origin
        Log(forged).append([yes(7), yes(8)])
    change(
        folder,
        f"ATTACH '{folder.with_name('forged') / FILE}' AS forged",
        "INSERT INTO event SELECT * FROM forged.event",
    )
    proof = prove_store(folder)
    assert proof.first_bad is None
    assert sorted(told(proof)) == ["head_differs", "rolled_back"]


def test_a_snapshot_that_says_more_than_the_log_is_named_although_its_seal_is_good(whole: Path) -> None:
    bench = BenchStore(whole)
    bench.snapshot(bench.bench().__class__(who="P-099"))
    bench.close()
    assert told(prove_store(whole)) == ["snapshot"]


def test_a_bookmark_of_another_stations_past_is_held_against_its_whole_log(whole: Path) -> None:
    bench = BenchStore(whole)
    (origin,) = [name for name, seq in bench.heard.heads().items() if seq == 6]
    right = bench.records.bench_at(origin, 6)
    bench.records._mark(origin, 6, right)
    bench.records.put_down()
    bench.close()
    assert (prove_store(whole).projections - len(FACTS), told(prove_store(whole))) == (2, [])
    bench = BenchStore(whole)
    StoreRecords._mark(bench.records, origin, 5, right.__class__(who="P-099"))
    bench.records.put_down()
    bench.close()
    assert told(prove_store(whole)) == ["bookmark"]


def test_a_version_of_the_policy_that_was_changed_is_named(whole: Path) -> None:
    bench = BenchStore(whole)
    bench.keep_policy({"tell_lead_at": 2}, at_ms=1)
    bench.close()
    assert told(prove_store(whole)) == []
    change(whole, "UPDATE policy SET body = x'7b7d'")
    assert [str(fault) for fault in prove_store(whole).faults] == ["Version 1 of the policy is not as it was kept."]


def _flip(folder: Path, at: Callable[[bytes], int]) -> None:
    data = bytearray((folder / FILE).read_bytes())
    place = at(bytes(data)) // 4096 * 4096
    data[place : place + 4096] = b"\xa5" * 4096
    (folder / FILE).write_bytes(data)


def test_a_page_that_can_not_be_read_is_named_with_the_event_and_the_rest_is_still_asked(folder: Path) -> None:
    with BenchStore(folder).store as store:
        Log(store).append([yes(n) for n in range(1, 101)])
    _flip(folder, lambda data: data.index(b'"A3#50"'))
    proof = prove_store(folder)
    assert told(proof) == ["unreadable", "chain"]
    assert proof.first_bad is not None
    assert 1 < proof.first_bad <= 50


def test_a_file_that_is_none_of_ours_is_an_outage_and_no_proof(folder: Path) -> None:
    folder.mkdir()
    (folder / FILE).write_bytes(b"tray list\n" * 800)
    with pytest.raises(Outage, match="damaged"):
        prove_store(folder)
    (folder / FILE).unlink()
    connection = sqlite3.connect(str(folder / FILE))
    connection.execute("CREATE TABLE notes (text TEXT)")
    connection.close()
    with pytest.raises(Outage, match="not a store of this program"):
        prove_file(folder / FILE)


def test_a_store_of_before_the_keys_is_asked_what_it_can_tell(folder: Path) -> None:
    older_store(folder, [yes(1), yes(2)])
    proof = prove_store(folder)
    assert (proof.events, proof.faults) == (2, [])
    change(folder, "UPDATE event SET who = 'P-9' WHERE seq = 2")
    assert (prove_store(folder).first_bad, told(prove_store(folder))) == (2, ["chain"])


@pytest.mark.parametrize("head", ["", "{", "[]", '{"seq": 1}', '{"seq":1,"hlc":1,"h":"zz","at_ms":1,"sig":""}'])
def test_a_head_beside_the_key_that_can_not_be_read_proves_nothing(whole: Path, head: str) -> None:
    keys = Keys(whole)
    (path,) = [file for file in keys.folder.glob("*.head") if keys.noted(file.stem)]
    good = json.loads(path.read_text())
    path.write_text(head)
    assert keys.noted(path.stem) is None
    assert told(prove_store(whole)) == []
    path.write_text(json.dumps({**good, "seq": good["seq"] + 1}))
    assert keys.noted(path.stem) is None
    shutil.rmtree(keys.folder)
    assert told(prove_store(whole)) == []
