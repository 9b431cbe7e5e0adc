"""Scan the next tray, or go on with one that was set aside."""

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts import tube
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS, draw_icon
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, REGULAR, T

ROWS, ROW_MM, ROW_GAP_MM = 3, 20.0, 3.0
_BARS = (2, 1, 1, 2, 3, 1, 1, 3, 2, 1, 1, 2, 1, 3, 2, 1, 1, 1, 2, 3, 1, 2, 2, 1, 3, 1, 1, 2)  # widths; nothing to read


class LabelLine(Drawn):
    """A label on the center line with a scanner's beam on it. A still: nothing moves."""

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        y = self.height() / 2
        tall = min(pen.mm(26), self.height() - pen.mm(3.4))
        wide, middle = tall * 2.33, self.width() / 2
        tube.center_line(pen, 0, self.width(), y)
        card = QRectF(middle - wide / 2, y - tall / 2, wide, tall)
        pen.fill(card, "well")
        pen.stroke("ink", 0.42)
        pen.painter.drawRoundedRect(card, pen.mm(1), pen.mm(1))
        inside = card.adjusted(wide * 0.1, tall * 0.16, -wide * 0.1, -tall * 0.22)
        unit, x = inside.width() / sum(_BARS), inside.left()
        for n, bar in enumerate(_BARS):
            if n % 2 == 0:
                pen.fill(QRectF(x, inside.top(), bar * unit, inside.height()), "ink")
            x += bar * unit
        pen.stroke("ink2", 0.4)
        pen.line(inside.left(), card.bottom() - tall * 0.12, inside.left() + wide * 0.4, card.bottom() - tall * 0.12)
        reach = max(pen.mm(9), wide * 0.6)
        pen.stroke("ink", 0.6)
        pen.line(card.left() - pen.mm(3), y, card.right() + reach * 0.5, y)
        source = card.right() + reach
        for edge in (card.top() + tall * 0.08, card.bottom() - tall * 0.08):
            pen.stroke("line", 0.3)
            pen.line(card.right(), edge, source, y)
        pen.solid("ink")
        pen.painter.drawRoundedRect(QRectF(source, y - tall * 0.16, tall * 0.44, tall * 0.32), pen.mm(0.8), pen.mm(0.8))


class ListRow(TouchButton):
    """A row to open: what it is, and a second line about it; an icon says that it leads somewhere."""

    role = "row"

    def __init__(self, glass: Glass, key: views.Key, parent: QWidget | None = None) -> None:
        super().__init__(glass, key.name or "send", key.send, parent=parent)
        self._title, _, self._sub = key.label.partition("\n")
        self._icon = key.icon if key.icon in ICONS else ""
        self.setObjectName(key.name or key.label)
        self.setAccessibleName(key.label)

    def draw(self, pen: Pen) -> None:
        fill = "ink" if self.pressed else "plate"
        words, second = ("on_fill", "on_fill") if self.pressed else ("ink", "ink2")
        pen.plate(self.area(), fill, "line" if self.awake else "", outside="field")
        room = self.area().adjusted(pen.mm(6), pen.mm(1.6), -pen.mm(24 if self._icon else 6), -pen.mm(1.6))
        if self._icon:
            box = QRectF(room.right() + pen.mm(8), 0, pen.mm(10), self.height())
            draw_icon(pen.painter, self._icon, box, QColor(pen.color(words)), QColor(pen.color(fill)))
        sizes = ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2), (T.T1, 3))
        pitch, gap = 1.4, pen.mm(2.2)
        fine = QSizeF(room.width(), pen.mm(self.glass.metrics.capital(T.T1)) + 1)  # the title goes before it
        sub = fit_lines(self.glass, self._sub, fine, ((T.T1, 1),), REGULAR) if self._sub else None
        taken = sub.height + gap if sub else 0.0
        upper = QRectF(room.left(), room.top(), room.width(), room.height() - taken)
        got = fit_lines(self.glass, self._title, upper.size(), sizes, BOLD, pitch=pitch)
        top = room.top() + (room.height() - got.height - taken) / 2
        stands = pen.text(
            QRectF(room.left(), top, room.width(), got.height + 1),
            self._title, sizes, BOLD, fg=words, bg=fill, up="top", pitch=pitch,
        )  # fmt: skip
        if sub:
            lower = QRectF(room.left(), stands.bottom() + gap, room.width(), sub.height + 1)
            pen.text(lower, self._sub, T.T1, REGULAR, fg=second, bg=fill, up="top")


class ScanScreen(Screen):
    """The label and the beam; under it the trays kept for later, or one sentence where there are none."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._kept: tuple[views.Key, ...] | None = None
        self.label = LabelLine(glass)
        self.kept_title = Words(glass, size=((T.T2, 1), (T.T1, 1)), weight=BOLD)
        self.nothing = Words(glass, size=((T.T2, 1), (T.T2, 2), (T.T1, 2)), fg="ink2", up="top")
        self.rows: list[ListRow] = []
        self._built = False

    def show_view(self, view: views.ScanView) -> None:
        """Show the trays kept for later."""
        self.show_rails(view)
        self.show_question(view.title, view.help, view.facts, view.notice, tight=True)
        self._build()
        self.kept_title.set_text(view.kept_title if view.kept else "")
        self.nothing.set_text("" if view.kept else view.nothing)
        if view.kept != self._kept:
            self._kept = view.kept
            self._place_rows(view.kept)

    def _build(self) -> None:
        if self._built:
            return
        self._built = True
        metrics = self.glass.metrics
        edge, wide = metrics.edge_mm, metrics.content_mm - 2 * metrics.edge_mm
        self.place_wide(self.label, 0, self._rows_mm - (7.4 if metrics.small else 13.0))
        self.place(
            self.kept_title, edge, self._rows_mm - (7.2 if metrics.small else 10.5), wide, 7.0 if metrics.small else 8
        )
        self.place(self.nothing, edge, self._rows_mm + 2, wide, 20)

    @property
    def _rows_mm(self) -> float:
        """Where the rows begin: they stand at the slot's foot."""
        _, height = self.slot_mm
        rows = ROWS * ROW_MM + (ROWS - 1) * ROW_GAP_MM
        return height - rows - (1.2 if self.glass.metrics.small else 4.0)

    def _place_rows(self, kept: tuple[views.Key, ...]) -> None:
        for row in self.rows:
            self.take_out(row)
        metrics = self.glass.metrics
        wide = metrics.content_mm - 2 * metrics.edge_mm
        self.rows = [ListRow(self.glass, key) for key in kept[:ROWS]]
        for n, row in enumerate(self.rows):
            self.place(row, metrics.edge_mm, self._rows_mm + n * (ROW_MM + ROW_GAP_MM), wide, ROW_MM)
