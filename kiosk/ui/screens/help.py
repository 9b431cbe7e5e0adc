"""What soil looks like, or why this check: an icon, a name and a text each, a page at a time."""

from PySide6.QtCore import QRectF, QSizeF

from kiosk.core import views
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS, draw_icon
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pages import Pager
from kiosk.ui.parts.pen import Pen
from kiosk.ui.screens.doing import UNDER_CAPITALS, DoingScreen, stack, stacked
from kiosk.ui.theme import BOLD, T

A_PAGE, A_PAGE_SMALL = 4, 3
_NAME: Choices = ((T.T3, 1), (T.T2, 1), (T.T2, 2))
_TEXT: Choices = ((T.T2, 1), (T.T1, 2), (T.T1, 3))


class Entry(Drawn):
    """One thing to know, on a plate without an edge."""

    def __init__(self, glass: Glass, entry: tuple[str, str, str]) -> None:
        super().__init__(glass)
        self._icon, self._name, self._text = entry
        self.setAccessibleName(f"{self._name}. {self._text}")

    def draw(self, pen: Pen) -> None:
        small = self.glass.metrics.small
        pen.plate(self.area(), "well", outside="field")
        side, pad = (11.0, 4.0) if small else (14.0, 6.0)
        icon = QRectF(pen.mm(pad), 0, pen.mm(side), self.height())
        name = self._icon if self._icon in ICONS else "question"
        draw_icon(pen.painter, name, icon, pen.color("ink"), pen.color("well"))
        room = self.area().adjusted(icon.right() + pen.mm(pad + 1), pen.mm(1.6), -pen.mm(3), -pen.mm(1.0))
        gap = pen.mm(2.8 if small else 4)
        for letters in (pen, pen.in_plain_letters()):
            for pitch in (1.5, 1.35):
                named = fit_lines(letters.glass, self._name, room.size(), _NAME, BOLD, pitch=pitch)
                under = QSizeF(room.width(), room.height() - named.height - gap)
                _, (high,), stands = stacked(letters.glass, under, (self._text,), _TEXT, gap_mm=0, pitch=pitch)
                if stands:
                    break
            if stands:
                break
        spare = room.height() - named.height - gap - high - pen.mm(self.glass.metrics.capital(T.T1) * UNDER_CAPITALS)
        room.setTop(room.top() + max(0.0, spare / 2))
        said = letters.text(room, self._name, _NAME, BOLD, bg="well", up="top", pitch=pitch)
        room.setTop(said.bottom() + gap)
        stack(letters, room, (self._text,), _TEXT, fg="ink2", bg="well", gap_mm=0, pitch=pitch)


class HelpScreen(DoingScreen):
    """Entries, and keys for the page before and after where there is more than one."""

    def show_view(self, view: views.HelpView) -> None:
        """Show a page."""
        if not self.another(view, big=False):
            return
        width, height = self.slot_mm
        edge, gap = self.glass.metrics.edge_mm, 2.5 if self.small else 4.0
        foot = (20.5 if self.small else 25.0) if view.pages > 1 else 2.0
        size = A_PAGE_SMALL if self.small else A_PAGE
        tall = (height - (20.5 if self.small else 25.0) - 1) / size - gap
        for n, entry in enumerate(view.entries):
            self.place(Entry(self.glass, entry), edge, 1 + n * (tall + gap), width - 2 * edge, tall)
        if view.pages > 1:
            pager = Pager(self.glass)
            pager.show_page(
                view.page_words, view.previous, view.next, first=view.page == 0, last=view.page == view.pages - 1
            )
            self.place(pager, edge, height - foot + 1, width - 2 * edge, 18)
