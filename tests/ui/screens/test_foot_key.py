"""The foot key: YES for whoever chose so, judged as a touch is, and never anything but YES."""

from collections.abc import Iterator
from dataclasses import replace

import pytest
from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.settings import Settings
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.guard import BENCH_RULES
from kiosk.ui.parts.key_path import targets
from kiosk.ui.screens.ask import AskScreen
from kiosk.ui.window import Window
from tests.ui.samples import Clock
from tests.ui.screens import asking_views as a
from tests.ui.screens import doing_views as d
from tests.ui.screens import intake_views as i
from tests.ui.screens import set_up_views as s
from tests.ui.screens.rails import Wall

FOOT = Qt.Key.Key_F13
VIEWS: dict[str, v.View] = {
    **{f"ask_{name}": case.view(False, False) for name, case in a.CASES.items()},
    **d.every(small=False),
    **i.every(small=False),
    **{f"set_up_{name}": view for name, view in s.every("en", small=False)},
}
ASKED = {name: view for name, view in VIEWS.items() if isinstance(view, v.AskView)}
OTHERS = {name: view for name, view in VIEWS.items() if not isinstance(view, v.AskView)}


@pytest.fixture
def window(qapp: QApplication, glass: Glass, wall: Wall) -> Iterator[Window]:
    made = Window(glass, wall_ms=wall, clock_text=str)
    made.clock_timer.stop()
    made.set_pictures(tuple)
    made.path.foot_key = FOOT
    made.use(Settings(foot="yes"))
    made.show()
    yield made
    made.close()


def show(window: Window, clock: Clock, view: v.View, after_ms: int = 60_000) -> list[object]:
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(view)
    clock.now += after_ms
    return sent


def _asked() -> v.AskView:
    """A check whose YES is not asleep."""
    return next(v for v in ASKED.values() if not v.yes_opens_ms and isinstance(v.yes.send, c.Answer))


def test_the_foot_key_is_yes_for_whoever_chose_it(window: Window, clock: Clock) -> None:
    view = _asked()
    sent = show(window, clock, view)
    QTest.keyClick(window, FOOT)
    assert len(sent) == 1
    assert type(sent[0]) is type(view.yes.send)
    assert getattr(sent[0], "yes", True) is True


def test_it_is_nothing_for_whoever_did_not(window: Window, clock: Clock) -> None:
    window.use(Settings())
    sent = show(window, clock, _asked())
    QTest.keyClick(window, FOOT)
    assert sent == []


def test_a_station_without_a_foot_key_takes_none(window: Window, clock: Clock) -> None:
    window.path.foot_key = None
    sent = show(window, clock, _asked())
    QTest.keyClick(window, FOOT)
    assert sent == []


@pytest.mark.parametrize("key", [Qt.Key.Key_PageDown, Qt.Key.Key_F24, Qt.Key.Key_Right])
def test_the_key_is_the_one_that_the_stations_switch_types(window: Window, clock: Clock, key: Qt.Key) -> None:
    window.path.foot_key = key
    sent = show(window, clock, _asked())
    QTest.keyClick(window, FOOT)
    assert sent == []
    QTest.keyClick(window, key)
    assert len(sent) == 1


def test_it_does_not_count_for_350_ms_after_a_new_screen(window: Window, clock: Clock) -> None:
    sent = show(window, clock, _asked(), after_ms=BENCH_RULES.new_screen_ms - 1)
    QTest.keyClick(window, FOOT)
    assert sent == []
    clock.now += 1
    QTest.keyClick(window, FOOT)
    assert len(sent) == 1


def test_a_foot_that_bounces_or_stays_down_answers_once(window: Window, clock: Clock) -> None:
    sent = show(window, clock, _asked())
    QTest.keyClick(window, FOOT)
    for wait in (50, 300, 349):  # 699 ms after the first
        clock.now += wait
        QTest.keyClick(window, FOOT)
    held = QKeyEvent(QEvent.Type.KeyPress, FOOT, Qt.KeyboardModifier.NoModifier, "", True)
    clock.now += 5_000
    QApplication.sendEvent(window, held)
    assert len(sent) == 1
    QTest.keyClick(window, FOOT)
    assert len(sent) == 2


