"""The window: the view's type picks the screen, another question starts the guard, and nothing closes a kiosk."""

import subprocess
import sys
from dataclasses import replace
from importlib import import_module
from pathlib import Path
from typing import get_args

import pytest
from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtTest import QSignalSpy, QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.vocabulary import Disposition
from kiosk.ui.audit import records
from kiosk.ui.parts.glass import Glass
from kiosk.ui.screens.decision import DecisionScreen
from kiosk.ui.screens.menu import MenuScreen
from kiosk.ui.screens.note import NoteScreen
from kiosk.ui.screens.pin import PinScreen
from kiosk.ui.screens.screen import Screen
from kiosk.ui.screens.wipe import WipeScreen
from kiosk.ui.theme import BENCH
from kiosk.ui.window import SCREENS, Window, question_of
from tests.ui.samples import Clock, glass_of
from tests.ui.screens import asking_views
from tests.ui.screens import doing_views as d
from tests.ui.screens import ending_views as e
from tests.ui.screens.rails import AID, head


class Times:
    """Clocks of a test."""

    def __init__(self) -> None:
        self.text = "14:07"

    def wall_ms(self) -> int:
        return 1_000_000

    def read(self) -> str:
        return self.text


class Paints(QObject):
    """Counts how often a widget is painted."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.seen = 0
        widget.installEventFilter(self)

    def eventFilter(self, _watched: QObject, event: QEvent) -> bool:
        self.seen += event.type() == QEvent.Type.Paint
        return False


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def glass(qapp: QApplication, clock: Clock) -> Glass:
    return glass_of("15.6 in", BENCH, clock)


@pytest.fixture
def times() -> Times:
    return Times()


@pytest.fixture
def window(glass: Glass, times: Times) -> Window:
    window = Window(glass, wall_ms=times.wall_ms, clock_text=times.read)
    window.clock_timer.stop()
    window.show()
    return window


def test_every_view_has_a_screen_that_shows_it(glass: Glass) -> None:
    assert set(SCREENS) == set(get_args(v.View))
    for module, name in SCREENS.values():
        screen = getattr(import_module(f"kiosk.ui.screens.{module}"), name)
        assert issubclass(screen, Screen)
        assert callable(screen.show_view)


def test_the_window_alone_loads_no_screen() -> None:
    """A cold start pays for the first screen only."""
    code = (
        "import sys, kiosk.ui.window; "
        "print([m for m in sys.modules if m.startswith('kiosk.ui.screens.') and not m.endswith('.screen')])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_screen_is_made_once_and_kept(window: Window) -> None:
    window.show_view(d.decision())
    first = window.current
    assert isinstance(first, DecisionScreen)
    window.show_view(e.menu(small=False))
    assert not first.isVisible()
    window.show_view(d.decision())
    assert first.isVisible()
    assert len(window.findChildren(DecisionScreen)) == len(window.findChildren(MenuScreen)) == 1


def test_another_question_starts_the_guard_and_a_notice_does_not(window: Window, glass: Glass, clock: Clock) -> None:
    window.show_view(d.decision())
    assert not glass.guard.open()
    clock.now += 1000
    window.show_view(replace(d.decision(), notice="That is not asked now."))
    window.show_view(d.decision(at_mm=120))
    assert glass.guard.open()
    window.show_view(d.decision(Disposition.TRAY_BACK))
    assert not glass.guard.open()


def test_a_key_gets_its_edge_though_the_timer_came_early(window: Window, glass: Glass, clock: Clock) -> None:
    """A coarse timer may fire up to a twentieth early: the guard is not over yet, and every key must still be drawn."""
    window.show_view(e.menu(small=False))
    QTest.qWait(glass.guard.wait_ms() + 60)  # the timer has fired; by the guard's clock no time has passed
    assert not glass.guard.open()
    clock.now += 400
    assert window.current is not None
    key = next(key for key in window.current.hand_rail.keys if key.objectName() == "rail.back")
    paints = Paints(key)
    QTest.qWait(500)
    assert paints.seen > 0


def test_a_tap_through_to_the_next_screen_does_nothing(window: Window, clock: Clock) -> None:
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(e.menu(small=False))
    assert window.current is not None
    QTest.mouseClick(window.current, Qt.MouseButton.LeftButton, pos=window.rect().center())
    key = next(key for key in window.findChildren(MenuScreen)[0].hand_rail.keys if key.objectName() == "rail.back")
    QTest.mousePress(key, Qt.MouseButton.LeftButton)
    clock.now += 100
    QTest.mouseRelease(key, Qt.MouseButton.LeftButton)
    assert sent == []


ANSWER = c.Answer(piece="a", key="main.scope", yes=True)
ASK = v.AskView(
    head=head(),
    hand=v.Hand(aid=AID),
    title="Is the lumen clear of soil, end to end?",
    no=v.Plate(word="NO", claim="", send=replace(ANSWER, yes=False)),
    yes=v.Plate(word="YES", claim="", send=ANSWER),
)


@pytest.mark.parametrize(
    ("other", "same"),
    [
        (replace(ASK, notice="That was 2 seconds."), True),
        (replace(ASK, yes=replace(ASK.yes, send=replace(ANSWER, sure=True))), True),
        (replace(ASK, yes=replace(ASK.yes, send=replace(ANSWER, key="side port.scope"))), False),
        (replace(ASK, yes=replace(ASK.yes, send=replace(ANSWER, piece="b"))), False),
        (replace(ASK, title="Is it dry inside?"), False),
        (replace(ASK, head=replace(ASK.head, notice="Printer down")), True),
    ],
)
def test_a_question_is_another_by_its_piece_and_check(other: v.AskView, same: bool) -> None:
    assert (question_of(ASK) == question_of(other)) is same


def test_the_next_step_and_the_next_page_are_other_questions() -> None:
    assert question_of(d.full_cleaning(1, small=False)) != question_of(d.full_cleaning(2, small=False))
    assert question_of(e.soil(small=False)) != question_of(e.soil(small=False, page=1))
    assert question_of(e.pack(small=False)) == question_of(e.pack(small=False, ready=False))


def test_the_clock_in_the_head_rail_goes_on(window: Window, times: Times) -> None:
    window.show_view(d.decision())
    assert any("14:07" in each.text for each in records(window.current or window))
    times.text = "14:08"
    window.clock_timer.timeout.emit()
    assert any("14:08" in each.text for each in records(window.current or window))


def test_a_turned_minute_is_told_once(window: Window, times: Times) -> None:
    window.show_view(d.decision())
    turned = QSignalSpy(window.minute_turned)
    window.clock_timer.timeout.emit()
    assert turned.count() == 0
    times.text = "14:08"
    window.clock_timer.timeout.emit()
    window.clock_timer.timeout.emit()
    assert turned.count() == 1


def test_keys_typed_by_hand_reach_the_screen_that_takes_them(window: Window) -> None:
    window.show_view(e.note())
    QTest.keyClicks(window, "Ok")
    QTest.keyClick(window, Qt.Key.Key_Backspace)
    screen = window.current
    assert isinstance(screen, NoteScreen)
    assert screen.pad is not None
    assert screen.pad.text() == "O"
    window.show_view(d.decision())
    QTest.keyClicks(window, "x")  # nothing there takes letters


def test_a_cloth_on_the_glass_offers_to_wipe_it(window: Window) -> None:
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(d.decision())
    assert window.current is not None
    window.current.cloth_seen.emit()
    assert sent == [c.Turn(page=c.Page.WIPE)]


def test_a_cloth_never_covers_first_aid(window: Window) -> None:
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(e.first_aid())
    assert window.current is not None
    window.current.cloth_seen.emit()
    assert sent == []


def test_the_wipe_goes_on_when_the_view_comes_again(window: Window) -> None:
    window.show_view(e.wipe())
    screen = window.current
    assert isinstance(screen, WipeScreen)
    QTest.mouseClick(screen, Qt.MouseButton.LeftButton, pos=screen.rect().center())
    window.show_view(replace(e.wipe(), notice="All sent."))
    assert screen.striped_share() < 1


def test_the_wall_clock_reaches_the_screens_that_need_it(window: Window, times: Times) -> None:
    window.show_view(e.first_aid(since_ms=times.wall_ms() - 61_000))
    assert "1:01" in [each.text for each in records(window.current or window)]


def test_pictures_come_from_the_source_given_before_or_after(window: Window, tmp_path: Path) -> None:
    first, second = tmp_path / "a.png", tmp_path / "b.png"
    window.set_pictures(lambda: [first])
    window.show_view(d.photo())
    assert "a.png" in [each.text for each in records(window.current or window)]
    window.set_pictures(lambda: [second])
    assert "b.png" in [each.text for each in records(window.current or window)]


def test_a_kiosk_closes_only_when_it_is_let_go(glass: Glass, times: Times) -> None:
    window = Window(glass, wall_ms=times.wall_ms, clock_text=times.read, kiosk=True)
    window.show()
    window.show_view(d.decision())
    QTest.keyClick(window, Qt.Key.Key_Escape)
    QTest.keyClick(window, Qt.Key.Key_F4, Qt.KeyboardModifier.AltModifier)
    assert not window.close()
    assert window.isVisible()
    window.let_go()
    assert window.close()
    assert not window.isVisible()


def test_a_window_that_is_no_kiosk_closes(window: Window) -> None:
    assert window.close()


def test_no_part_of_a_screen_takes_the_keyboard(window: Window) -> None:
    """Else a scanner's Enter would press it."""
    for view in d.every(small=False).values():
        window.show_view(view)
        parts = window.findChildren(Screen)
        assert all(part.focusPolicy() is Qt.FocusPolicy.NoFocus for part in parts)
    assert QApplication.focusWidget() is None


