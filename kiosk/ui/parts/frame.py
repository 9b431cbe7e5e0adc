"""The frame of every screen: head rail, question, a slot for what the screen is about, hand rail."""

from dataclasses import dataclass

from PySide6.QtCore import QRectF, QSizeF, QTimer, Signal
from PySide6.QtGui import QHideEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.rail import HandRail, HeadRail
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import BOLD, REGULAR, T

HELP_SMALL_MM = 6.4  # what a help line adds to the question on the 10-inch screen


@dataclass(frozen=True, slots=True, kw_only=True)
class _Place:
    """Where a part lies in the slot, in mm; `wide` counts from the screen's edge instead of the content's."""

    widget: QWidget
    x: float
    y: float
    width: float
    height: float
    wide: bool


class ScreenFrame(TouchGround):
    """Base of every screen. Parts are placed in mm of the slot; x counts from the left edge of the content."""

    tapped_action = Signal(str, object)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.head_rail, self.hand_rail = HeadRail(glass, self), HandRail(glass, self)
        self.hand_rail.tapped_action.connect(self.tapped_action)
        self._title, self._help, self._notice, self._big, self._tight = "", "", "", True, False
        self._facts: tuple[str, ...] = ()
        self._places: list[_Place] = []
        self._opening = QTimer(self)
        self._opening.setSingleShot(True)
        self._opening.timeout.connect(self._show_open)
        self.resize(glass.metrics.width_px, glass.metrics.height_px)

    def show_head(self, head: views.Head, clock: str) -> None:
        """Fill the head rail; `clock` as it is to be read."""
        self.head_rail.show_head(head, clock)

    def show_question(
        self,
        title: str,
        help_line: str = "",
        facts: tuple[str, ...] = (),
        notice: str = "",
        *,
        big: bool = True,
        tight: bool = False,
    ) -> None:
        """The question in one line with its help line; `big` False: a title only, in a lower area.

        `notice` is one quiet sentence about the last act and stands in place of the help line. `tight`: the area is
        as high with a second line as without, so that nothing moves when a notice comes.
        """
        self._title, self._help, self._facts, self._notice = title, help_line, facts, notice
        self._big, self._tight = big, tight
        self._arrange()
        self.update()

    def show_hand(self, hand: views.Hand, *, swapped: bool = False, words: str = "") -> None:
        """Fill the hand rail; `swapped` for a left hand."""
        self.hand_rail.show_hand(hand, swapped=swapped, words=words)

    def place(self, widget: QWidget, x: float, y: float, width: float, height: float) -> None:
        """Put a part into the slot, in mm. The tapped_action signal of a part becomes the screen's."""
        self._put(_Place(widget=widget, x=x, y=y, width=width, height=height, wide=False))

    def place_wide(self, widget: QWidget, y: float, height: float) -> None:
        """Put a part across the whole screen: the lumen band."""
        self._put(_Place(widget=widget, x=0, y=y, width=self.glass.metrics.width_mm, height=height, wide=True))

    def take_out(self, widget: QWidget) -> None:
        """Take one part out of the slot."""
        self._places = [each for each in self._places if each.widget is not widget]
        widget.hide()
        widget.deleteLater()

    def clear_slot(self) -> None:
        """Take every part out of the slot."""
        for each in self._places:
            each.widget.hide()
            each.widget.deleteLater()
        self._places.clear()

    @property
    def question_mm(self) -> float:
        """Height of the question area, which depends on what it holds."""
        metrics = self.glass.metrics
        if not self._title:
            return 0.0
        if not self._big:
            return metrics.title_mm + (HELP_SMALL_MM + 1 if self._second_line and not self._tight else 0)
        return metrics.question_mm + (HELP_SMALL_MM if metrics.small and self._second_line and not self._tight else 0)

    @property
    def slot_mm(self) -> tuple[float, float]:
        """Width (of the content) and height of the slot."""
        metrics = self.glass.metrics
        return metrics.content_mm, metrics.block_mm - self.question_mm - metrics.hand_mm

    @property
    def _second_line(self) -> str:
        return self._notice or self._help

    @property
    def _slot_top_mm(self) -> float:
        metrics = self.glass.metrics
        return metrics.height_mm - metrics.block_mm + self.question_mm

    def _put(self, place: _Place) -> None:
        place.widget.setParent(self)
        self._places.append(place)
        tapped = getattr(place.widget, "tapped_action", None)
        if tapped is not None:
            tapped.connect(self.tapped_action)
        self._set_geometry(place)
        place.widget.show()

    def _set_geometry(self, place: _Place) -> None:
        mm, metrics = self.glass.mm, self.glass.metrics
        x = place.x + (0.0 if place.wide else metrics.left_mm)
        y = place.y + self._slot_top_mm
        left, top = round(mm(x)), round(mm(y))
        place.widget.setGeometry(left, top, round(mm(x + place.width)) - left, round(mm(y + place.height)) - top)

    def _arrange(self) -> None:
        mm, metrics = self.glass.mm, self.glass.metrics
        self.head_rail.setGeometry(0, 0, self.width(), round(mm(metrics.head_mm)))
        top = round(mm(metrics.height_mm - metrics.hand_mm))
        self.hand_rail.setGeometry(0, top, self.width(), self.height() - top)
        for place in self._places:
            self._set_geometry(place)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not event.spontaneous():
            self.begin()

    def begin(self) -> None:
        """Another question stands here now: the guard time starts, and targets have no edges until it is over."""
        self.glass.guard.screen_changed()
        self._opening.start(self.glass.guard.wait_ms() + 1)
        self._show_open()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self._opening.stop()

    def _show_open(self) -> None:
        """Targets get or lose their edges."""
        self.update()
        for part in self.findChildren(QWidget):
            part.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "field")
        if not self._title:
            return
        metrics = self.glass.metrics
        left, width = metrics.left_mm + metrics.edge_mm, metrics.content_mm - 2 * metrics.edge_mm
        room = pen.box(left, metrics.height_mm - metrics.block_mm, width, self.question_mm)
        facts = self._draw_facts(pen, room)
        words = QRectF(room.left(), room.top(), facts - room.left(), room.height())
        if self._tight and self._second_line and (metrics.small or not self._big):
            self._draw_tight(pen, words)
            return
        sizes = (T.T6, T.T5, T.T4, T.T3) if self._big else (T.T5, T.T6, T.T4, T.T3)
        most = metrics.capital(sizes[0])
        steps = [size for size in sizes if metrics.capital(size) <= most]
        choices = (*((size, 1) for size in steps), (T.T4, 2), (T.T3, 2))
        gap = pen.mm((3.2 if metrics.small else 5.3) if self._big else 3.6) if self._second_line else 0.0
        weight, fg = (BOLD, "ink") if self._notice else (REGULAR, "ink2")
        below = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
        under = fit_lines(self.glass, self._second_line, words.size(), below, weight, pitch=1.5).height if gap else 0.0
        box = QSizeF(words.width(), words.height() - gap - under - pen.mm(2.5))
        title = fit_lines(self.glass, self._title, box, choices, BOLD, pitch=1.4).height
        top = words.top() + (words.height() - title - gap - under) / 2
        upper = QRectF(words.left(), top, words.width(), min(title, box.height()))
        pen.text(upper, self._title, choices, BOLD, pitch=1.4)
        lower = QRectF(words.left(), top + title + gap, words.width(), under)
        pen.text(lower, self._second_line, below, weight, fg=fg, pitch=1.5)

    def _draw_tight(self, pen: Pen, room: QRectF) -> None:
        """Title and second line in the height of a title, the title a size smaller for it."""
        small = self.glass.metrics.small
        sizes: Choices = ((T.T3, 1), (T.T2, 1), (T.T1, 1)) if small else ((T.T5, 1), (T.T4, 1), (T.T3, 1))
        if small and self._big:
            sizes = ((T.T4, 1), *sizes)
        weight, fg = (BOLD, "ink") if self._notice else (REGULAR, "ink2")
        lines: Choices = ((T.T1, 1),) if small else ((T.T2, 1), (T.T1, 1))
        title = fit_lines(self.glass, self._title, room.size(), sizes, BOLD).height
        second = fit_lines(self.glass, self._second_line, room.size(), lines, weight).height
        gap = pen.mm(1.9 if small else 3.2)
        top = room.top() + (room.height() - title - gap - second) / 2 - pen.mm(0.5)
        pen.text(QRectF(room.left(), top, room.width(), title), self._title, sizes, BOLD)
        lower = QRectF(room.left(), top + title + gap, room.width(), second)
        pen.text(lower, self._second_line, lines, weight, fg=fg)

    def _draw_facts(self, pen: Pen, room: QRectF) -> float:
        """The facts, right aligned; returns where the question must end."""
        if not self._facts:
            return room.right()
        capital, step = self.glass.metrics.capital(T.T2), 7.2
        top = room.center().y() - pen.mm(capital + step * (len(self._facts) - 1)) / 2
        edge = room.right()
        for n, fact in enumerate(self._facts):
            line = QRectF(room.center().x(), top + pen.mm(n * step), room.width() / 2, pen.mm(capital))
            edge = min(edge, pen.text(line, fact, ((T.T2, 1), (T.T1, 1)), BOLD, align="right").left())
        return edge - pen.mm(5)
