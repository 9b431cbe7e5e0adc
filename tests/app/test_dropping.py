"""Stills as policy keeps them: dropped when their days are over or for room, told to the log first, and never those of
findings, known looks, references and reading sets."""

import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent
from PySide6.QtWidgets import QApplication

from kiosk.app import dropping as d
from kiosk.app.dropping import Dropping
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.composing.handover import line_words, step_words
from kiosk.core.desk import Now, PictureRoom
from kiosk.core.place import Place
from kiosk.core.readings import ReadingPicture
from kiosk.core.session import Session
from kiosk.devices.clock import HandClock
from kiosk.store.fetched import keep_fetched
from tests.core.department import EAR, PIN
from tests.core.test_stills import accept, still
from tests.faults.shifts import StoreShift

DAY_MS = 24 * 3_600_000


class Bench:
    """A bench at A1's scope check, its store on the disk, and what drops its stills."""

    def __init__(self, folder: Path) -> None:
        self.shift = StoreShift(folder=folder)
        self.clock = HandClock(self.shift.at_ms)
        self.worker = ThreadPoolExecutor(max_workers=1)
        self.dropping = Dropping(self.shift.store, self.session, self.clock, self.worker)

    @property
    def session(self) -> Session:
        return self.shift.session

    def to_scope(self) -> None:
        self.shift.sign_in()
        self.shift.open(EAR)
        self.shift.count()
        self.shift.yes_until("A1.bore.scope")

    def keep(self, number: int, size: int = 1000) -> str:
        """A still with bytes of its own on the disk and in the log; its file."""
        name = f"still-{number}.png"
        digest = self.shift.store.keep_picture(name, bytes([number]) * size)
        self.shift.must(still(self.shift, number, sha256=digest))
        return name

    def beat(self, days: float = 0) -> None:
        """So many days later the heart beats, and what that starts is done."""
        self.shift.at_ms += int(days * DAY_MS)
        self.clock.set_to(self.shift.at_ms)
        self.clock.steady += d.DUE_EVERY_MS
        self.dropping.beat()
        self.done()

    def done(self) -> None:
        for _ in range(3):
            self.worker.submit(int).result()
            QCoreApplication.sendPostedEvents(self.dropping, QEvent.Type.MetaCall)

    def here(self) -> set[str]:
        return {file.name for file in (self.shift.folder / "pictures").iterdir()}

    def dropped(self) -> list[tuple[tuple[str, ...], str]]:
        events = (kept.event for kept in self.shift.store.read())
        return [(event.files, event.why) for event in events if isinstance(event, e.PicturesDropped)]

    def end(self) -> None:
        """The open tray went as a whole: no trip is open."""
        trips = self.session.bench.trips
        ended = {name: replace(trip, let_go_ms=self.shift.at_ms) for name, trip in trips.items()}
        self.session.bench = replace(self.session.bench, trips=ended, current=None)


@pytest.fixture
def bench(qapp: QApplication, tmp_path: Path) -> Iterator[Bench]:
    bench = Bench(tmp_path / "store")
    bench.to_scope()
    yield bench
    bench.worker.shutdown(wait=True)
    bench.shift.store.close()


def test_a_still_is_dropped_when_its_days_are_over_and_not_a_moment_before(bench: Bench) -> None:
    name, days = bench.keep(1), bench.session.desk.policy.picture_days
    kept_ms = bench.shift.at_ms
    bench.end()
    bench.shift.at_ms = kept_ms + days * DAY_MS - 1
    bench.beat()
    assert (bench.here(), bench.dropped()) == ({name}, [])
    bench.shift.at_ms = kept_ms + days * DAY_MS
    bench.beat()
    assert (bench.here(), bench.dropped()) == (set(), [((name,), "days")])
    bench.beat(1)
    assert len(bench.dropped()) == 1, "what was dropped is not dropped again"
    stamp = next(kept.stamp for kept in bench.shift.store.read() if isinstance(kept.event, e.PicturesDropped))
    assert (stamp.who, stamp.trip) == (None, None), "policy drops it, nobody at the bench"


def test_the_days_are_the_departments_own(bench: Bench) -> None:
    bench.session.use(replace(bench.session.desk, policy=replace(bench.session.desk.policy, picture_days=7)))
    bench.keep(1)
    bench.end()
    bench.beat(6.9)
    assert len(bench.here()) == 1
    bench.beat(0.2)
    assert not bench.here()


def test_pictures_of_an_open_tray_stay_however_long_it_waits(bench: Bench) -> None:
    name = bench.keep(1)
    bench.beat(400)
    assert bench.here() == {name}


