"""Screen dead, wet, or touched by ghosts: every screen by a keyboard or a foot pedal, and never by a scanner's keys."""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.key_path import FASTEST_MS, targets
from kiosk.ui.window import SCREENS, Window
from tests.ui.samples import Clock
from tests.ui.screens import asking_views as a
from tests.ui.screens import doing_views as d
from tests.ui.screens import intake_views as i
from tests.ui.screens import set_up_views as s
from tests.ui.screens.rails import Wall

VIEWS: dict[str, v.View] = {
    **{f"ask_{name}": case.view(False, False) for name, case in a.CASES.items()},
    **d.every(small=False),
    **i.every(small=False),
    **{f"set_up_{name}": view for name, view in s.every("en", small=False)},
}
Key = Qt.Key


@pytest.fixture
def window(qapp: QApplication, glass: Glass, wall: Wall) -> Iterator[Window]:
    made = Window(glass, wall_ms=wall, clock_text=str)
    made.clock_timer.stop()
    made.set_pictures(tuple)
    made.show()
    yield made
    made.close()


def show(window: Window, clock: Clock, view: v.View) -> list[object]:
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(view)
    clock.now += 60_000
    return sent


def press(window: Window, clock: Clock, key: Qt.Key) -> None:
    clock.now += FASTEST_MS + 1
    QTest.keyClick(window, key)


def test_there_is_a_sample_of_every_kind_of_screen() -> None:
    assert {type(view) for view in VIEWS.values()} == set(SCREENS)


@pytest.mark.parametrize("name", VIEWS)
def test_every_target_of_a_screen_is_reached_and_touched_by_keys(window: Window, clock: Clock, name: str) -> None:
    show(window, clock, VIEWS[name])
    assert window.current is not None
    wanted = targets(window.current)
    reached = []
    for _ in wanted:
        press(window, clock, Key.Key_F10)
        reached.append(window.path.marked)
    assert reached == wanted
    fired: list[str] = []

    def note(action: str, _payload: object) -> None:
        fired.append(action)

    if wanted:
        wanted[-1].tapped_action.connect(note)
        press(window, clock, Key.Key_F12)
        assert fired == [wanted[-1].action]


@pytest.mark.parametrize("name", VIEWS)
def test_a_scanners_enter_tab_space_and_letters_press_nothing(window: Window, clock: Clock, name: str) -> None:
    sent = show(window, clock, VIEWS[name])
    press(window, clock, Key.Key_F10)
    for key in (Key.Key_Return, Key.Key_Enter, Key.Key_Tab, Key.Key_Space, Key.Key_Escape):
        QTest.keyClick(window, key)
    assert sent == []


@pytest.mark.parametrize(("key", "plate"), [(Key.Key_F8, "yes"), (Key.Key_F4, "no"), (Key.Key_F6, "unsure")])
def test_yes_no_and_cant_tell_have_a_key_each(window: Window, clock: Clock, key: Qt.Key, plate: str) -> None:
    view = a.CASES["check"].view(False, False)
    sent = show(window, clock, view)
    press(window, clock, key)
    assert len(sent) == 1
    wanted = getattr(view, plate).send
    assert isinstance(sent[0], c.Answer) == isinstance(wanted, c.Answer)


@pytest.mark.parametrize("name", ["full_first", "scope", "print_failed", "stop", "done", "first_aid", "list"])
def test_the_pedal_is_the_main_key_of_a_page_without_a_question(window: Window, clock: Clock, name: str) -> None:
    view = VIEWS[name]
    sent = show(window, clock, view)
    press(window, clock, Key.Key_F8)
    assert sent == [view.main.send]  # type: ignore[union-attr]


def test_first_aid_has_a_key_on_every_screen_that_has_its_rail(window: Window, clock: Clock) -> None:
    sent = show(window, clock, a.CASES["check"].view(False, False))
    press(window, clock, Key.Key_F1)
    assert sent == [c.FirstAid()]


def test_keys_faster_than_a_hand_and_keys_held_down_count_once(window: Window, clock: Clock) -> None:
    sent = show(window, clock, a.CASES["check"].view(False, False))
    press(window, clock, Key.Key_F8)
    for _ in range(5):
        clock.now += FASTEST_MS // 8
        QTest.keyClick(window, Key.Key_F8)
    clock.now += 5000
    held = QKeyEvent(QEvent.Type.KeyPress, Key.Key_F8, Qt.KeyboardModifier.NoModifier, "", True)
    QApplication.sendEvent(window, held)
    assert len(sent) == 1


def test_a_key_that_was_meant_for_the_screen_before_is_not_taken(window: Window, clock: Clock) -> None:
    sent = show(window, clock, a.CASES["check"].view(False, False))
    window.show_view(a.CASES["readable"].view(False, False))
    QTest.keyClick(window, Key.Key_F8)
    assert sent == []


def test_a_screen_that_is_being_wiped_is_deaf_to_keys_too(window: Window, clock: Clock) -> None:
    sent = show(window, clock, VIEWS["wipe"])
    for key in (Key.Key_F8, Key.Key_F10, Key.Key_F12, Key.Key_F4):
        press(window, clock, key)
    assert sent == []
