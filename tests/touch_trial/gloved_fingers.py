"""The rehearsal's fingers in a glove: whole trays walked by the hand of the trial, palms, drips and cloths between."""

from collections.abc import Callable
from random import Random
from typing import Any
from unittest.mock import patch

from PySide6.QtCore import QPoint, QPointF
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.devices.clock import HandClock
from kiosk.rehearsal.fingers import Around, Fingers
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.window import Window
from tests.touch_trial.contact import Happening
from tests.touch_trial.hand import ONE_GLOVE, TWO_WET, Hand, Target
from tests.touch_trial.panel import Seam

TRIES = 6
"""Touches at one key before a person gives up."""

APART_MS = 2_600
"""What else meets the glass comes so far apart that two of it are not a wiping: that offers its page, by design."""

SEED = 20


class Steady:
    """The rehearsal's clock, set as the panel sets its own."""

    def __init__(self, clock: HandClock) -> None:
        self.clock = clock

    @property
    def now(self) -> int:
        """Steady milliseconds."""
        return self.clock.steady_ms()

    @now.setter
    def now(self, to: int) -> None:
        self.clock.advance(to - self.now)


class GlovedFingers(Fingers):
    """Aims as `Fingers` does and lands as a gloved finger does; touches again what did not take. The tube's places are
    those of the scenario: how far a mark may lie off is the trial's matter."""

    def __init__(
        self, window: Callable[[], Window], clock: HandClock, *, slow_ms: int = 0, around: Around | None = None
    ) -> None:
        super().__init__(window, clock, slow_ms=slow_ms, around=around)
        self.rng = Random(SEED)
        self.landed = self.missed = self.others = 0
        self.wrong: list[str] = []

    def tap(self, widget: QWidget, at: QPoint | None = None) -> None:
        if not isinstance(widget, TouchButton) or isinstance(widget, LumenBand):
            super().tap(widget, at)
            return
        top = self.window()
        density = top.glass.metrics.true_px_per_mm
        hand = Hand(TWO_WET if top.glass.guard.rules.new_screen_ms == 500 else ONE_GLOVE, self.rng)
        panel: Any = Seam(top, Steady(self.clock), density)  # type: ignore[arg-type]
        area = widget.tap_area()
        middle = widget.mapTo(top, area.center())
        x, y = middle.x() / density, middle.y() / density
        target = Target(x=x, y=y, wide=area.width() / density, high=area.height() / density)
        payload = getattr(widget, "payload", None)
        for _ in range(TRIES):
            self._meanwhile(panel, hand)
            self.clock.advance(round(hand.wait_ms()))
            happening, _finger = hand.tap(target)
            fired: list[TouchButton] = []
            self.around(payload, Touching(panel, happening, fired))
            self.wrong += [each.objectName() for each in fired if each is not widget]
            if fired:
                break
            self.missed += 1
        self.landed += 1
        self.taps += 1
        self.settle()

    def _meanwhile(self, panel: Any, hand: Hand) -> None:
        metrics, rng = self.window().glass.metrics, self.rng
        for what, share in ((hand.palm, 0.1), (hand.drip, 0.15), (hand.cloth, 0.05)):
            if rng.random() < share:
                self.clock.advance(APART_MS)
                x = rng.uniform(0, metrics.width_px / panel.density)
                fired: list[TouchButton] = []
                Touching(panel, what(x, rng.uniform(0, metrics.height_px / panel.density)), fired)()
                self.wrong += [each.objectName() for each in fired]
                self.others += 1
                self.clock.advance(APART_MS)


class Touching:
    """Brings what happens to the panel, and notes what it fires beside doing it."""

    def __init__(self, panel: Any, happening: Happening, fired: list[TouchButton]) -> None:
        self.panel, self.happening, self.fired = panel, happening, fired

    def __call__(self) -> None:
        usual, fired = TouchButton.fire, self.fired

        def note(button: TouchButton, at: QPointF) -> None:
            fired.append(button)
            usual(button, at)

        with patch.object(TouchButton, "fire", note):
            self.panel.bring(self.happening)
        QApplication.processEvents()