def test_stills_of_a_lumen_in_which_something_was_found_stay(bench: Bench) -> None:
    names = {bench.keep(1), bench.keep(2)}
    bench.shift.no("red_mark", Place(lumen="bore", at_mm=40))
    bench.end()
    bench.beat(400)
    assert bench.here() == names


def test_a_picture_of_a_finding_stays(bench: Bench) -> None:
    store, shift = bench.shift.store, bench.shift
    shift.send(c.Answer(piece="A1", key="bore.scope", yes=False, took_ms=9000))
    shift.send(c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=40)))
    digest = store.keep_picture("found.png", b"found")
    (event,) = shift.must(c.KeepPhoto(file="found.png", sha256=digest))
    assert isinstance(event, e.PhotoTaken)
    bench.end()
    bench.beat(400)
    assert bench.here() == {"found.png"}


def test_a_known_look_stays_and_the_still_beside_it_goes(bench: Bench) -> None:
    look, other = bench.keep(1), bench.keep(2)
    bench.shift.yes()
    (event, *_) = [one for one in accept(bench.shift, 1) if isinstance(one, e.LookAccepted)]
    assert event.file == look
    bench.end()
    bench.beat(400)
    assert bench.here() == {look}
    assert bench.dropped() == [((other,), "days")]


def test_a_look_stays_also_when_a_newer_one_took_its_place(bench: Bench) -> None:
    names = {bench.keep(1), bench.keep(2)}
    bench.shift.yes()
    for n in (1, 2):
        accept(bench.shift, n)
    assert [look.file for look in bench.session.bench.looks.values()] == ["still-2.png"]
    bench.end()
    bench.beat(400)
    assert bench.here() == names


def test_a_reference_and_a_picture_of_a_reading_set_stay_also_where_another_station_named_them(bench: Bench) -> None:
    one, two, three = (bench.keep(n) for n in (1, 2, 3))
    stills = {kept.event.file: kept.event for kept in bench.shift.store.read() if isinstance(kept.event, e.StillKept)}
    offered = e.ReferenceOffered(
        number="RF-1", type="fine_suction", finding="red_mark", file="copy.png", sha256=stills[one].sha256
    )
    asked = ReadingPicture(name="1", file=two, sha256=stills[two].sha256)
    told: list[e.Event] = [offered, e.ReadingSetMade(set="0f" * 16, name="Q1", pictures=(asked,))]
    last = list(bench.shift.store.read())[-1]
    bench.shift.store.keep([replace(last, event=event) for event in told])
    bench.end()
    bench.beat(400)
    assert bench.here() == {one, two}
    assert bench.dropped() == [((three,), "days")]


def test_what_lies_in_the_folder_and_stands_in_no_log_is_left_alone(bench: Bench) -> None:
    bench.shift.store.keep_picture("nobody.png", b"x")
    bench.end()
    bench.beat(4000)
    assert bench.here() == {"nobody.png"}


