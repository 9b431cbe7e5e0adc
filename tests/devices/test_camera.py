"""A camera plugged in and out. Its ports are stood in for: frames are real QVideoFrames, the camera itself is none.

What QCamera does with a real device is not run here; the machine's own ports are asked, and have none.
"""

from collections.abc import Callable, Sequence
from typing import Any

import pytest
from PySide6.QtCore import QObject, QSize, Signal
from PySide6.QtMultimedia import QVideoFrame
from pytestqt.qtbot import QtBot

from kiosk.devices.camera import CameraSource, QtPorts, best_format
from kiosk.devices.feed_watch import FeedWatch
from kiosk.devices.picture import State
from tests.devices.videos import found_mark, moving
from tests.devices.watched import Watched, image_of, pixels


class _Bus(QObject):
    """Ports into which a camera is plugged by the test."""

    changed = Signal()

    def __init__(self, *names: str) -> None:
        super().__init__()
        self.names = list(names)
        self.open_now: list[str] = []
        self.slips = False  # a camera is pulled out before it is opened
        self.came: Callable[[Any], None] = print
        self.broke: Callable[[str], None] = print

    def there(self) -> Sequence[tuple[str, str]]:
        return [(f"id of {name}", name) for name in self.names]

    def open(self, camera: str, came: Callable[[Any], None], broke: Callable[[str], None]) -> Callable[[], None]:
        if self.slips:
            raise LookupError(camera)
        self.open_now.append(camera)
        self.came, self.broke = came, broke
        return self._close

    def _close(self) -> None:
        self.open_now.clear()

    def plug(self, *names: str) -> None:
        self.names = list(names)
        self.changed.emit()

    def frame(self, number: int) -> None:
        self.came(QVideoFrame(image_of(moving(1, first=number)[0])))


def _camera(bus: _Bus, now: list[int], wanted: str = "") -> tuple[CameraSource, Watched]:
    source = CameraSource(lambda: now[0], wanted=wanted, ports=bus, watch=FeedWatch())
    return source, Watched(source)


def test_this_machine_has_no_camera_and_that_is_a_sentence(qtbot: QtBot) -> None:
    ports = QtPorts()
    if ports.there():
        pytest.skip("there is a camera here")
    source = CameraSource(lambda: 0)
    source.start()
    assert (source.state, source.still()) == (State.NONE, None)
    source.stop()


def test_a_camera_plugged_in_later_is_taken_and_pulled_out_it_is_gone(qtbot: QtBot) -> None:
    bus, now = _Bus(), [0]
    source, seen = _camera(bus, now)
    source.start()
    bus.plug("Scope camera")
    assert bus.open_now == ["id of Scope camera"]
    bus.frame(3)
    assert found_mark(pixels(seen.frames[0].image)) == pytest.approx(27.5, abs=1)
    bus.plug()
    assert (source.state, bus.open_now) == (State.GONE, [])
    bus.plug("Scope camera")
    bus.frame(4)
    assert seen.states[1:] == [State.NONE, *([State.STARTING, State.LIVE, State.GONE] * 2)[:5]]
    assert [frame.number for frame in seen.frames] == [1, 2]
    source.stop()
    assert bus.open_now == []
    bus.plug()
    assert source.state is State.NONE


def test_a_camera_pulled_out_between_the_look_and_the_opening_is_gone_and_taken_when_it_is_back(qtbot: QtBot) -> None:
    bus, now = _Bus(), [0]
    bus.slips = True
    source, _ = _camera(bus, now)
    source.start()
    bus.plug("Scope camera")
    assert (source.state, bus.open_now) == (State.GONE, [])
    bus.slips = False
    bus.plug("Scope camera")
    bus.frame(1)
    assert source.state is State.LIVE
    source.stop()


def test_the_ports_of_this_machine_say_in_one_way_that_a_camera_is_there_no_more(qtbot: QtBot) -> None:
    with pytest.raises(LookupError, match="no camera"):
        QtPorts().open("a camera nobody has", print, print)


def test_another_camera_plugged_in_beside_does_not_take_the_place(qtbot: QtBot) -> None:
    bus, now = _Bus("Scope camera"), [0]
    source, _ = _camera(bus, now)
    source.start()
    bus.frame(1)
    bus.plug("Other camera", "Scope camera")
    assert source.state is State.LIVE
    assert bus.open_now == ["id of Scope camera"]


def test_only_the_camera_that_is_named_is_taken(qtbot: QtBot) -> None:
    bus, now = _Bus("Lid camera"), [0]
    source, _ = _camera(bus, now, wanted="scope")
    source.start()
    assert (source.state, bus.open_now) == (State.NONE, [])
    bus.plug("Lid camera", "Scope camera HD")
    assert bus.open_now == ["id of Scope camera HD"]


def test_a_camera_that_hangs_is_frozen_by_the_clock_and_live_when_it_comes_back(qtbot: QtBot) -> None:
    bus, now = _Bus("Scope camera"), [0]
    source, seen = _camera(bus, now)
    source.start()
    bus.frame(1)
    for at in (1_000, 2_000, 2_900):
        now[0] = at
        bus.frame(1)
        source.look()
        assert source.state is State.LIVE
    now[0] = 3_100
    source.look()
    bus.frame(2)
    assert seen.states == [State.STARTING, State.LIVE, State.FROZEN, State.LIVE]


def test_a_camera_that_breaks_is_let_go_of_and_tried_again(qtbot: QtBot) -> None:
    bus, now = _Bus("Scope camera"), [0]
    source = CameraSource(lambda: now[0], ports=bus, again_ms=50)
    seen = Watched(source)
    source.start()
    bus.frame(1)
    bus.broke("the device is busy")
    assert (source.state, bus.open_now) == (State.GONE, [])
    qtbot.waitUntil(lambda: bus.open_now == ["id of Scope camera"], timeout=5_000)
    bus.frame(2)
    assert seen.states == [State.STARTING, State.LIVE, State.GONE, State.STARTING, State.LIVE]
    source.stop()


def test_a_frame_that_holds_nothing_is_none(qtbot: QtBot) -> None:
    bus = _Bus("Scope camera")
    source, seen = _camera(bus, [0])
    source.start()
    bus.came(QVideoFrame())
    assert (seen.frames, source.state) == ([], State.STARTING)


class _Format:
    def __init__(self, width: int, height: int, rate: float) -> None:
        self.size, self.rate = QSize(width, height), rate

    def resolution(self) -> QSize:
        return self.size

    def maxFrameRate(self) -> float:
        return self.rate


def test_the_format_nearest_to_1280_by_720_at_30_is_chosen() -> None:
    formats = [_Format(640, 480, 30), _Format(1280, 720, 10), _Format(1280, 720, 30), _Format(1920, 1080, 30)]
    assert best_format(formats) is formats[2]
    assert best_format(formats[:1]) is formats[0]
    assert best_format([]) is None
