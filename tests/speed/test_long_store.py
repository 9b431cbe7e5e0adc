"""What a store of many events costs: to prove, to start from, and on the disk."""

import hashlib
import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.store import bench_store, chain
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import FIRST
from kiosk.store.database import FILE
from kiosk.store.proving import prove_store
from tests.speed.conftest import Tell
from tests.speed.figures import EVENTS, MILLION, Figure, in_turn

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]

LONG = 3 if MILLION or "THROUGHLIGHT_THRICE" in os.environ else 1
"""How often what takes half a minute is measured: once in a run of all tests, thrice for the page of figures."""


def hashed_bytes(store: BenchStore) -> Iterator[bytes]:
    """What the chain puts under each hash, laid out here once more."""
    before, origin = FIRST, store.store.origin
    for row in store.log.rows():
        numbers = (row.seq, row.hlc, row.ver, row.at_ms, row.offset_min, row.trusted, row.policy, row.record)
        texts = (origin, row.id, row.cls, row.typ, row.bench, row.who, row.trip)
        header = b"".join([*(n.to_bytes(8, "big", signed=True) for n in numbers), *map(chain._text, texts)])
        yield b"spl1" + before + len(header).to_bytes(4, "big") + header + row.body
        before = row.h


def test_a_store_proved_against_plain_sha_256_of_the_same_bytes(long: Path, tell: Tell) -> None:
    store = BenchStore(long, "B1")
    each = list(hashed_bytes(store))
    assert len(each) == EVENTS
    assert hashlib.sha256(each[-1]).digest() == store.log.head().h
    at_once = b"".join(each)
    plain = f"SHA-256 of the same {len(at_once) / 1e6:,.0f} MB"

    def verified() -> None:
        assert store.log.verify() is None

    def one_by_one() -> None:
        for one in each:
            hashlib.sha256(one).digest()

    ours, base = in_turn(verified, lambda: hashlib.sha256(at_once).digest())
    tell(Figure(what=f"chain of {EVENTS:,} events proved", against=plain, ours=ours, base=base, goal=4))
    ours, base = in_turn(verified, one_by_one)
    tell(Figure(what=f"chain of {EVENTS:,} events proved", against=f"{plain}, a hash an event", ours=ours, base=base))
    store.close()

    def proved() -> None:
        assert prove_store(long).faults == []

    ours, base = in_turn(proved, lambda: hashlib.sha256(at_once).digest(), runs=LONG)
    what = f"verify: {EVENTS:,} events, file, chain, signed heads, every note of the fold folded anew"
    tell(Figure(what=what, against=plain, ours=ours, base=base))


def usable(folder: Path) -> None:
    """Open, look at the newest links, stand where the last kept touch left it."""
    store = BenchStore(folder, "B1")
    try:
        store.check()
        store.bench()
    finally:
        store.close()


def test_a_start_after_a_kill_against_a_start_on_an_empty_store(
    long: Path, tmp_path: Path, tell: Tell, monkeypatch: pytest.MonkeyPatch
) -> None:
    usable(tmp_path / "empty")
    usable(long)
    against = "the same on an empty store"
    ours, base = in_turn(lambda: usable(long), lambda: usable(tmp_path / "empty"), runs=9)
    tell(Figure(what=f"open and fold to usable, {EVENTS:,} events", against=against, ours=ours, base=base))
    if MILLION:
        return
    monkeypatch.setattr(bench_store, "FOLDED_BY", "another program")
    ours, base = in_turn(lambda: usable(long), lambda: usable(tmp_path / "empty"), runs=LONG)
    what = f"open and fold to usable, {EVENTS:,} events, first start of a program that folds otherwise"
    tell(Figure(what=what, against=against, ours=ours, base=base))


def test_bytes_on_the_disk_against_the_bodies_in_it(long: Path, tell: Tell) -> None:
    """Everything: columns, hashes, indexes, signed heads, bookmarks, snapshot. One store, so one figure."""
    store = BenchStore(long, "B1")
    ((bodies,),) = store.store.db.conn.execute("SELECT sum(length(body)) FROM event").fetchall()
    store.close()
    size = (long / FILE).stat().st_size
    what, against = "bytes on the disk per event, all that goes with it", "its canonical body"
    tell(Figure(what=what, against=against, ours=[size / EVENTS], base=[bodies / EVENTS], unit="B", goal=3))
