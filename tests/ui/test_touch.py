"""Keys under fingers, as Qt delivers them."""

from dataclasses import replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.audit import records
from kiosk.ui.parts.answers import AnswerRow
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.keys import KeyButton
from tests.ui import samples
from tests.ui.samples import Clock


class Heard:
    """What came out of a signal."""

    def __init__(self) -> None:
        self.said: list[tuple[object, ...]] = []

    def hear(self, *what: object) -> None:
        self.said.append(what)


@pytest.fixture(scope="module")
def panel(qapp: QApplication) -> QPointingDevice:
    return QTest.createTouchDevice()


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def heard() -> Heard:
    return Heard()


@pytest.fixture
def screen(qapp: QApplication, clock: Clock, heard: Heard) -> ScreenFrame:
    frame = samples.check_screen(samples.glass_of("15.6 in", clock=clock))
    answers = frame.findChild(AnswerRow)
    assert answers is not None
    answers.answered.connect(heard.hear)
    frame.tapped_action.connect(heard.hear)
    return samples.settle(frame, clock)


def _middle(part: QWidget) -> QPoint:
    return part.mapTo(part.window(), part.rect().center())


def _named(screen: ScreenFrame, name: str) -> QWidget:
    found = screen.findChild(QWidget, name)
    assert isinstance(found, QWidget)
    return found


def _tap(screen: ScreenFrame, panel: QPointingDevice, clock: Clock, at: QPoint, contact: int = 1) -> None:
    QTest.touchEvent(screen, panel).press(contact, at, screen).commit()
    clock.now += 80
    QTest.touchEvent(screen, panel).release(contact, at, screen).commit()


@pytest.mark.parametrize("answer", ["no", "unsure", "yes"])
def test_a_finger_gives_each_answer(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock, heard: Heard, answer: str
) -> None:
    _tap(screen, panel, clock, _middle(_named(screen, answer)))
    assert heard.said == [(answer, None)]


