"""The log carried on a stick: from bench to decontam, twice, out of order, in several files, through a new origin."""

import errno
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

from kiosk.core.events import IncarnationBegan
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS
from kiosk.store.database import Store
from kiosk.store.log import Log
from kiosk.store.outage import Outage
from kiosk.store.proving import prove_store
from kiosk.sync import bundle, bundle_writing
from kiosk.sync.bundle import Taken, opened_bundle, take_bundle
from kiosk.sync.bundle_format import Caps
from kiosk.sync.bundle_writing import LeftOut, Written, write_bundles
from kiosk.sync.receipt import write_receipt
from kiosk.sync.stick import plain_file, read_back, write_plain
from tests.store.older import copied
from tests.store.shift import EVERYTHING, yes
from tests.sync.forging import Bench, put

ROWS = f"SELECT {', '.join(COLUMNS)} FROM {{}} ORDER BY seq"


@pytest.fixture
def here(tmp_path: Path) -> Iterator[BenchStore]:
    """Decontam, which takes in."""
    station = BenchStore(tmp_path / "here", "D1")
    yield station
    station.close()


def worked(folder: Path, numbers: range) -> None:
    with Store(folder, "B2") as store:
        Log(store).append([yes(n) for n in numbers])


def written(folder: Path, to: Path, **more: Any) -> list[Path]:
    return [one.file for one in write_bundles(folder, to, at_ms=7, **more)[0]]


def key_in(path: Path) -> bytes:
    with opened_bundle(path) as found:
        return found.header.public_key


def take(here: BenchStore, path: Path) -> Taken:
    """With the key that the station itself says."""
    return take_bundle(path, here.heard, trusted={key_in(path)})


def kept(folder: Path) -> list[Any]:
    with Store(folder) as store:
        return store.db.conn.execute(ROWS.format("event")).fetchall()


def test_every_column_of_every_kind_of_event_comes_as_it_was_stored(
    here: BenchStore, stick: Path, tmp_path: Path
) -> None:
    with Store(tmp_path / "b2", "B2") as store:
        Log(store).append(EVERYTHING)
    (file,) = written(tmp_path / "b2", stick)
    taken = take(here, file)
    assert taken.new == len(EVERYTHING)
    there = here.store.db.conn.execute(ROWS.format("remote_event")).fetchall()
    assert there == kept(tmp_path / "b2")
    assert here.heads.newest(taken.header.origin) == taken.header.head
    assert prove_store(tmp_path / "here").faults == []


def test_the_same_stick_twice_changes_nothing(here: BenchStore, stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 9))
    (file,) = written(tmp_path / "b2", stick)
    assert [take(here, file).new, take_bundle(file, here.heard).new] == [8, 0]
    assert list(here.heard.heads().values()) == [8]


def test_bundles_that_overlap_are_taken_in_once(here: BenchStore, stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 6))
    first = written(tmp_path / "b2", stick / "first.bundle")[0]
    worked(tmp_path / "b2", range(6, 10))
    second = written(tmp_path / "b2", stick / "second.bundle")[0]
    assert [take(here, file).new for file in (first, second, first)] == [5, 4, 0]
    assert [event for _, event in here.heard.read()] == [yes(n) for n in range(1, 10)]


def test_several_files_within_the_caps_hold_everything_and_a_gap_is_refused_by_name(
    here: BenchStore, stick: Path, tmp_path: Path
) -> None:
    worked(tmp_path / "b2", range(1, 301))
    few = written(tmp_path / "b2", stick, caps=Caps(count=120))
    assert [path.name[-22:] for path in few] == [
        "0000001-0000120.bundle",
        "0000121-0000240.bundle",
        "0000241-0000300.bundle",
    ]
    with pytest.raises(Outage, match="begins at event 121, and only 0 are known"):
        take(here, few[1])
    assert here.heard.heads() == {}
    assert [take(here, file).new for file in few] == [120, 120, 60]


@pytest.mark.parametrize("caps", [Caps(packed=3000), Caps(packed=20_000), Caps(length=5000), Caps(packed=1500)])
def test_no_file_is_larger_than_its_caps(here: BenchStore, stick: Path, tmp_path: Path, caps: Caps) -> None:
    worked(tmp_path / "b2", range(1, 301))
    made, _ = write_bundles(tmp_path / "b2", stick / "x.bundle", at_ms=7, caps=caps)
    assert len(made) > 1
    assert [one.file.name for one in made[:2]] == ["x.bundle", "x-2.bundle"]
    assert all(one.header.packed <= caps.packed and one.header.length <= caps.length for one in made)
    assert [one.size for one in made] == [one.file.stat().st_size for one in made]
    assert sum(take(here, one.file).new for one in made) == 300


