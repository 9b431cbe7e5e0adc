"""The bench at rest: it dims, it hides, a touch only wakes, and what must be seen is never put away."""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QCloseEvent, QPointingDevice
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.app.rest import After, Rest
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.parts.veil import Rests
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import EAR, Shift, at_work
from tests.ui.samples import PANELS, Clock

MINUTE = 60_000


@dataclass
class Bench:
    """A bench with a check open, and the clock of its quiet."""

    shift: Shift = field(default_factory=lambda: at_work(EAR))
    clock: Clock = field(default_factory=Clock)
    sent: list[c.Send] = field(default_factory=list)
    window: Window = field(init=False)
    rest: Rest = field(init=False)

    def __post_init__(self) -> None:
        glass = new_glass(*PANELS["15.6 in"], BENCH, self.clock)
        self.window = Window(glass, wall_ms=lambda: self.shift.at_ms, clock_text=lambda: "14:07", kiosk=True)
        self.window.clock_timer.stop()
        self.window.sent.connect(self.sent.append)
        self.window.show()
        self.rest = Rest(self.shift.session, self.window, self.clock, self.follow, After(dim=1.5, hide=5.0))
        self.show()

    def follow(self, send: c.Send) -> None:
        self.shift.session.send(send)
        self.rest.touched()
        self.show()

    def show(self) -> None:
        self.window.show_view(self.shift.session.view())

    def who(self) -> str | None:
        return self.shift.bench.who

    def quiet(self, minutes: float) -> Rests:
        self.clock.now += round(minutes * MINUTE)
        self.rest.look()
        return self.window.veil.rests


@pytest.fixture
def bench(qapp: QApplication) -> Iterator[Bench]:
    bench = Bench()
    yield bench
    bench.window.let_go()
    bench.window.close()


@pytest.fixture(scope="module")
def panel(qapp: QApplication) -> QPointingDevice:
    return QTest.createTouchDevice()


def plate(bench: Bench) -> QPoint:
    """The middle of the NO plate of the check that is open, on the window."""
    assert bench.window.current is not None
    key = bench.window.current.findChild(QWidget, "no")
    assert isinstance(key, QWidget)
    return key.mapTo(bench.window, key.rect().center())


def touch(bench: Bench, panel: QPointingDevice, at: QPoint) -> None:
    under = bench.window.childAt(at) or bench.window
    QTest.touchEvent(under, panel).press(1, under.mapFrom(bench.window, at), under).commit()
    bench.clock.now += 80
    QTest.touchEvent(under, panel).release(1, under.mapFrom(bench.window, at), under).commit()


def test_a_bench_in_use_does_not_rest(bench: Bench) -> None:
    assert bench.quiet(1.4) is Rests.NOT


def test_after_ninety_seconds_it_dims_then_the_person_is_signed_out_then_it_hides(bench: Bench) -> None:
    """look.md 3.13 dims at 90 s; the policy signs out after its own minutes (3 as delivered)."""
    assert bench.quiet(1.6) is Rests.DIM
    assert bench.who() is not None
    assert bench.quiet(1.5) is Rests.DIM
    assert bench.who() is None
    assert bench.quiet(2.0) is Rests.HIDDEN


def test_a_hidden_glass_shows_nothing_of_the_work(bench: Bench) -> None:
    bench.quiet(5.1)
    shot = bench.window.grab().toImage()
    seen = {shot.pixelColor(x, y).name() for x in range(0, 1920, 7) for y in range(0, 400, 7)}
    assert seen == {bench.window.glass.color("rail").lower()}
    assert "Touch to wake" in bench.window.veil.accessibleName()


@pytest.mark.parametrize("minutes", [1.6, 5.1])
def test_a_touch_on_a_resting_glass_only_wakes_and_answers_nothing(
    bench: Bench, panel: QPointingDevice, minutes: float
) -> None:
    at = plate(bench)
    bench.quiet(minutes)
    kept = len(bench.shift.log)
    touch(bench, panel, at)
    assert bench.window.veil.rests is Rests.NOT
    assert bench.sent == []
    touch(bench, panel, at)  # within the guard time of a new screen
    assert bench.sent == []
    assert len(bench.shift.log) == kept


def test_awake_again_the_next_touch_answers(bench: Bench, panel: QPointingDevice) -> None:
    at = plate(bench)
    bench.quiet(1.6)
    touch(bench, panel, at)
    bench.clock.now += 1_000
    touch(bench, panel, at)
    assert len(bench.sent) == 1


def test_a_key_and_a_foot_on_a_resting_bench_only_wake(bench: Bench) -> None:
    bench.quiet(1.6)
    bench.clock.now += 1_000
    QTest.keyClick(bench.window, Qt.Key.Key_F4)
    assert (bench.sent, bench.window.veil.rests) == ([], Rests.NOT)


def test_a_badge_shown_to_a_resting_bench_counts_and_wakes_it(bench: Bench) -> None:
    bench.quiet(5.1)
    bench.follow(c.Turn())
    assert bench.window.veil.rests is Rests.NOT


def test_first_aid_and_the_wet_glass_are_never_put_away(bench: Bench) -> None:
    bench.follow(c.FirstAid())
    assert isinstance(bench.window.shown, v.FirstAidView)
    assert bench.quiet(60) is Rests.NOT


def test_when_everything_is_stopped_a_resting_bench_wakes(bench: Bench) -> None:
    bench.quiet(5.1)
    stopped = replace(bench.shift.session.bench, stopped_ms=bench.shift.at_ms + 1)
    bench.shift.session.bench = stopped
    assert bench.quiet(0) is Rests.NOT


@pytest.mark.parametrize(
    ("key", "held"),
    [
        (Qt.Key.Key_Escape, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Q, Qt.KeyboardModifier.ControlModifier),
        (Qt.Key.Key_W, Qt.KeyboardModifier.ControlModifier),
        (Qt.Key.Key_F4, Qt.KeyboardModifier.AltModifier),
        (Qt.Key.Key_F11, Qt.KeyboardModifier.NoModifier),
    ],
)
def test_no_key_leads_out_of_the_kiosk_and_alt_f4_answers_nothing(
    bench: Bench, key: Qt.Key, held: Qt.KeyboardModifier
) -> None:
    bench.clock.now += 1_000
    QTest.keyClick(bench.window, key, held)
    assert bench.window.isVisible()
    assert bench.sent == []


def test_closing_the_window_is_refused_until_a_supervisor_has_left(bench: Bench) -> None:
    event = QCloseEvent()
    QApplication.sendEvent(bench.window, event)
    assert not event.isAccepted()
    assert bench.window.close() is False
    bench.window.let_go()
    assert bench.window.close() is True
