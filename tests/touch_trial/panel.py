"""The panel under the hand: brings each moment of a contact to the window, and notes what it fires.

Two ways. `Seam`: the point is handed to the one place through which all points of touch events pass
(`kiosk.ui.parts.touch`), with the width that Qt's own test events cannot carry. `Real`: Qt's touch events.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any
from unittest.mock import patch

from PySide6.QtCore import QPointF, QSizeF
from PySide6.QtGui import QEventPoint, QPointingDevice
from PySide6.QtTest import QTest

from kiosk.ui.parts import touch
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.guard import TapGuard, Verdict
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.window import Window
from tests.touch_trial.contact import Happening, Moment, Phase
from tests.ui.samples import Clock

STATE = {
    Phase.DOWN: QEventPoint.State.Pressed,
    Phase.MOVE: QEventPoint.State.Updated,
    Phase.UP: QEventPoint.State.Released,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Fired:
    """A target that took a contact, at a place in its own px."""

    button: TouchButton
    contact: int
    at: QPointF


@dataclass(frozen=True, slots=True)
class Point:
    """A moment, asked as Qt's points are asked."""

    moment: Moment
    window: Window
    density: float  # px of the panel in a real mm; a window may draw its own larger

    def id(self) -> int:
        return self.moment.contact

    def state(self) -> QEventPoint.State:
        return STATE[self.moment.phase]

    def globalPosition(self) -> QPointF:
        return self.window.mapToGlobal(QPointF(self.moment.x * self.density, self.moment.y * self.density))

    def ellipseDiameters(self) -> QSizeF:
        wide = self.moment.width * self.density
        return QSizeF(wide, wide)


class Seam:
    """Contacts brought to the window through the seam, one moment after the other, on a clock of its own.

    `on`: the contact whose moment is brought now; 0 between them.
    """

    def __init__(self, window: Window, clock: Clock, density: float) -> None:
        self.window, self.clock, self.density, self.on = window, clock, density, 0
        self._touching: set[int] = set()

    def bring(self, happening: Happening) -> None:
        """Play it out; the clock stands at its last moment after it."""
        before = min(0.0, happening[0].at_ms)
        began = self.clock.now
        for moment in happening:
            self.clock.now = began + round(moment.at_ms - before)
            self.on = moment.contact
            self.deliver(moment)
        self.on = 0

    def deliver(self, moment: Moment) -> None:
        """One moment of one contact."""
        ground: Any = self.window.current
        touch._take_point(ground, Point(moment, self.window, self.density))  # type: ignore[arg-type]
        touch._tell_of_cloth(ground)


class Real(Seam):
    """The same as events of Qt. It cannot tell a width, and leaves out what is beyond the window."""

    def __init__(self, window: Window, clock: Clock, density: float, device: QPointingDevice) -> None:
        super().__init__(window, clock, density)
        self.device = device

    def deliver(self, moment: Moment) -> None:
        top = self.window
        at = QPointF(moment.x * self.density, moment.y * self.density).toPoint()
        event = QTest.touchEvent(top, self.device, False)
        for contact in self._touching - {moment.contact}:
            event.stationary(contact)
        does = {Phase.DOWN: event.press, Phase.MOVE: event.move, Phase.UP: event.release}[moment.phase]
        does(moment.contact, at, top)
        event.commit(False)
        (self._touching.discard if moment.phase is Phase.UP else self._touching.add)(moment.contact)


@contextmanager
def noting(panel: Seam) -> Iterator[tuple[list[Fired], dict[int, Verdict]]]:
    """What is fired is noted instead of done, so that the page stands as it was for the next touch.

    Beside it the guard's verdict on each contact.
    """
    fired: list[Fired] = []
    verdicts: dict[int, Verdict] = {}
    usual = TapGuard.up

    def note(button: TouchButton, at: QPointF) -> None:
        fired.append(Fired(button=button, contact=panel.on, at=at))

    def judged(guard: TapGuard, contact: int, x: float, y: float, *, inside: bool = True) -> Verdict:
        verdicts[contact] = usual(guard, contact, x, y, inside=inside)
        return verdicts[contact]

    noted = patch.object(TouchButton, "fire", note), patch.object(LumenBand, "fire", note)
    with noted[0], noted[1], patch.object(TapGuard, "up", judged):
        yield fired, verdicts