@pytest.mark.parametrize("off_mm", [(1.5, 2.5), (-2.0, 3.0)])
def test_a_finger_that_lands_beside_its_aim_counts_where_it_aimed(
    qapp: QApplication, panel: QPointingDevice, clock: Clock, heard: Heard, off_mm: tuple[float, float]
) -> None:
    """The offset that four dots gave is taken off: a touch outside the plate by less than it is a touch on its rim."""
    glass = replace(samples.glass_of("15.6 in", clock=clock), touch_mm=off_mm)
    frame = samples.check_screen(glass)
    answers = frame.findChild(AnswerRow)
    assert answers is not None
    answers.answered.connect(heard.hear)
    samples.settle(frame, clock)
    plate = _named(frame, "no")
    rim = plate.mapTo(frame, QPoint(plate.width() // 2, plate.height() - 2))
    below = QPoint(rim.x() + round(glass.mm(off_mm[0])), rim.y() + round(glass.mm(off_mm[1])))
    assert not plate.rect().contains(plate.mapFrom(frame, below))
    _tap(frame, panel, clock, below)
    assert heard.said == [("no", None)]


def test_a_palm_on_the_ground_does_not_swallow_a_tap(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    """Qt hands a second finger to whatever the first one holds, when one lies inside the other."""
    palm, finger = QPoint(900, 920), _middle(_named(screen, "no"))
    QTest.touchEvent(screen, panel).press(1, palm, screen).commit()
    QTest.touchEvent(screen, panel).stationary(1).press(2, finger, screen).commit()
    clock.now += 80
    QTest.touchEvent(screen, panel).stationary(1).release(2, finger, screen).commit()
    QTest.touchEvent(screen, panel).release(1, palm, screen).commit()
    assert heard.said == [("no", None)]


def test_sliding_off_a_key_cancels(screen: ScreenFrame, panel: QPointingDevice, clock: Clock, heard: Heard) -> None:
    start = _middle(_named(screen, "wipe"))
    QTest.touchEvent(screen, panel).press(1, start, screen).commit()
    clock.now += 80
    away = start - QPoint(0, 120)
    QTest.touchEvent(screen, panel).move(1, away, screen).commit()
    QTest.touchEvent(screen, panel).release(1, away, screen).commit()
    assert heard.said == []


def test_a_key_looks_pressed_while_the_finger_is_on_it_and_only_then(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock
) -> None:
    key = _named(screen, "no")
    before = screen.grab().toImage()
    QTest.touchEvent(screen, panel).press(1, _middle(key), screen).commit()
    pressed = screen.grab().toImage()
    inside = key.mapTo(screen, QPoint(key.width() // 2, 20))
    assert pressed.pixelColor(inside).name().upper() == screen.glass.color("found")
    QTest.touchEvent(screen, panel).move(1, QPoint(5, 5), screen).commit()
    assert screen.grab().toImage() == before


@pytest.mark.parametrize("name", ["wipe", "aid"])
def test_every_key_shows_that_it_is_pressed(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock, name: str
) -> None:
    key = _named(screen, name)
    before = key.grab().toImage()
    QTest.touchEvent(screen, panel).press(1, _middle(key), screen).commit()
    assert key.grab().toImage() != before
    QTest.touchEvent(screen, panel).release(1, _middle(key), screen).commit()


def test_nothing_has_an_edge_or_takes_a_touch_while_a_screen_is_new(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    screen.begin()
    edges = {each.owner: each.fg for each in records(screen) if each.kind == "plate"}
    assert (edges["no"], edges["wipe"]) == ("", "")
    _tap(screen, panel, clock, _middle(_named(screen, "no")))
    assert heard.said == []


def test_a_sleeping_yes_takes_no_touch_and_the_others_do(
    qapp: QApplication, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    frame = samples.check_screen(samples.glass_of("10.1 in", clock=clock), looking=True)
    answers = frame.findChild(AnswerRow)
    assert answers is not None
    answers.answered.connect(heard.hear)
    samples.settle(frame, clock)
    _tap(frame, panel, clock, _middle(answers.yes))
    assert heard.said == []
    answers.wake_yes()
    _tap(frame, panel, clock, _middle(answers.yes))
    assert heard.said == [("yes", None)]


def test_a_mouse_presses_too_and_keys_never_take_focus(screen: ScreenFrame, clock: Clock, heard: Heard) -> None:
    key = _named(screen, "wipe")
    QTest.mousePress(key, Qt.MouseButton.LeftButton)
    clock.now += 80
    QTest.mouseRelease(key, Qt.MouseButton.LeftButton)
    assert heard.said == [("wipe", None)]
    parts = screen.findChildren(QWidget)
    assert {part.focusPolicy() for part in parts} == {Qt.FocusPolicy.NoFocus}


def test_two_strokes_of_a_cloth_are_told_by_the_screen(
    screen: ScreenFrame, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    screen.cloth_seen.connect(heard.hear)
    for y in (300, 600):
        clock.now += 600
        QTest.touchEvent(screen, panel).press(1, QPoint(100, y), screen).commit()
        QTest.touchEvent(screen, panel).move(1, QPoint(1500, y), screen).commit()
        QTest.touchEvent(screen, panel).release(1, QPoint(1500, y), screen).commit()
    assert heard.said == [()]


@pytest.mark.parametrize(("share", "place"), [(0.0, 0), (0.52, 130), (0.535, 130), (1.0, 250)])
def test_a_touch_on_the_tube_tells_the_place_to_the_centimeter(
    qapp: QApplication, panel: QPointingDevice, clock: Clock, heard: Heard, share: float, place: int
) -> None:
    frame = samples.settle(samples.finding_screen(samples.glass_of("15.6 in", clock=clock)), clock)
    band = frame.findChild(LumenBand)
    assert band is not None
    assert band.drawing is not None
    band.touched.connect(heard.hear)
    mm = frame.glass.mm
    at = QPoint(round(mm(band.room_mm()[0] + share * band.drawing.drawn_mm)), band.height() - 30)
    at.setX(min(at.x(), int(band.tap_area().right()) - 1))
    _tap(frame, panel, clock, band.mapTo(frame, at))
    assert heard.said == [(place,)]


def test_soil_everywhere_has_a_key_of_its_own(
    qapp: QApplication, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    frame = samples.settle(samples.finding_screen(samples.glass_of("10.1 in", clock=clock)), clock)
    band = frame.findChild(LumenBand)
    assert band is not None
    band.touched.connect(heard.hear)
    band.touched_all_along.connect(heard.hear)
    _tap(frame, panel, clock, _middle(_named(frame, "all along")))
    assert heard.said == [()]


def test_the_number_pad_types_erases_and_ends_only_when_there_is_enough(
    qapp: QApplication, panel: QPointingDevice, clock: Clock, heard: Heard
) -> None:
    frame = samples.settle(samples.pin_screen(samples.glass_of("15.6 in", clock=clock)), clock)
    pad = frame.findChild(KeyPad)
    assert pad is not None
    pad.finished.connect(heard.hear)
    pad.clear()
    done = _named(frame, "done")
    assert not done.isVisible()
    for digit in "4471":
        clock.now += 200
        _tap(frame, panel, clock, _middle(_named(frame, f"digit {digit}")))
    assert pad.text() == "4471"
    clock.now += 200
    _tap(frame, panel, clock, _middle(_named(frame, "erase")))
    assert not done.isVisible()
    pad.press("x")
    pad.press("9")
    clock.now += 200
    _tap(frame, panel, clock, _middle(done))
    assert heard.said == [("4479",)]


def test_a_key_of_a_view_sends_what_the_view_says(qapp: QApplication) -> None:
    key = KeyButton.of(samples.glass_of("15.6 in"), samples.STOP)
    assert (key.action, key.payload, key.objectName(), key.label) == ("stop", None, "stop", samples.STOP.label)
