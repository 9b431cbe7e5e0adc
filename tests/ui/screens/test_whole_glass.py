"""First aid and the wiping of the screen: they take the whole glass, and run by the clock."""

from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QPointingDevice
from PySide6.QtTest import QTest

from kiosk.core import commands as c
from kiosk.ui.audit import records
from kiosk.ui.parts.glass import Glass
from kiosk.ui.screens.first_aid import FirstAidScreen
from kiosk.ui.screens.wipe import WipeScreen
from kiosk.ui.theme import BENCH
from tests.ui.samples import Clock
from tests.ui.screens import ending_views as e
from tests.ui.screens.rails import SINCE, Wall, say


def test_the_minutes_of_first_aid_run_from_the_touch(glass: Glass, wall: Wall) -> None:
    screen = FirstAidScreen(glass)
    screen.wall_ms = wall
    screen.show()
    screen.show_view(e.first_aid(since_ms=SINCE))
    for at, text in ((999, "0:00"), (61_000, "1:01"), (600_999, "10:00")):
        wall.now = SINCE + at
        assert text in [each.text for each in records(screen)]


def test_first_aid_fills_the_screen_and_asks_nothing(glass: Glass, clock: Clock) -> None:
    screen = FirstAidScreen(glass)
    screen.show()
    screen.show_view(e.first_aid())
    clock.now += 1000
    keys = {each.owner for each in records(screen) if each.kind == "target"}
    assert keys == {"first_aid.done", "first_aid.mistake"}
    for corner in (QPoint(2, 2), QPoint(screen.width() - 3, screen.height() - 3)):
        assert screen.grab().toImage().pixelColor(corner).name() == BENCH.aid.lower()


def _asleep(glass: Glass, wall: Wall, seconds: int = 240) -> tuple[WipeScreen, list[object]]:
    wall.now = SINCE
    screen = WipeScreen(glass)
    screen.wall_ms = wall
    screen.show_view(e.wipe(seconds=seconds))
    screen.show()
    sent: list[object] = []
    screen.sent.connect(sent.append)
    return screen, sent


def test_a_cloth_takes_the_stripes_away_and_does_nothing_else(
    glass: Glass, clock: Clock, wall: Wall, panel: QPointingDevice
) -> None:
    screen, sent = _asleep(glass, wall)
    clock.now += 1000
    cloth: list[object] = []
    screen.cloth_seen.connect(cloth.append)
    assert screen.striped_share() == 1
    for y in range(40, screen.height(), 120):
        fingers = [QPoint(30 + 60 * n, y) for n in range(4)]
        away = [at + QPoint(screen.width() - 250, 0) for at in fingers]
        for act, points in (("press", fingers), ("move", away), ("release", away)):
            touch = QTest.touchEvent(screen, panel)
            for n, at in enumerate(points):
                getattr(touch, act)(n, at, screen)
            touch.commit()
    assert screen.striped_share() < 0.1
    screen.tick()
    assert sent == []
    assert cloth == []


def test_the_screen_wakes_when_the_time_is_up_and_the_glass_is_quiet(glass: Glass, wall: Wall) -> None:
    screen, sent = _asleep(glass, wall, seconds=20)
    wall.now = SINCE + 19_900
    QTest.mousePress(screen, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    screen.tick()
    wall.now = SINCE + 25_000
    screen.tick()
    assert sent == []  # a hand lies on it still
    QTest.mouseRelease(screen, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    wall.now = SINCE + 26_999
    screen.tick()
    assert sent == []
    wall.now = SINCE + 27_000
    screen.tick()
    screen.tick()
    assert sent == [c.Turn(page=None)]


def test_the_screen_stays_asleep_until_the_label_time_is_over(glass: Glass, wall: Wall) -> None:
    screen, sent = _asleep(glass, wall, seconds=240)
    for seconds in (1, 60, 239):
        wall.now = SINCE + seconds * 1000
        screen.tick()
    assert sent == []
    wall.now = SINCE + 240_000
    screen.tick()
    assert sent == [c.Turn(page=None)]


def test_a_badge_wakes_the_screen_early_and_once(glass: Glass, wall: Wall) -> None:
    screen, sent = _asleep(glass, wall)
    screen.wake()
    screen.wake()
    assert sent == [c.Turn(page=None)]


def test_at_half_time_it_says_to_wet_it_again(glass: Glass, wall: Wall) -> None:
    screen, _ = _asleep(glass, wall, seconds=240)
    words = {each.text for each in records(screen)}
    assert say("wipe.striped") in words
    assert "4:00" in words
    wall.now = SINCE + 120_000
    words = {each.text for each in records(screen)}
    assert say("wipe.half_time") in words
    assert "2:00" in words


def test_a_screen_wiped_again_is_striped_again(glass: Glass, wall: Wall) -> None:
    screen, sent = _asleep(glass, wall, seconds=20)
    QTest.mouseClick(screen, Qt.MouseButton.LeftButton, pos=QPoint(200, 200))
    screen.wake()
    screen.hide()
    wall.now += 60_000
    screen.show()
    assert screen.striped_share() == 1
    screen.tick()
    assert len(sent) == 1
