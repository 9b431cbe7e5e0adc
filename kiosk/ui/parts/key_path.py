"""The way through every screen without touching it: a keyboard, or a foot pedal that types one of its keys.

| key | does |
|---|---|
| F8 | YES, or the page's main key |
| F4, F6 | NO, CAN'T TELL |
| F9, F10 | mark the key before, the next key |
| F12 | touch the marked key |
| F1 | Hurt or splashed |

And the foot key, where this station has one: it means YES for whoever chose so in their settings, to a check or a
question of the start-up, never NO, never a signature or a ruling, never a page's main key; a screen that shows a live
picture may take it to freeze. It is judged as a touch on the plate would be. The key on the scope itself, where this
station was told which one it types, freezes and does nothing else.

No scanner sends these: Enter, Tab and letters press nothing. Held keys count once, and keys faster than a hand not.
"""

from collections.abc import Callable

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.guard import Verdict
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton

ANSWERS = {Qt.Key.Key_F4: "no", Qt.Key.Key_F6: "unsure"}
_OF_THE_WINDOW = (
    Qt.KeyboardModifier.AltModifier | Qt.KeyboardModifier.ControlModifier | Qt.KeyboardModifier.MetaModifier
)
FASTEST_MS = 250
"""Two keys closer than this are one hand's bounce or a broken pedal (a choice, no source)."""


class KeyPath(Drawn):
    """Takes the keys, and frames the marked target. Lies over the screens and lets every touch through."""

    keeps_sides = True

    def __init__(self, glass: Glass, parent: QWidget) -> None:
        super().__init__(glass, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
        self.setAttribute(Qt.WidgetAttribute.WA_NoSystemBackground)
        self._marked: TouchButton | None = None
        self._last: int | None = None
        self.foot_key: Qt.Key | None = None
        self.scope_key: Qt.Key | None = None
        self.foot_answers: Callable[[], bool] = _takes_no_foot
        self.freezes: Callable[[], bool] = _takes_no_foot
        self.hide()

    def clear(self) -> None:
        """Another page: nothing is marked."""
        self._mark(None)

    def take(self, event: QKeyEvent, screen: QWidget) -> bool:
        """Is this one of the keys? Then it has done what it does."""
        key = Qt.Key(event.key())
        if event.modifiers() & _OF_THE_WINDOW:  # Alt+F4 closes windows, and is no NO
            return False
        if key == self.scope_key and key != self.foot_key:
            if not event.isAutoRepeat() and self.glass.guard.open():
                self.freezes()
            return True
        if key == self.foot_key:
            self._on_foot(event, screen)
            return True
        steps = {Qt.Key.Key_F9: -1, Qt.Key.Key_F10: 1}
        if key not in {*ANSWERS, *steps, Qt.Key.Key_F1, Qt.Key.Key_F8, Qt.Key.Key_F12}:
            return False
        guard, now = self.glass.guard, self.glass.guard.clock()
        quick = self._last is not None and now - self._last < FASTEST_MS
        if event.isAutoRepeat() or quick or not guard.open():
            return True
        self._last = guard.touched_at = now
        if key in steps:
            self._step(screen, steps[key])
        elif key is Qt.Key.Key_F12:
            self._fire(self._marked if self._marked in targets(screen) else None)
        else:
            self._fire(_meant(screen, key))
        return True

    def _on_foot(self, event: QKeyEvent, screen: QWidget) -> None:
        guard = self.glass.guard
        if event.isAutoRepeat() or (guard.open() and self.freezes()):
            return
        plate = _meant(screen, Qt.Key.Key_F8, only_answers=True) if self.foot_answers() else None
        if plate is None:
            return
        at, fine = plate.mapToGlobal(plate.tap_area().center()), self.glass.metrics.true_px_per_mm
        if guard.key(at.x() / fine, at.y() / fine) is Verdict.TAP:
            self._fire(plate)
        else:
            for told in guard.turned_away:
                told()

    def _step(self, screen: QWidget, by: int) -> None:
        there = targets(screen)
        if not there:
            return
        at = there.index(self._marked) if self._marked in there else (-1 if by > 0 else 0)
        self._mark(there[(at + by) % len(there)])

    def _mark(self, target: TouchButton | None) -> None:
        self._marked = target
        self.setVisible(target is not None)
        if target is not None:
            self.setGeometry(self.window().rect())
            self.raise_()
            self.update()

    @property
    def marked(self) -> TouchButton | None:
        """The target that F12 would touch."""
        return self._marked

    def _fire(self, target: TouchButton | None) -> None:
        if target is not None and isValid(target):
            target.fire(target.tap_area().center())

    def draw(self, pen: Pen) -> None:
        if self._marked is None or not isValid(self._marked):
            return
        origin = QPointF(self._marked.mapTo(self.window(), self._marked.tap_area().topLeft().toPoint()))
        frame = QRectF(origin, self._marked.tap_area().size()).adjusted(*(pen.mm(d) for d in (-1.2, -1.2, 1.2, 1.2)))
        for token, width in (("field", 2.2), ("ink", 1.2)):
            pen.stroke(token, width)
            pen.painter.setBrush(Qt.BrushStyle.NoBrush)
            pen.painter.drawRect(frame)


def targets(screen: QWidget) -> list[TouchButton]:
    """Everything that can be touched on the screen now, from the top and the left."""
    there = [
        button
        for button in screen.findChildren(TouchButton)
        if button.isVisibleTo(screen) and not button.asleep and not button.tap_area().isEmpty()
    ]
    return sorted(there, key=lambda button: _place(screen, button))


def _place(screen: QWidget, button: TouchButton) -> tuple[int, int]:
    at = button.mapTo(screen, button.tap_area().center().toPoint())
    return at.y() // 24, at.x()


def _takes_no_foot() -> bool:
    return False


def _meant(screen: QWidget, key: Qt.Key, *, only_answers: bool = False) -> TouchButton | None:
    there = targets(screen)
    if key is Qt.Key.Key_F1:
        return next((button for button in there if button.action == "aid"), None)
    answer = ANSWERS.get(key, "yes")
    plate = next((b for b in there if isinstance(b, AnswerPlate) and b.answer == answer), None)
    if plate is not None or only_answers or key is not Qt.Key.Key_F8:
        return plate
    main = (button for button in there if isinstance(button, KeyButton) and button.kind == "main")
    done = (button for button in there if button.action == "done")
    return next(main, None) or next(done, None)