def test_a_followed_origin_comes_in_either_order_and_stands_as_one_bench(
    here: BenchStore, stick: Path, tmp_path: Path
) -> None:
    """The store was put back on its own machine: both keys lie there."""
    there = tmp_path / "b2"
    worked(there, range(1, 4))
    copied(there, tmp_path / "earlier")
    worked(there, range(4, 6))
    bench = BenchStore(there)
    bench.sign_head(at_ms=9)
    bench.close()
    shutil.rmtree(there)
    (tmp_path / "earlier").rename(there)
    worked(there, range(6, 8))
    first, second = written(there, stick)
    with opened_bundle(second) as found:
        assert found.header.was is not None
        assert (found.header.was.seq, found.header.first) == (3, 4)
    assert [take(here, second).new, take(here, first).new] == [3, 3]
    told = [event.event for _, event in here.heard.read()]
    assert sum(isinstance(event, IncarnationBegan) for event in told) == 1
    with Store(there) as store:
        lives = Log(store).head().seq
    assert here.records.fresh()["B2"].seq == lives


def test_a_former_log_whose_key_is_elsewhere_is_left_out_and_said(stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "first", range(1, 4))
    there = copied(tmp_path / "first", tmp_path / "there")
    worked(there, range(4, 6))
    made, left = write_bundles(there, stick, at_ms=7)
    with Store(there) as store:
        former, now = (span.origin for span in store.spans)
    assert left == [LeftOut(origin=former, first=1, last=3)]
    assert [(one.header.origin, one.header.first, one.header.last) for one in made] == [(now, 4, 6)]
    assert write_bundles(there, stick, at_ms=7, acked={former: 3})[1] == []


def test_what_a_restored_bench_lost_comes_back_from_its_own_stick(stick: Path, tmp_path: Path) -> None:
    there = tmp_path / "b2"
    worked(there, range(1, 4))
    earlier = copied(there, tmp_path / "earlier")
    worked(there, range(4, 9))
    (file,) = written(there, stick)
    back = BenchStore(earlier)
    assert take_bundle(file, back.heard).new == 5
    assert [event for _, event in back.heard.read()] == [yes(n) for n in range(4, 9)]
    back.close()


def test_only_what_the_hub_lacks_is_written(here: BenchStore, stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 9))
    with Store(tmp_path / "b2") as store:
        origin = store.origin
    take(here, written(tmp_path / "b2", stick, acked={origin: 0})[0])
    worked(tmp_path / "b2", range(9, 12))
    (file,) = written(tmp_path / "b2", stick, acked={origin: 8})
    assert take_bundle(file, here.heard).new == 3
    assert written(tmp_path / "b2", stick, acked={origin: 11}) == []


def test_a_bench_is_written_while_it_works(stick: Path, tmp_path: Path) -> None:
    with Store(tmp_path / "b2", "B2") as store:
        Log(store).append([yes(1)])
        assert len(written(tmp_path / "b2", stick)) == 1
        assert [row.seq for row in Log(store).append([yes(2)])] == [2]


def test_a_log_that_does_not_hold_is_not_written(stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 6))
    with Store(tmp_path / "b2") as store:
        store.db.conn.execute("DROP TRIGGER event_never_changes")
        store.db.conn.execute("UPDATE event SET who = 'P-999' WHERE seq = 4")
    with pytest.raises(Outage, match="from event 4 on"):
        written(tmp_path / "b2", stick)
    assert list(stick.iterdir()) == []


def test_an_event_that_no_bundle_can_hold_is_said(stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 3))
    with pytest.raises(Outage, match="Event 1 is too large"):
        written(tmp_path / "b2", stick, caps=Caps(packed=150))


def test_an_unknown_key_is_refused_with_the_word_that_lets_it_in(here: BenchStore, stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 3))
    (file,) = written(tmp_path / "b2", stick)
    with pytest.raises(Outage, match=f"--trust {key_in(file).hex()}"):
        take_bundle(file, here.heard, trusted={bytes(32)})
    assert here.heard.heads() == {}


def test_the_product_reads_what_was_made_from_the_words_alone(here: BenchStore, stick: Path) -> None:
    bench = Bench()
    file = put(stick / "x.bundle", bench.bundle(bench.log(40)))
    assert take_bundle(file, here.heard, trusted={bench.public}).new == 40


