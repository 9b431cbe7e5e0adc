"""The live view: frames shown while stills are written, from the touch to the frozen picture, memory over an hour.

Times are told as ratios of one run and never passed or failed; that memory does not grow is a test.
"""

import os
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, QEventLoop, QObject, QRectF
from PySide6.QtGui import QColor, QImage, QPainter, QPaintEvent, QPixmap
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.parts.gallery import MOST_PIXELS
from kiosk.ui.screens.camera import Mode
from tests.speed.conftest import Tell
from tests.speed.figures import Figure
from tests.speed.live_bench import LiveBench

pytestmark = pytest.mark.slow

RATE = 30
SECONDS = 6.0
HOUR = RATE * 3600
SOAKED = int(os.environ.get("THROUGHLIGHT_SOAK_FRAMES", HOUR))
"""Frames of the soak: an hour's unless told otherwise."""
STATM = Path("/proc/self/statm")
MOST_GROWTH_MB = 10.0
"""Resident memory may move by this much; a picture kept by mistake once in a thousand frames is more."""


@pytest.fixture
def bench(qapp: QApplication, tmp_path: Path) -> Iterator[LiveBench]:
    bench = LiveBench(tmp_path)
    yield bench
    bench.close()


class Painted(QObject):
    """Counts the pictures that the page's lens paints, one for each frame. A page that is filled anew has a new one."""

    def __init__(self) -> None:
        super().__init__()
        self.count = 0
        self._lens: QWidget | None = None

    def watch(self, lens: QWidget | None) -> None:
        """Count what this lens paints from now on."""
        if lens is not None and lens is not self._lens:
            lens.installEventFilter(self)
            self._lens = lens

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        self.count += event.type() is QEvent.Type.Paint
        return False


def shown(bench: LiveBench, seconds: float, *, writing: bool) -> float:
    """Seconds a frame that was painted, over so many seconds; `writing`: a still is on its way to the disk always."""
    painted = Painted()
    stills, of = bench.kiosk.stills, bench.page._view
    assert of is not None
    source = bench.kiosk.eyes.source if bench.kiosk.eyes else None
    assert source is not None
    bench.timer.start(1000 // RATE)
    began = time.perf_counter()
    while time.perf_counter() - began < seconds:
        painted.watch(bench.page.lens)
        QApplication.processEvents(QEventLoop.ProcessEventsFlag.WaitForMoreEvents, 20)
        if writing and not stills.busy and (still := source.still()) is not None:
            stills.keep(still, of.of)  # as Keep does; the page itself stays live
    took = time.perf_counter() - began
    bench.timer.stop()
    while stills.busy:  # the last one, outside of the time
        QApplication.processEvents()
    return took / max(1, painted.count)


def test_frames_shown_while_a_still_is_written_against_frames_shown_while_none_is(bench: LiveBench, tell: Tell) -> None:
    """The goal is 25 of 30 a second while a still is written, so 1.2 times as long a frame at most."""
    ours, base = [], []
    for _ in range(3):
        base.append(1000 * shown(bench, SECONDS, writing=False))
        before = len(bench.shift.trip.stills)
        ours.append(1000 * shown(bench, SECONDS, writing=True))
        assert len(bench.shift.trip.stills) > before, "stills were truly written meanwhile"
    against = "the same while none is written; frames come 30 a second"
    what = "a frame shown, 1280 x 720, while stills are written"
    tell(Figure(what=what, against=against, ours=ours, base=base, goal=1.2))


class Bare(QWidget):
    """A window that paints one picture over itself: the least that can show a still."""

    def __init__(self, image: QImage) -> None:
        super().__init__()
        self.image = image

    def paintEvent(self, _event: QPaintEvent) -> None:
        painter = QPainter(self)
        painter.drawImage(QRectF(self.rect()), self.image)
        painter.end()


def test_from_the_touch_to_the_frozen_picture_against_a_bare_window_that_paints_it(
    bench: LiveBench, tell: Tell
) -> None:
    """Until the page with the frozen still is painted whole. The goal of 100 ms is told with the figure."""
    bare = Bare(bench.images[0])
    bare.resize(bench.kiosk.window.size())
    bare.show()
    ours, base = [], []
    for _ in range(15):
        bench.frame()
        QApplication.processEvents()
        bench.clock.advance(2_000)
        began = time.perf_counter()
        bare.repaint()
        base.append(1000 * (time.perf_counter() - began))
        began = time.perf_counter()
        bench.page.freeze()
        bench.kiosk.window.repaint()
        ours.append(1000 * (time.perf_counter() - began))
        assert bench.page.mode is Mode.FROZEN
        bench.touch("try again")
    bare.close()
    what = "freeze to the still shown (goal: 100 ms)"
    tell(Figure(what=what, against="the picture painted bare", ours=ours, base=base))


def resident_mb() -> float:
    """Resident memory of this process, MB (proc(5), /proc/self/statm: pages)."""
    return int(STATM.read_text().split()[1]) * os.sysconf("SC_PAGE_SIZE") / 1e6


def fill_gallery(bench: LiveBench) -> None:
    """Painted parts are kept up to a limit, and the head rail is another picture every minute: at the limit already,
    as after a day's work, what is measured is growth. Strips as large as a rail: one makes room for one."""
    for n in range(MOST_PIXELS // (1920 * 45) + 1):
        picture = QPixmap(1920, 45)
        picture.fill(QColor("black"))
        bench.kiosk.window.glass.gallery.keep(("painted earlier", n), picture)


@pytest.mark.skipif(not STATM.is_file(), reason="resident memory is told by /proc, which is not here")
def test_memory_does_not_grow_over_the_frames_of_the_live_view(
    qapp: QApplication, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Frames as fast as they are taken, each painted; a still frozen and given up now and then. Small pictures, so
    that as many fit into a few minutes: one kept by mistake is 0.9 MB."""
    bench = LiveBench(tmp_path, 640, 360)
    assert bench.page.lens is not None
    fill_gallery(bench)
    marks, began = [], time.perf_counter()
    for n in range(SOAKED):
        bench.frame()
        QApplication.processEvents()
        if n % 600 == 10:
            bench.page.freeze()
            QApplication.processEvents()
            bench.touch("try again")
            QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)  # as an event loop does; here is none
        if n % (SOAKED // 12) == 0:
            marks.append(resident_mb())
    took = time.perf_counter() - began
    marks.append(resident_mb())
    bench.close()
    settled = marks[len(marks) // 3 :]
    with capsys.disabled():
        print(f"\n{SOAKED:,} frames of {HOUR:,} an hour has, in {took:.0f} s; MB: {[round(mb, 1) for mb in marks]}")
    assert max(settled) - min(settled) < MOST_GROWTH_MB, marks
