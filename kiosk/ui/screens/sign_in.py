"""Sign-in: scan the badge, or touch a name."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts import tube
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, T


class BadgeLine(Drawn):
    """The center line with an open ring on it, and a badge on its way into the ring."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._words = ""

    def show_words(self, words: str) -> None:
        self._words = words
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        high = self.height() / pen.mm(1)
        side = min(34.0, high - 4)
        middle, y = QPointF(self.width() / 2, self.height() / 2), self.height() / 2
        tube.center_line(pen, 0, self.width(), y)
        ring = QRectF(middle.x() - pen.mm(side / 2), y - pen.mm(side / 2), pen.mm(side), pen.mm(side))
        draw_ring(pen, ring, "clear", fg="ink", hole="plate")
        wide, tall = pen.mm(side * 0.86), pen.mm(side * 0.54)  # ISO/IEC 7810 ID-1 is 85.60 x 53.98 mm
        card = QRectF(ring.left() - wide - pen.mm(side * 0.3), y - tall / 2, wide, tall)
        pen.plate(card, "well", outside="plate")
        pen.stroke("ink", 0.42)
        pen.painter.drawRoundedRect(card, pen.mm(1.4), pen.mm(1.4))
        unit = tall / 10
        pen.solid("ink2")
        pen.painter.drawEllipse(QPointF(card.left() + 3 * unit, y - 1.2 * unit), 1.4 * unit, 1.4 * unit)
        pen.painter.drawRoundedRect(QRectF(card.left() + 1 * unit, y + 0.8 * unit, 4 * unit, 2.6 * unit), unit, unit)
        pen.stroke("ink2", 0.5)
        for n, long in enumerate((7.5, 5.5, 6.5)):
            line = y + (n - 1.2) * 2.0 * unit
            pen.line(card.left() + 7 * unit, line, card.left() + (7 + long) * unit, line)
        pen.solid("ink")
        tip = ring.left() - pen.mm(side * 0.06)
        pen.arrow_head(tip, y, pen.mm(side * 0.13), pen.mm(side * 0.06))
        words = QRectF(pen.mm(4), y - pen.mm(8), card.left() - pen.mm(10), pen.mm(6))
        pen.text(words, self._words, T.T1, fg="ink2", bg="plate", align="right", up="bottom")


class NoticePlate(Drawn):
    """A yellow plate with a triangle and words; nothing to touch."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._words = ""

    def show_words(self, words: str) -> None:
        self._words = words
        self.setVisible(bool(words))
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "notice", outside="field")
        icon = QRectF(pen.mm(3), 0, min(pen.mm(8), self.height() * 0.8), self.height())
        draw_icon(pen.painter, "warning", icon, pen.color("on_notice"), pen.color("notice"))
        room = self.area().adjusted(icon.right() + pen.mm(3), 0, -pen.mm(3), 0)
        sizes = ((T.T2, 1), (T.T1, 1), (T.T1, 2))
        pen.text(room, self._words, sizes, BOLD, fg="on_notice", bg="notice", pitch=1.4)


class SignInScreen(Screen):
    """Names stand in fixed places: one row on the large screens, two on the small one."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._people: tuple[views.Key, ...] = ()
        self.badge, self.warning = BadgeLine(glass), NoticePlate(glass)
        self.help_line = Words(glass, size=((T.T2, 1),) if glass.metrics.small else ((T.T3, 1), (T.T2, 1)))
        self.names: list[KeyButton] = []
        self._built = False

    def show_view(self, view: views.SignInView) -> None:
        """Show the badge line and a page of names."""
        self.show_rails(view)
        self.show_question(view.title, "", view.facts, view.notice, tight=True)
        self._build()
        self.badge.show_words(view.line)
        self.help_line.set_text(view.help)
        self.warning.show_words(view.warning)
        if view.people != self._people:
            self._people = view.people
            self._place_names()

    def _build(self) -> None:
        if self._built:
            return
        self._built = True
        metrics = self.glass.metrics
        edge, wide = metrics.edge_mm, metrics.content_mm - 2 * metrics.edge_mm
        _, height = self.slot_mm
        self.place_wide(self.badge, 0, self._band_mm)
        self.place(self.help_line, edge, self._band_mm, wide, self._names_mm - self._band_mm)
        high = 8.0 if metrics.small else 13.0
        self.place(self.warning, edge, height - high - (1.5 if metrics.small else 5.0), wide, high)
        self.warning.hide()

    @property
    def _band_mm(self) -> float:
        return 19.0 if self.glass.metrics.small else 45.0

    @property
    def _names_mm(self) -> float:
        return self._band_mm + (8.4 if self.glass.metrics.small else 17.0)

    def _place_names(self) -> None:
        for key in self.names:
            self.take_out(key)
        metrics = self.glass.metrics
        columns, high = (3, 22.0) if metrics.small else (5, 26.0)
        gap_x, gap_y = metrics.gap_mm, 4.0
        wide = (metrics.content_mm - 2 * metrics.edge_mm - gap_x * (columns - 1)) / columns
        self.names = []
        for n, person in enumerate(self._people):
            key = KeyButton.of(self.glass, person, size=T.T2 if metrics.small else T.T3)
            x = metrics.edge_mm + n % columns * (wide + gap_x)
            self.place(key, x, self._names_mm + n // columns * (high + gap_y), wide, high)
            self.names.append(key)
