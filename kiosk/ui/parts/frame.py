"""The frame of every screen: head rail, question, a slot for what the screen is about, hand rail."""

from dataclasses import dataclass

from PySide6.QtCore import QTimer, Signal
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.question import Question
from kiosk.ui.parts.rail import HandRail, HeadRail
from kiosk.ui.parts.rail_chip import RailChip
from kiosk.ui.parts.touch import TouchGround


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
        self._question = Question(glass, self)
        self._chip = RailChip(glass, self)
        self._chip.tapped_action.connect(self.tapped_action)
        self._places: list[_Place] = []
        self._head_shown: views.Head | None = None
        self._opening = QTimer(self)
        self._opening.setSingleShot(True)
        self._opening.timeout.connect(self._opened)
        self.resize(glass.metrics.width_px, glass.metrics.height_px)

    def show_head(self, head: views.Head, clock: str) -> None:
        """Fill the head rail; `clock` as it is to be read."""
        self.head_rail.show_head(head, clock)
        self._head_shown = head
        self._stand_chip()

    def _stand_chip(self) -> None:
        """The key over the rail's notice, where that leads somewhere."""
        head, chip = self._head_shown, self.head_rail.chip()
        if chip is None or head is None or head.about is None:
            self._chip.hide()
            return
        self._chip.stand(*chip, head.notice, head.about)
        self._chip.raise_()

    def show_question(
        self,
        title: str,
        help_line: str = "",
        facts: tuple[str, ...] = (),
        notice: str = "",
        *,
        big: bool = True,
        tight: bool = False,
        keep_help: bool = False,
        roomy: bool = False,
        beside: bool = True,
    ) -> None:
        """The question in one line with its help line; `big` False: a title only, in a lower area.

        `notice` is one quiet sentence about the last act and stands in place of the help line. `tight`: the area is
        as high with a second line as without, so that nothing moves when a notice comes. `keep_help`: the notice
        stands below the help line, which is never displaced. `roomy`: on the 10-inch screen there is room for a
        notice of two lines. `beside` False: what is right of the title is taken.
        """
        self._question.ask(
            title, help_line, facts, notice, big=big, tight=tight, keep=keep_help, roomy=roomy, beside=beside
        )
        self._arrange()

    def show_hand(self, hand: views.Hand, *, words: str = "") -> None:
        """Fill the hand rail."""
        self.hand_rail.show_hand(hand, words=words)

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
        return self._question.height_mm

    @property
    def slot_mm(self) -> tuple[float, float]:
        """Width (of the content) and height of the slot."""
        metrics = self.glass.metrics
        return metrics.content_mm, metrics.slot_mm(self.question_mm)

    @property
    def _slot_top_mm(self) -> float:
        metrics = self.glass.metrics
        return metrics.height_mm - metrics.hand_mm - metrics.slot_mm(self.question_mm)

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
        self._stand_chip()
        top = round(mm(metrics.height_mm - metrics.hand_mm))
        self.hand_rail.setGeometry(0, top, self.width(), self.height() - top)
        above = round(mm(self._slot_top_mm - self.question_mm))
        self._question.setGeometry(0, above, self.width(), round(mm(self._slot_top_mm)) - above)
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

    def take_up(self) -> None:
        """The same question stands here again after the bench was locked by quiet: what was touched is there again."""

    def _opened(self) -> None:
        """The guard time should be over. A timer may come a little early: then it is set once more."""
        left = self.glass.guard.wait_ms()
        if left:
            self._opening.start(left + 1)
        else:
            self._show_open()

    def _show_open(self) -> None:
        """Targets get or lose their edges. Of a screen that is hidden by then nothing is painted."""
        self.update()
        for part in self.findChildren(QWidget):
            part.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "field")
