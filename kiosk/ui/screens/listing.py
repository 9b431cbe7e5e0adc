"""Rows to read or to open, a page at a time, with the keys that lead on at the foot."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtGui import QColor, QImage
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS, draw_icon
from kiosk.ui.parts.lens import draw_picture
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pages import Pager
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.theme import BOLD, REGULAR, T

GAP_MM = 3.0
FOOT_MM = 20.0
WET_MM = 1.8
"""How much higher the keys stand over the rail on decontam's magnified glass."""
ROWS, ROWS_SMALL = 4, 3
"""Rows a page; the viewing functions cut their pages by these (`kiosk.core.viewing.rows`)."""


def no_thumbs(_name: str) -> Path | None:
    """Until the window says where they lie."""
    return None


def _paint(pen: Pen, area: QRectF, row: views.ListRow, small: QImage, *, fg: str, second: str, bg: str) -> None:
    icon = row.icon if row.icon in ICONS else ""
    room = area.adjusted(pen.mm(6), pen.mm(1.6), -pen.mm(20 if icon else 6), -pen.mm(1.6))
    if not small.isNull():
        box = QRectF(area.left() + pen.mm(2), area.top() + pen.mm(1.5), area.height() * 1.5, area.height() - pen.mm(3))
        pen.fill(box, "lens")
        draw_picture(pen, small, box)
        room.setLeft(box.right() + pen.mm(4))
    if icon:
        box = QRectF(room.right() + pen.mm(5), area.top(), pen.mm(10), area.height())
        draw_icon(pen.painter, icon, box, QColor(pen.color(fg)), QColor(pen.color(bg)))
    if row.value:
        sizes: Choices = (
            ((T.T2, 1), (T.T2, 2)) if pen.glass.metrics.small else ((T.T4, 1), (T.T3, 1), (T.T2, 1), (T.T2, 2))
        )
        most = QSizeF(room.width() * 0.34, room.height())
        got = fit_lines(pen.glass, row.value, most, sizes, BOLD)
        wide = min(most.width(), max(got.widths) + pen.mm(1))
        box = QRectF(room.right() - wide, room.top(), wide, room.height())
        pen.text(box, row.value, sizes, BOLD, fg=fg, bg=bg, align="right")
        room.setRight(box.left() - pen.mm(4))
    pitch, gap = 1.45, pen.mm(2.2)
    sub = fit_lines(pen.glass, row.sub, room.size(), ((T.T1, 1), (T.T1, 2)), REGULAR) if row.sub else None
    taken = sub.height + gap if sub else 0.0
    sizes = ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2))
    upper = QRectF(room.left(), room.top(), room.width(), room.height() - taken)
    got = fit_lines(pen.glass, row.title, upper.size(), sizes, BOLD, pitch=pitch)
    if not got.fits:  # what it is goes before what is said of it
        sub, taken, sizes = None, 0.0, ((T.T2, 2), (T.T1, 3), (T.T1, 4))
        got = fit_lines(pen.glass, row.title, room.size(), sizes, BOLD, pitch=pitch)
    top = room.top() + (room.height() - got.height - taken) / 2
    title = QRectF(room.left(), top, room.width(), got.height + 1)
    stands = pen.text(title, row.title, sizes, BOLD, fg=fg, bg=bg, up="top", pitch=pitch)
    if sub:
        lower = QRectF(room.left(), stands.bottom() + gap, room.width(), sub.height + 1)
        pen.text(lower, row.sub, ((T.T1, 1), (T.T1, 2)), REGULAR, fg=second, bg=bg, up="top")


class OpenRow(TouchButton):
    """A row that leads somewhere: it has an edge."""

    role = "row"

    def __init__(self, glass: Glass, row: views.ListRow, small: QImage, parent: QWidget | None = None) -> None:
        super().__init__(glass, row.name or "send", row.send, parent=parent)
        self._row, self._small = row, small
        self.setObjectName(row.name or row.title)
        self.setAccessibleName(f"{row.title} {row.value}".strip())

    def draw(self, pen: Pen) -> None:
        fill = "ink" if self.pressed else "plate"
        words, second = ("on_fill", "on_fill") if self.pressed else ("ink", "ink2")
        pen.plate(self.area(), fill, "line" if self.awake else "", outside="field")
        _paint(pen, self.area(), self._row, self._small, fg=words, second=second, bg=fill)


class ReadRow(Drawn):
    """A row to read: no edge, nothing to touch."""

    def __init__(self, glass: Glass, row: views.ListRow, small: QImage, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._row, self._small = row, small
        self.setAccessibleName(f"{row.title} {row.value}".strip())

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "well", outside="field")
        _paint(pen, self.area(), self._row, self._small, fg="ink", second="ink2", bg="well")


class ListScreen(DoingScreen):
    """A page of rows; the keys and the pager at the foot keep their places. A picture is small, and shown once made."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._thumbs: Callable[[str], Path | None] = no_thumbs
        self._made_of: tuple[Path | None, ...] = ()

    def set_thumbs(self, thumbs: Callable[[str], Path | None]) -> None:
        """Where the small picture of a kept one lies, by its name; None while it is being made."""
        self._thumbs = thumbs

    def show_view(self, view: views.ListView) -> None:
        """Show a page."""
        made_of = tuple(self._thumbs(row.picture) if row.picture else None for row in view.rows)
        if not self.another(view, big=False) and made_of == self._made_of:
            return
        self._made_of = made_of
        self.clear_slot()
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        foot = FOOT_MM - 1.0 if self.small else FOOT_MM + 5.0
        gap, top = (3.06, 0.0) if self.small else (GAP_MM, 1.0)
        if self.small and self.glass.metrics.magnified > 1.0:  # two wet gloves need more room between two keys
            foot += WET_MM
        size = ROWS_SMALL if self.small else ROWS
        tall = 20.0 if self.small else (height - foot - 2) / size - gap
        for n, row in enumerate(view.rows):
            small = QImage(str(made_of[n])) if made_of[n] is not None else QImage()
            kind = OpenRow if row.send is not None else ReadRow
            widget: QWidget = kind(self.glass, row, small)
            self.place(widget, edge, top + n * (tall + gap), width - 2 * edge, tall)
        if not view.rows:
            words = Words(self.glass, size=((T.T4, 2), (T.T3, 2), (T.T2, 3)), align="center")
            words.set_text(view.nothing)
            self.place(words, edge, 4, width - 2 * edge, height - foot - 8)
        self._foot(view, width, height - foot, edge)

    def _foot(self, view: views.ListView, width: float, top: float, edge: float) -> None:
        wide, gap, high = (50.0 if self.small else 72.0), self.glass.metrics.gap_mm, 18.0
        right = width - edge
        for key in (*((view.main,) if view.main else ()), *view.others):
            self.place(self.key(key), right - wide, top, wide, high)
            right -= wide + gap
        right = min(right, width - edge - view.kept * (wide + gap))
        if view.pages > 1:
            pager = Pager(self.glass)
            pager.show_page(
                view.page_words, view.previous, view.next, first=view.page == 0, last=view.page == view.pages - 1
            )
            room = right - edge if (view.main or view.others or view.kept) else width - 2 * edge
            self.place(pager, edge, top, min(room, width - 2 * edge), high)