def test_a_view_shown_again_asks_nothing_of_the_glass(window: Window, glass: Glass, clock: Clock) -> None:
    window.show_view(e.pack(small=False))
    clock.now += 1000
    window.show_view(e.pack(small=False, ready=False))
    assert glass.guard.open()
    QApplication.sendEvent(window, QEvent(QEvent.Type.WindowActivate))
    assert glass.guard.open()


def test_screens_made_ahead_leave_the_shown_one_alone(window: Window, glass: Glass, clock: Clock) -> None:
    window.show_view(d.decision())
    clock.now += 1000
    shown = window.current
    window.make_ahead()
    for _ in SCREENS:
        QApplication.processEvents()
    assert len(window.findChildren(Screen)) == len(SCREENS)
    assert window.current is shown
    assert [screen for screen in window.findChildren(Screen) if screen.isVisible()] == [shown]
    assert glass.guard.open()


def test_news_that_comes_while_a_number_is_typed_takes_no_digit_away(window: Window) -> None:
    ask = asking_views.pin(small=False)
    window.show_view(ask)
    assert isinstance(window.current, PinScreen)
    pad = window.current.pad
    assert pad is not None
    pad.press("4")
    window.show_view(ask)
    assert pad.text() == "4"
    window.show_view(e.menu(small=False))
    window.show_view(ask)
    assert pad.text() == ""