def test_a_finger_and_a_foot_on_the_same_yes_are_one_answer(window: Window, clock: Clock) -> None:
    sent = show(window, clock, _asked())
    screen = window.current
    assert isinstance(screen, AskScreen)
    assert screen.answers is not None
    plate = screen.answers.yes
    at = QPoint(round(plate.width() / 2), round(plate.height() / 2))
    QTest.mousePress(plate, Qt.MouseButton.LeftButton, pos=at)
    clock.now += 100
    QTest.mouseRelease(plate, Qt.MouseButton.LeftButton, pos=at)
    assert len(sent) == 1
    clock.now += 200
    QTest.keyClick(window, FOOT)
    assert len(sent) == 1


def test_it_does_not_wake_a_yes_that_still_sleeps(window: Window, clock: Clock) -> None:
    view = replace(_asked(), yes_opens_ms=30_000)
    sent = show(window, clock, view, after_ms=BENCH_RULES.new_screen_ms + 50)
    screen = window.current
    assert isinstance(screen, AskScreen)
    assert screen.answers is not None
    assert screen.answers.yes.asleep
    QTest.keyClick(window, FOOT)
    assert sent == []


@pytest.mark.parametrize(
    "send",
    [
        c.SignPolicy(by="S1", start="now"),
        c.SignCompetency(by="S1", person="T1", method="swab"),
        c.SignBeside(by="S1"),
        c.TakeOnUnsigned(),
        c.RuleExchanged(by="S1"),
        c.SecondOnOverride(by="T2", yes=True),
        c.Confirm(what="opened"),
        c.ScopeBack(scope="SC-1"),
        c.Readable(yes=True),
    ],
    ids=lambda send: type(send).__name__,
)
def test_a_signature_a_ruling_and_what_a_hand_confirms_is_never_given_by_foot(
    window: Window, clock: Clock, send: c.Command
) -> None:
    view = _asked()
    sent = show(window, clock, replace(view, yes=replace(view.yes, send=send)))
    QTest.keyClick(window, FOOT)
    assert sent == []


def test_a_question_of_the_start_up_takes_the_foot(window: Window, clock: Clock) -> None:
    view, send = _asked(), c.AnswerStartup(question="light", yes=True)
    sent = show(window, clock, replace(view, yes=replace(view.yes, send=send)))
    QTest.keyClick(window, FOOT)
    assert sent == [send]


@pytest.mark.parametrize("name", OTHERS)
def test_where_no_plate_says_yes_it_presses_nothing(window: Window, clock: Clock, name: str) -> None:
    """Not the key that sends back, closes and prints, begins the wipe, or takes a return in: these say it back."""
    sent = show(window, clock, OTHERS[name])
    fired: list[str] = []

    def note(action: str, _payload: object) -> None:
        fired.append(action)

    assert window.current is not None
    for target in targets(window.current):
        target.tapped_action.connect(note)
    QTest.keyClick(window, FOOT)
    assert (sent, fired) == ([], [])


@pytest.mark.parametrize("name", ASKED)
def test_it_never_says_no_or_can_not_tell(window: Window, clock: Clock, name: str) -> None:
    view = ASKED[name]
    sent = show(window, clock, view)
    QTest.keyClick(window, FOOT)
    assert all(each != view.no.send and each != (view.unsure and view.unsure.send) for each in sent)


def test_a_screen_with_a_live_picture_may_take_it_to_freeze_and_then_it_is_no_yes(
    window: Window, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    frozen: list[int] = []

    def freeze(_: AskScreen) -> bool:
        frozen.append(clock.now)
        return True

    monkeypatch.setattr(AskScreen, "foot_pressed", freeze)
    window.use(Settings())  # freezing answers nothing: it is there for everybody
    sent = show(window, clock, _asked(), after_ms=10)
    QTest.keyClick(window, FOOT)
    assert frozen == []  # the guard of a new screen holds for it too
    clock.now += BENCH_RULES.new_screen_ms
    QTest.keyClick(window, FOOT)
    assert (len(frozen), sent) == (1, [])
