"""Targets for gloved fingers. Each takes touch points itself, and a resting palm elsewhere never swallows a tap."""

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QEventPoint, QMouseEvent, QTouchEvent
from PySide6.QtWidgets import QWidget
from shiboken6 import isValid

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.guard import Verdict
from kiosk.ui.parts.pen import Record

MOUSE = -1  # a contact number that no finger has
_TOUCHES = {QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate, QEvent.Type.TouchEnd, QEvent.Type.TouchCancel}
_QUIET = {Verdict.CLOTH, Verdict.SPENT, Verdict.SLID_OFF}


class TouchGround(Drawn):
    """What lies under the targets. Qt may hand it a finger on a target while a palm rests on it: it passes that on."""

    cloth_seen = Signal()

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)

    def event(self, event: QEvent) -> bool:
        return _take_touch(self, event) or super().event(event)


class TouchButton(Drawn):
    """Fires on lift-off inside itself, as the guard allows. Override `draw`; `pressed` and `awake` say how it looks."""

    tapped = Signal()
    tapped_action = Signal(str, object)
    not_taken = Signal(str)
    role = "key"

    def __init__(
        self,
        glass: Glass,
        action: str = "",
        payload: object = None,
        *,
        repeats: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(glass, parent)
        self.action, self.payload, self.repeats = action, payload, repeats
        self._asleep = False
        self._holding: set[int] = set()
        self.finger = QPointF()
        self.setAttribute(Qt.WidgetAttribute.WA_AcceptTouchEvents)

    @property
    def pressed(self) -> bool:
        """Is a finger that counts on it?"""
        return bool(self._holding) and self.glass.guard.is_down(self)

    @property
    def awake(self) -> bool:
        """Would a touch count now? Only then it is drawn with its edge."""
        return not self._asleep and self.glass.guard.open()

    @property
    def asleep(self) -> bool:
        return self._asleep

    def set_asleep(self, asleep: bool) -> None:
        """A plate that can not be touched yet; what opens it must be said in words."""
        self._asleep = asleep
        self.update()

    def set_payload(self, payload: object) -> None:
        """What the next tap sends."""
        self.payload = payload

    def tap_area(self) -> QRectF:
        """Where a touch belongs to it, in its own px."""
        return self.area()

    def own_records(self) -> list[Record]:
        if self._asleep:
            return []
        return [Record(kind="target", rect=self.tap_area(), role=self.role, text=self.accessibleName())]

    def fire(self, _at: QPointF) -> None:
        """A tap at a place in its own px."""
        self.tapped.emit()
        self.tapped_action.emit(self.action, self.payload)

    def hold(self, contact: int, held: bool, at: QPointF) -> None:
        """A contact at a place in its own px presses it, or does not any more."""
        self.finger = at
        (self._holding.add if held else self._holding.discard)(contact)
        self.update()

    def event(self, event: QEvent) -> bool:
        return _take_touch(self, event) or super().event(event)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            _begin(self, MOUSE, event.globalPosition(), 0.0)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        _move(self.glass, MOUSE, event.globalPosition(), 0.0)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if event.button() is Qt.MouseButton.LeftButton:
            _end(self, MOUSE, event.globalPosition())


def _take_touch(widget: Drawn, event: QEvent) -> bool:
    if event.type() not in _TOUCHES or not isinstance(event, QTouchEvent):
        return False
    event.accept()
    if event.type() is QEvent.Type.TouchCancel:
        for point in event.points():
            _let_go(widget.glass, point.id(), _aim(widget.glass, point))
            widget.glass.guard.cancel(point.id())
        return True
    for point in event.points():
        _take_point(widget, point)
    _tell_of_cloth(widget)
    return True


def _aim(glass: Glass, point: QEventPoint) -> QPointF:
    """Where a finger was aimed: where it landed, less what fingers land beside their aim on this panel."""
    x, y = glass.touch_mm
    fine = glass.metrics.true_px_per_mm
    return point.globalPosition() - QPointF(x * fine, y * fine)


def _take_point(widget: Drawn, point: QEventPoint) -> None:
    at = _aim(widget.glass, point)
    size = point.ellipseDiameters()
    width = max(size.width(), size.height()) / widget.glass.metrics.true_px_per_mm
    if point.state() is QEventPoint.State.Pressed:
        _begin(widget, point.id(), at, width)
    elif point.state() is QEventPoint.State.Updated:
        _move(widget.glass, point.id(), at, width)
    elif point.state() is QEventPoint.State.Released:
        _end(widget, point.id(), at)


def _button_at(widget: QWidget, at: QPointF) -> TouchButton | None:
    top = widget.window()
    found = top.childAt(top.mapFromGlobal(at).toPoint()) or top
    button = next((each for each in _upward(found) if isinstance(each, TouchButton)), None)
    return button if button is not None and not button.asleep and _inside(button, at) else None


def _inside(button: TouchButton, at: QPointF) -> bool:
    return button.tap_area().contains(button.mapFromGlobal(at))


def _held(glass: Glass, contact: int) -> TouchButton | None:
    target = glass.guard.target(contact)
    return target if isinstance(target, TouchButton) and isValid(target) else None


def _mm(glass: Glass, at: QPointF) -> tuple[float, float]:
    return at.x() / glass.metrics.true_px_per_mm, at.y() / glass.metrics.true_px_per_mm


def _begin(widget: Drawn, contact: int, at: QPointF, width: float) -> None:
    button, guard = _button_at(widget, at), widget.glass.guard
    quick = button is not None and button.repeats
    held = guard.down(contact, *_mm(widget.glass, at), width=width, target=button, quick=quick)
    if button is not None:
        button.hold(contact, held, button.mapFromGlobal(at))


def _move(glass: Glass, contact: int, at: QPointF, width: float) -> None:
    button = _held(glass, contact)
    held = glass.guard.move(contact, *_mm(glass, at), width=width, inside=button is not None and _inside(button, at))
    if button is not None:
        button.hold(contact, held, button.mapFromGlobal(at))


def _let_go(glass: Glass, contact: int, at: QPointF) -> TouchButton | None:
    button = _held(glass, contact)
    if button is not None:
        button.hold(contact, False, button.mapFromGlobal(at))
    return button


def _end(widget: Drawn, contact: int, at: QPointF) -> None:
    glass = widget.glass
    button = _let_go(glass, contact, at)
    verdict = glass.guard.up(contact, *_mm(glass, at), inside=button is not None and _inside(button, at))
    if button is None:
        return
    if verdict is Verdict.TAP and not button.asleep and button.isVisible():
        button.fire(button.mapFromGlobal(at))
    elif verdict not in _QUIET:
        button.not_taken.emit(verdict.value)
        for told in glass.guard.turned_away:
            told()


def _tell_of_cloth(widget: Drawn) -> None:
    if widget.glass.guard.cloth_seen():
        grounds = [above for above in _upward(widget) if isinstance(above, TouchGround)]
        for ground in grounds[-1:]:
            ground.cloth_seen.emit()


def _upward(widget: QObject | None) -> Iterator[QObject]:
    while widget is not None:
        yield widget
        widget = widget.parent()