def test_a_receipt_says_who_took_what_and_is_signed(here: BenchStore, stick: Path, tmp_path: Path) -> None:
    here.keep([yes(1), yes(2)])
    worked(tmp_path / "b2", range(1, 6))
    (file,) = written(tmp_path / "b2", stick)
    path = write_receipt(file, take(here, file), here.store, at_ms=11)
    tree = json.loads(path.read_bytes())
    assert path == file.with_name(file.name + ".receipt")
    assert (tree["by"]["bench"], tree["took"]["to"], tree["took"]["new"], tree["head"]["seq"]) == ("D1", 5, 5, 2)
    sig, key = bytes.fromhex(tree.pop("sig")), here.store.keys.public(here.store.origin)
    assert key is not None
    said = json.dumps(tree, sort_keys=True, separators=(",", ":")).encode()
    Ed25519PublicKey.from_public_bytes(key).verify(sig, b"spl-receipt1" + said)


def test_a_file_is_written_over_a_link_and_never_through_it(stick: Path, tmp_path: Path) -> None:
    victim = put(tmp_path / "victim", b"mine")
    for name in ("x", ".x.part"):
        (stick / name).symlink_to(victim)
    assert write_plain(stick / "x", [b"the ", b"log"]) == sha256(b"the log").digest()
    assert victim.read_bytes() == b"mine"
    assert not (stick / "x").is_symlink()
    assert (stick / "x").read_bytes() == b"the log"
    assert [path.name for path in stick.iterdir()] == ["x"]


def test_reading_back_drops_what_the_machine_remembers_first(stick: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Linux takes the advice before the first byte is read (posix_fadvise(2))."""
    file, asked, advise = put(stick / "x", b"log"), [], os.posix_fadvise

    def noted(handle: int, at: int, length: int, advice: int) -> None:
        asked.append((os.lseek(handle, 0, os.SEEK_CUR), at, length, advice))
        advise(handle, at, length, advice)

    monkeypatch.setattr(os, "posix_fadvise", noted)
    assert read_back(file, 99) == sha256(b"log").digest()
    assert asked == [(0, 0, 0, os.POSIX_FADV_DONTNEED)]


def test_a_stick_that_did_not_keep_what_it_took_is_said_and_the_file_taken_away(
    stick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    worked(tmp_path / "b2", range(1, 6))

    def worn(path: Path, chunks: Iterator[bytes]) -> bytes:
        """What a worn stick does: one bit is another one when it is read again."""
        digest = write_plain(path, chunks)
        data = bytearray(path.read_bytes())
        data[-9] ^= 1
        path.write_bytes(data)
        return digest

    monkeypatch.setattr(bundle_writing, "write_plain", worn)
    with pytest.raises(Outage, match="could not be read back"):
        written(tmp_path / "b2", stick)
    assert list(stick.iterdir()) == []


class Pulled:
    """A file on a stick that is pulled out after so many reads: what the system says then is EIO."""

    def __init__(self, file: Any, reads: int) -> None:
        self._file, self._reads = file, reads
        self.tell, self.seek = file.tell, file.seek

    def read(self, most: int) -> bytes:
        self._reads -= 1
        if self._reads < 0:
            raise OSError(errno.EIO, "gone")
        data: bytes = self._file.read(most)
        return data


def test_a_stick_that_is_pulled_out_while_it_is_read_keeps_nothing(
    here: BenchStore, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Read after read, the last ones in the middle of the transaction, until it is left in long enough."""
    bench = Bench()
    file = put(stick / "x.bundle", bench.bundle(bench.log(2500)))
    key, pulled_at = bench.public, 0
    while pulled_at < 99:

        @contextmanager
        def pulled(path: Path, most: int, reads: int = pulled_at) -> Iterator[Any]:
            with plain_file(path, most) as found:
                yield Pulled(found, reads)

        monkeypatch.setattr(bundle, "plain_file", pulled)
        try:
            assert take_bundle(file, here.heard, trusted={key}).new == 2500
            break
        except Outage as fault:
            assert str(fault) == "x.bundle can not be read."  # noqa: PT017 - the last time nothing is raised
            assert here.heard.heads() == {}
        pulled_at += 1
    assert pulled_at > 10
    assert here.heard.heads() == {bench.origin: 2500}


def test_a_bench_event_takes_few_bytes_on_the_stick(stick: Path, tmp_path: Path) -> None:
    worked(tmp_path / "b2", range(1, 1001))
    (one,) = write_bundles(tmp_path / "b2", stick, at_ms=7)[0]
    assert isinstance(one, Written)
    assert one.size / one.header.count < 100  # of them 32 are the hash, which nothing makes smaller
