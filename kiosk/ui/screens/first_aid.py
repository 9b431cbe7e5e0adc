"""First aid at once: five steps, the minutes since, one key. It takes the whole screen and asks nothing."""

from PySide6.QtCore import QRectF, QTimer
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.doing import DoingScreen, minutes
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

TICK_MS = 500
_FOOT, _FOOT_SMALL = (92.0, 48.0, 32.0, 8.0), (60.0, 38.0, 22.0, 5.0)
"""Widths of the two keys at the foot, their height and the gap, in mm."""


class HelpingKey(KeyButton):
    """White on the aid ground in both sets of colors."""

    def _colors(self) -> tuple[str, str, str, str, float]:
        if self.pressed:
            return "aid", "on_aid", "on_aid", "on_aid", 1.2
        return "on_aid", "on_aid", "aid", "aid", 0.6


class FirstAidScreen(DoingScreen):
    """Works signed out. The clock runs from when the key was touched."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.head_rail.hide()
        self.hand_rail.hide()
        self._view: views.FirstAidView | None = None
        self._ticks = QTimer(self, interval=TICK_MS)
        self._ticks.timeout.connect(self.update)

    def show_view(self, view: views.FirstAidView) -> None:
        """Show the steps."""
        if view == self._view:
            return
        self._view = view
        self.clear_slot()
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        main, aside, tall, gap = _FOOT_SMALL if self.small else _FOOT
        # The hand rail is not there: the keys stand at the foot of the screen.
        top = height + self.glass.metrics.hand_mm - edge - tall
        self.place(self._key(view.main, T.T3 if self.small else T.T4), width - edge - main, top, main, tall)
        self.place(self._key(view.mistake, T.T2), width - edge - main - gap - aside, top, aside, tall)
        self.update()

    def _key(self, key: views.Key, size: T) -> HelpingKey:
        return HelpingKey(
            self.glass,
            key.label,
            icon=key.icon,
            payload=key.send,
            kind=key.kind,
            action="send",
            name=key.name,
            size=size,
            ground="aid",
        )

    def gone_ms(self) -> int:
        """Time since the key was touched."""
        return 0 if self._view is None else max(0, self.wall_ms() - self._view.since_ms)

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self._ticks.start()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._ticks.stop()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "aid")
        view, metrics = self._view, self.glass.metrics
        if view is None:
            return
        small, edge = self.small, metrics.edge_mm
        tall = min(metrics.height_mm, 194.0)
        room = pen.box(metrics.left_mm + edge, metrics.height_mm - tall, metrics.content_mm - 2 * edge, tall)
        head, foot = (26.0, 30.0) if small else (44.0, 46.0)
        self._draw_head(pen, QRectF(room.left(), room.top(), room.width(), pen.mm(head)), view)
        steps = QRectF(room.left(), room.top() + pen.mm(head), room.width(), room.height() - pen.mm(head + foot))
        self._draw_steps(pen, steps, view.steps)
        if view.unset:
            self._draw_unset(pen, room, view.unset)
        elif view.phone:
            self._draw_call(pen, room, view)

    def _draw_head(self, pen: Pen, room: QRectF, view: views.FirstAidView) -> None:
        side = pen.mm(14 if self.small else 24)
        cross = QRectF(room.left(), room.center().y() - side / 2, side, side)
        draw_icon(pen.painter, "aid", cross, pen.color("on_aid"), pen.color("aid"))
        clock = QRectF(room.right() - pen.mm(62 if self.small else 92), room.top(), 0, room.height())
        clock.setRight(room.right())
        title = QRectF(cross.right() + pen.mm(5 if self.small else 9), room.top(), 0, room.height())
        title.setRight(clock.left() - pen.mm(4))
        sizes = ((T.T7, 1), (T.T6, 1), (T.T5, 1), (T.T4, 2))
        pen.text(title, view.title, sizes, EXTRA, fg="on_aid", bg="aid")
        share = 0.58 if self.small else 0.62
        upper = QRectF(clock.left(), clock.top(), clock.width(), clock.height() * share)
        lower = QRectF(clock.left(), upper.bottom(), clock.width(), clock.height() - upper.height() - pen.mm(2))
        number = ((T.T7, 1),) if self.small else ((T.T8, 1),)
        time = minutes(self.gone_ms() // 1000 * 1000)
        pen.text(upper, time, number, EXTRA, fg="on_aid", bg="aid", align="right", up="bottom")
        words = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
        pen.text(lower, view.minutes_words, words, REGULAR, fg="on_aid", bg="aid", align="right", pitch=1.4)

    def _draw_steps(self, pen: Pen, room: QRectF, steps: tuple[str, ...]) -> None:
        tall = room.height() / max(1, len(steps))
        side = min(tall * 0.72, pen.mm(15))
        sizes = (
            ((T.T4, 1), (T.T3, 2), (T.T2, 2), (T.T1, 3)) if self.small else ((T.T5, 1), (T.T4, 2), (T.T3, 2), (T.T2, 3))
        )
        for n, step in enumerate(steps):
            y = room.top() + n * tall
            if n:
                pen.stroke("aid_edge" if self.glass.tokens.aid_edge != self.glass.tokens.aid else "on_aid", 0.15)
                pen.line(room.left() + side + pen.mm(6), y, room.right(), y)
            ring = QRectF(room.left(), y + (tall - side) / 2, side, side)
            pen.solid("on_aid")
            pen.painter.drawEllipse(ring)
            pen.text(ring, str(n + 1), ((T.T4, 1), (T.T3, 1)), EXTRA, fg="aid", bg="on_aid", align="center")
            words = QRectF(ring.right() + pen.mm(6), y, room.right() - ring.right() - pen.mm(6), tall)
            pen.text(words, step, sizes, BOLD, fg="on_aid", bg="aid", pitch=1.55)

    def _foot_left(self, pen: Pen, room: QRectF) -> QRectF:
        """The place left of the keys."""
        main, aside, tall, gap = _FOOT_SMALL if self.small else _FOOT
        plate = QRectF(room.left(), room.bottom() - pen.mm(self.glass.metrics.edge_mm + tall), 0, pen.mm(tall))
        plate.setRight(room.right() - pen.mm(main + aside + 2 * gap))
        return plate

    def _draw_call(self, pen: Pen, room: QRectF, view: views.FirstAidView) -> None:
        """Whom to call, the number in the largest letters, and who is called next."""
        place = self._foot_left(pen, room)
        last = place.height() * 0.34 if view.then else 0.0
        then = " · ".join(view.then[:1] if self.small else view.then)
        upper = QRectF(place.left(), place.top(), place.width(), place.height() - last)
        pen.stroke("on_aid", 0.4)
        pen.line(place.left(), place.top(), place.right(), place.top())
        sizes = ((T.T7, 1), (T.T6, 1), (T.T5, 1), (T.T4, 1), (T.T3, 1))
        names = ((T.T2, 2), (T.T1, 2)) if self.small else ((T.T4, 2), (T.T3, 2), (T.T2, 2))
        name = QRectF(upper.left(), upper.top() + pen.mm(1), upper.width() * 0.5, upper.height() - pen.mm(1))
        number = QRectF(name.right() + pen.mm(3), upper.top(), 0, upper.height())
        number.setRight(upper.right())
        pen.text(name, view.call, names, BOLD, fg="on_aid", bg="aid", pitch=1.4)
        pen.text(number, view.phone, sizes, EXTRA, fg="on_aid", bg="aid", align="right")
        if then:
            lower = QRectF(place.left(), upper.bottom(), place.width(), last)
            pen.text(lower, then, ((T.T2, 1), (T.T1, 1), (T.T1, 2)), REGULAR, fg="on_aid", bg="aid")

    def _draw_unset(self, pen: Pen, room: QRectF, words: str) -> None:
        """Yellow, with a triangle, left of the key."""
        small = self.small
        plate = self._foot_left(pen, room)
        pen.plate(plate, "notice", outside="aid")
        icon = QRectF(plate.left() + pen.mm(4), plate.top(), pen.mm(10 if small else 14), plate.height())
        draw_icon(pen.painter, "warning", icon, pen.color("on_notice"), pen.color("notice"))
        inside = QRectF(icon.right() + pen.mm(4), plate.top(), 0, plate.height())
        inside.setRight(plate.right() - pen.mm(4))
        sizes = ((T.T4, 2), (T.T3, 2), (T.T2, 3), (T.T1, 3), (T.T1, 4))
        pen.text(inside, words, sizes, BOLD, fg="on_notice", bg="notice", pitch=1.55)