def test_a_clock_in_doubt_drops_nothing(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    name = bench.keep(1)
    bench.end()
    bench.session.clock = lambda: Now(at_ms=bench.shift.at_ms, offset_min=0, trusted=False)
    bench.beat(400)
    assert (bench.here(), bench.dropped()) == ({name}, [])


def test_a_log_that_goes_on_after_a_restore_drops_nothing_until_a_supervisor_has_read_it(bench: Bench) -> None:
    name = bench.keep(1)
    last = list(bench.shift.store.read())[-1]
    began = e.IncarnationBegan(origin="o", was="w", after=1, why="restored", key="ab" * 32)
    bench.session.take([replace(last, event=began)])
    bench.end()
    bench.beat(400)
    assert (bench.here(), bench.dropped()) == ({name}, [])


def test_a_power_cut_between_the_log_and_the_disk_is_tidied_by_the_next_start(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    name = bench.keep(1)
    bench.end()
    small = bench.shift.folder / "thumbnails" / f"{name}.jpg"
    small.parent.mkdir()
    small.write_bytes(b"small")
    monkeypatch.setattr(bench.dropping, "_take_off", len)  # the cut
    bench.beat(400)
    assert bench.dropped() == [((name,), "days")]
    assert bench.here() == {name}
    again = Dropping(bench.shift.store, bench.session, bench.clock, bench.worker)
    bench.dropping = again
    bench.beat()
    assert not bench.here()
    assert not small.exists()
    assert len(bench.dropped()) == 1


KILLED = """
import os, signal, sys
from pathlib import Path
from PySide6.QtWidgets import QApplication
from tests.app.test_dropping import Bench
app = QApplication([])
bench = Bench(Path(sys.argv[1]))
bench.to_scope()
bench.keep(1)
bench.end()
unlink = Path.unlink
def cut(path, missing_ok=False):
    if path.name == "still-1.png":
        os.kill(os.getpid(), signal.SIGKILL)
    unlink(path, missing_ok=missing_ok)
Path.unlink = cut
bench.beat(400)
"""


def test_a_process_killed_between_the_log_and_the_disk_ends_tidy(qapp: QApplication, tmp_path: Path) -> None:
    folder = tmp_path / "store"
    life = subprocess.run([sys.executable, "-c", KILLED, str(folder)], env=os.environ, check=False, timeout=120)
    assert life.returncode == -signal.SIGKILL
    assert (folder / "pictures" / "still-1.png").exists()
    bench = Bench(folder)
    bench.shift.at_ms += 401 * DAY_MS
    assert bench.dropped() == [(("still-1.png",), "days")], "the fact was kept first"
    bench.end()
    bench.beat()
    assert not bench.here()
    assert len(bench.dropped()) == 1
    bench.worker.shutdown(wait=True)
    bench.shift.store.close()


def given(bench: Bench, monkeypatch: pytest.MonkeyPatch, size: int) -> None:
    """Policy's one gigabyte is so many bytes here: files of a gigabyte are no test."""
    monkeypatch.setattr(d, "GIGABYTE", size)
    bench.session.use(replace(bench.session.desk, policy=replace(bench.session.desk.policy, picture_room_gb=1)))


@pytest.mark.parametrize(("used", "state"), [(7_999, ""), (8_000, "nearly"), (9_999, "nearly"), (10_000, "full")])
def test_the_desk_and_the_bench_say_it_from_80_percent_on(
    bench: Bench, monkeypatch: pytest.MonkeyPatch, used: int, state: str
) -> None:
    given(bench, monkeypatch, 10_000)
    bench.keep(1, used)
    bench.beat()
    room = bench.session.desk.pictures
    assert room == PictureRoom(used=used, given=10_000)
    assert room.state == state
    found = waiting.some(waiting.lines(bench.session.bench, bench.session.desk, bench.session.clock()), ("pictures",))
    assert [line.state for line in found] == ([f"pictures_{state}"] if state else [])
    if found:
        glance = bench.session.glance()
        assert f"{used // 100} %" in line_words(glance, found[0])[1]
        assert "No check waits for it." in step_words(glance, found[0])


def test_at_full_the_oldest_stills_go_before_their_days_and_no_more_than_must(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    given(bench, monkeypatch, 10_000)
    names = [bench.keep(n, 3_000) for n in (1, 2, 3)]
    bench.end()
    bench.beat(3)
    assert bench.here() == set(names)
    bench.shift.store.keep_picture("found.png", b"f" * 3_500)
    bench.beat()
    assert bench.dropped() == [((names[0],), "room")]
    assert bench.here() == {*names[1:], "found.png"}


def test_at_full_nothing_younger_than_two_days_goes_and_work_goes_on(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    given(bench, monkeypatch, 1_000)
    name = bench.keep(1, 3_000)
    bench.end()
    bench.beat(1.9)
    assert bench.here() == {name}
    assert bench.session.desk.pictures is not None
    assert bench.session.desk.pictures.state == "full"
    assert bench.shift.must(c.EnterPin(person="T2", pin=PIN))


def test_at_full_a_check_is_answered_and_a_still_is_kept_as_before(
    bench: Bench, monkeypatch: pytest.MonkeyPatch
) -> None:
    given(bench, monkeypatch, 1_000)
    bench.keep(1, 3_000)
    bench.beat()
    name = bench.keep(2, 3_000)
    assert name in bench.here()
    assert any(isinstance(event, e.CheckYes) for event in bench.shift.yes())


def test_copies_of_others_pictures_make_room_first(bench: Bench, monkeypatch: pytest.MonkeyPatch) -> None:
    given(bench, monkeypatch, 5_000)
    name, data = bench.keep(1, 3_000), b"c" * 3_000
    copy = keep_fetched(bench.shift.folder, "other.png", sha256(data).hexdigest(), data)
    bench.end()
    bench.beat(3)
    assert not copy.exists()
    assert (bench.here(), bench.dropped()) == ({name}, [])


def test_what_comes_of_a_look_after_the_bench_has_stopped_is_told_to_no_log(bench: Bench) -> None:
    name = bench.keep(1)
    bench.end()
    bench.dropping.stop()
    bench.beat(400)
    assert (bench.here(), bench.dropped()) == ({name}, [])
