"""The screen is deaf while it is wiped: striped where no cloth was seen yet. A help, no proof, so it counts nothing."""

from collections.abc import Iterable
from math import ceil, hypot

from PySide6.QtCore import QEvent, QPointF, QRectF, QTimer
from PySide6.QtGui import QEventPoint, QHideEvent, QMouseEvent, QPainterPath, QTouchEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import Turn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.doing import DoingScreen, minutes
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

QUIET_MS = 2_000  # without a contact, once the time is up
TICK_MS = 200
CELL_MM, CLOTH_MM = 8.0, 22.0  # grid of the stripes; what one contact of a folded cloth is taken to cover
HATCH_MM, HATCH_LINE_MM = 3.3, 0.36
CARD_MM, CARD_SMALL_MM = (184.0, 86.0), (176.0, 84.0)

_TOUCHES = {QEvent.Type.TouchBegin, QEvent.Type.TouchUpdate, QEvent.Type.TouchEnd, QEvent.Type.TouchCancel}
_UP = {QEventPoint.State.Released}


class WipeScreen(DoingScreen):
    """A touch only takes stripes away. It wakes when the time is up and the glass is quiet, or by `wake`."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.head_rail.hide()
        self.hand_rail.hide()
        self._view: views.WipeView | None = None
        self._since: int | None = None
        self._last_contact: int | None = None
        self._down: dict[int, QPointF] = {}
        self._wiped: set[tuple[int, int]] = set()
        self._awake = False
        self._ticks = QTimer(self, interval=TICK_MS)
        self._ticks.timeout.connect(self.tick)

    def show_view(self, view: views.WipeView) -> None:
        """Show what to do; the time runs from when the screen appears."""
        self._view = view
        self.update()

    def begin(self) -> None:
        """Fall asleep: everything striped, the whole time to go."""
        super().begin()
        self._since, self._last_contact, self._awake = self.wall_ms(), None, False
        self._down.clear()
        self._wiped.clear()
        self._ticks.start()
        self.update()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._ticks.stop()

    def left_ms(self) -> int:
        """Time that the glass is still to be kept wet."""
        if self._view is None or self._since is None:
            return 0
        return max(0, self._since + self._view.seconds * 1000 - self.wall_ms())

    def tick(self) -> None:
        """Wake when the time is up and nobody has touched the glass for a while."""
        self.update()
        quiet = not self._down and (self._last_contact is None or self.wall_ms() - self._last_contact >= QUIET_MS)
        if self._since is not None and self.left_ms() == 0 and quiet:
            self.wake()

    def wake(self) -> None:
        """End the sleep: a badge was scanned, or the time is up."""
        self._ticks.stop()
        if not self._awake:
            self._awake = True
            self.sent.emit(Turn(page=None))

    def event(self, event: QEvent) -> bool:
        if event.type() not in _TOUCHES or not isinstance(event, QTouchEvent):
            return super().event(event)
        event.accept()
        for point in event.points():
            gone = event.type() is QEvent.Type.TouchCancel or point.state() in _UP
            size = point.ellipseDiameters()
            self._contact(
                point.id(), self.mapFromGlobal(point.globalPosition()), max(size.width(), size.height()), down=not gone
            )
        return True

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self._contact(-1, event.position(), 0, down=True)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        self._contact(-1, event.position(), 0, down=True)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        self._contact(-1, event.position(), 0, down=False)

    def _contact(self, contact: int, at: QPointF, wide: float, *, down: bool) -> None:
        """A contact at a place in px: what the cloth covers on its way there is striped no more."""
        self._last_contact = self.wall_ms()
        cell = self.glass.mm(CELL_MM)
        reach = max(self.glass.mm(CLOTH_MM), wide) / 2
        start = self._down.get(contact, at)
        steps = max(1, ceil(hypot(at.x() - start.x(), at.y() - start.y()) / cell))
        for n in range(steps + 1):
            self._wiped.update(_covered(start + (at - start) * (n / steps), reach, cell))
        if down:
            self._down[contact] = at
        else:
            self._down.pop(contact, None)
        self.update()

    def striped_share(self) -> float:
        """How much of the glass is striped still, 0 to 1; for tests, never shown."""
        across, down = self._grid()
        return 1 - sum(x < across and y < down for x, y in self._wiped) / (across * down)

    def _grid(self) -> tuple[int, int]:
        cell = self.glass.mm(CELL_MM)
        return ceil(self.width() / cell), ceil(self.height() / cell)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "well")
        self._draw_stripes(pen)
        if self._view is not None:
            self._draw_card(pen, self._view)

    def _draw_stripes(self, pen: Pen) -> None:
        across, down = self._grid()
        cell = pen.mm(CELL_MM)
        path = QPainterPath()
        for y in range(down):
            start = 0
            for x in range(across + 1):
                if x == across or (x, y) in self._wiped:
                    if x > start:
                        path.addRect(QRectF(start * cell, y * cell, (x - start) * cell, cell))
                    start = x + 1
        pen.painter.save()
        pen.painter.setClipPath(path)
        pen.fill(self.area(), "bore")
        pen.stroke("line", HATCH_LINE_MM)
        step, tall = pen.mm(HATCH_MM) * 2**0.5, float(self.height())
        for n in range(ceil((self.width() + tall) / step)):
            pen.line(n * step - tall, tall, n * step, 0)
        pen.painter.restore()

    def _draw_card(self, pen: Pen, view: views.WipeView) -> None:
        wide, tall = CARD_SMALL_MM if self.small else CARD_MM
        card = QRectF(0, 0, pen.mm(wide), pen.mm(tall))
        card.moveCenter(QPointF(self.width() / 2, self.height() * 0.48))
        pen.plate(card, "plate", outside="well")
        pad = pen.mm(10)
        inside = card.adjusted(pad, 0, -pad, 0)
        icon = QRectF(inside.left() + pen.mm(2), card.top() + pen.mm(11.5), pen.mm(20), pen.mm(20))
        draw_icon(pen.painter, "wipe", icon, pen.color("ink"), pen.color("plate"))
        words = QRectF(icon.right() + pen.mm(10), card.top() + pen.mm(11), 0, pen.mm(11))
        words.setRight(card.right() - pen.mm(6))
        pen.text(words, view.title, ((T.T5, 1), (T.T4, 1), (T.T3, 1), (T.T2, 2)), BOLD, bg="plate")
        under = QRectF(words.left(), words.bottom() + pen.mm(1.5), words.width(), pen.mm(8))
        pen.text(under, view.help, ((T.T2, 1), (T.T1, 2)), REGULAR, fg="ink2", bg="plate", pitch=1.5)
        for y in (40.0, 67.0):
            pen.fill(QRectF(inside.left(), card.top() + pen.mm(y), inside.width(), pen.mm(0.3)), "hair")
        self._draw_time(pen, QRectF(inside.left(), card.top() + pen.mm(40), inside.width(), pen.mm(27)), view)
        kept = QRectF(inside.left(), card.top() + pen.mm(68), inside.width() + pad / 2, pen.mm(15.5))
        pen.text(kept, view.kept, ((T.T2, 1), (T.T1, 1), (T.T1, 2)), REGULAR, bg="plate", pitch=1.5)

    def _draw_time(self, pen: Pen, room: QRectF, view: views.WipeView) -> None:
        left = self.left_ms()
        number = QRectF(room.left(), room.top(), pen.mm(52), room.height())
        stands = pen.text(number, minutes(left), ((T.T8, 1), (T.T7, 1)), EXTRA, bg="plate")
        x = max(stands.right(), room.left() + pen.mm(34)) + pen.mm(9)
        upper = QRectF(x, room.top() + pen.mm(4.5), room.right() - x, pen.mm(8))
        lower = QRectF(x, room.top() + pen.mm(14), room.right() - x, pen.mm(8))
        pen.text(upper, view.keep_wet, ((T.T3, 1), (T.T2, 1), (T.T1, 1)), BOLD, bg="plate")
        half = view.half_time and left <= view.seconds * 500
        pen.text(lower, view.half_time if half else view.striped, ((T.T2, 1), (T.T1, 1)), fg="ink2", bg="plate")


def _covered(at: QPointF, reach: float, cell: float) -> Iterable[tuple[int, int]]:
    """Cells of the grid that a cloth at a place in px covers."""
    for x in range(max(0, int((at.x() - reach) / cell)), int((at.x() + reach) / cell) + 1):
        for y in range(max(0, int((at.y() - reach) / cell)), int((at.y() + reach) / cell) + 1):
            yield x, y
