"""Whatever lies on a stick, the reader says an Outage and keeps nothing, or takes the whole in; it never does else."""

import json
import tempfile
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS, FIRST, link
from kiosk.store.outage import Outage
from kiosk.store.proving import prove_store
from kiosk.sync.bundle import take_bundle
from tests.sync.forging import Bench, counted, parts, put
from tests.sync.reading import held
from tests.sync.rows import Row

GIVEN_BY_B2 = Bench()
GOOD = GIVEN_BY_B2.bundle(GIVEN_BY_B2.log(30))
HEADER: dict[str, Any] = json.loads(parts(GOOD)[0])
BODY = parts(GOOD)[3]


@pytest.fixture(scope="module")
def here() -> Iterator[BenchStore]:
    """One store for all the examples of a test: what one of them left behind the next one would show."""
    with tempfile.TemporaryDirectory() as folder:
        store = BenchStore(Path(folder) / "here", "D1")
        yield store
        store.close()


def read(here: BenchStore, data: bytes, bench: Bench = GIVEN_BY_B2) -> bool:
    """Was it taken in? If not, nothing of it was kept. The sentence is one that can be said."""
    file, before = put(here.store.folder / "x.bundle", data), held(here)
    try:
        take_bundle(file, here.heard, trusted={bench.public})
    except Outage as fault:
        said = str(fault)
    else:
        return True
    assert (said != "", held(here)) == (True, before)
    return False


@st.composite
def mangled(draw: st.DrawFn) -> bytes:
    """A good bundle with pieces of it turned, taken out, put in or said twice."""
    data = bytearray(GOOD)
    for _ in range(draw(st.integers(1, 4))):
        at = draw(st.integers(0, len(data)))
        end = min(len(data), at + draw(st.integers(0, 80)))
        how = draw(st.sampled_from(("put in", "take out", "replace", "twice", "cut")))
        if how == "cut":
            del data[at:]
        elif how == "take out":
            del data[at:end]
        elif how == "twice":
            data[at:at] = data[at:end]
        else:
            data[at : end if how == "replace" else at] = draw(st.binary(max_size=40))
    return bytes(data)


@given(mangled())
def test_a_mangled_bundle_is_refused(here: BenchStore, data: bytes) -> None:
    assert not read(here, data) or data == GOOD


@given(st.binary(max_size=600))
def test_any_bytes_are_refused(here: BenchStore, data: bytes) -> None:
    assert not read(here, data)


VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=40)
    | st.sampled_from(["ab" * 32, "0" * 36]),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3),
    max_leaves=6,
)


@pytest.mark.slow
@given(st.dictionaries(st.sampled_from(sorted(HEADER)) | st.text(max_size=8), VALUES, min_size=1, max_size=3))
@example({"count": 0, "from": 1, "to": 0})
@example({"was": {"origin": HEADER["origin"], "seq": 0, "h": "00" * 32}})
def test_a_header_that_says_anything_under_a_true_signature_is_refused(
    here: BenchStore, changed: dict[str, Any]
) -> None:
    bench, tree = GIVEN_BY_B2, {**HEADER, **changed}
    data = json.dumps(tree, sort_keys=True, separators=(",", ":")).encode()
    if read(here, bench.sealed(data, BODY)):
        assert tree == HEADER or changed.keys() == {"was"}


@given(st.binary(max_size=3000))
def test_a_header_of_any_bytes_under_a_true_signature_is_refused(here: BenchStore, data: bytes) -> None:
    assert not read(here, GIVEN_BY_B2.sealed(data, BODY))


@given(st.binary(max_size=400), st.booleans(), st.integers(0, 1 << 20))
def test_a_body_of_any_bytes_under_a_true_signature_is_refused(
    here: BenchStore, data: bytes, packed: bool, length: int
) -> None:
    bench, log = GIVEN_BY_B2, GIVEN_BY_B2.log(30)
    body = zlib.compress(data) if packed else data
    told = {"length": len(data) if packed else length}
    assert not read(here, bench.bundle(log, body=body, changed=told))


INTEGERS = st.integers(-(2**63), 2**63 - 1) | st.sampled_from([-1, 0, 1, 2])
TEXTS = st.text(max_size=40) | st.sampled_from(["../../x", "B2", "P1", "a" * 36, "\0" * 36])


@st.composite
def odd_log(draw: st.DrawFn) -> tuple[Bench, list[Row]]:
    """A log that its bench linked and signed, whatever stands in it; new for every example."""
    bench, before, out = Bench(), FIRST, []
    for row in bench.log(draw(st.integers(1, 4))):
        values = dict(zip(COLUMNS, row, strict=True))
        for name in draw(st.sets(st.sampled_from(COLUMNS[:-1]), max_size=3)):
            kind = INTEGERS if COLUMNS.index(name) < 8 else st.binary(max_size=60) if name == "body" else TEXTS
            values[name] = draw(kind | st.none() if name in {"who", "trip"} else kind)
        row = tuple(values[name] for name in COLUMNS[:-1])
        before = link(before, bench.origin, row)
        out.append((*row, before))
    return bench, out


@pytest.mark.slow
@given(odd_log())
def test_what_a_trusted_bench_linked_and_signed_is_taken_whole_or_refused(
    here: BenchStore, told: tuple[Bench, list[Row]]
) -> None:
    bench, log = told
    taken = read(here, bench.bundle(log), bench)
    there = here.store.db.conn.execute(
        f"SELECT {', '.join(COLUMNS)} FROM remote_event WHERE origin = ? ORDER BY seq", (bench.origin,)
    ).fetchall()
    assert there == (log if taken else [])


def test_after_all_that_the_good_one_is_taken_and_the_store_holds(here: BenchStore) -> None:
    assert read(here, GOOD)
    assert read(here, counted(b"") + GOOD) is False
    assert prove_store(here.store.folder).faults == []
