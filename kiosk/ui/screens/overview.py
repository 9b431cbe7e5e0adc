"""The tray at one common scale: a row for each piece, its lumens in section, how each stands."""

from dataclasses import replace

from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.piece_row import PieceRow
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, T

ROW_MM, GAP_MM = 20.0, 3.0


class OverviewScreen(Screen):
    """Pages of rows; the keys that turn them stand in the hand rail, so that the rows have the whole slot."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._shown: tuple[object, ...] = ()
        self.rows: list[PieceRow] = []
        self.warning = Words(glass, size=((T.T3, 1), (T.T2, 1), (T.T1, 1)), weight=BOLD, fg="found", align="right")
        self._built = False

    def show_view(self, view: views.OverviewView) -> None:
        """Show a page of the tray."""
        self.show_rails(view, self._hand_of(view))
        small = self.glass.metrics.small
        page = view.page_words if view.pages > 1 else ""
        told = " · ".join(filter(None, (view.warning, *view.facts)))
        second, facts = (told, (page,) if page else ()) if small else (page, view.facts)
        self.show_question(view.title, second, facts, view.notice, big=False, tight=True, beside=small)
        if not small:
            self._show_warning(view.warning)
        shown = (view.rows, view.longest_mm)
        if shown != self._shown:
            self._shown = shown
            self._place_rows(view)

    def _hand_of(self, view: views.OverviewView) -> views.Hand:
        """The page keys stand next to the aid key; where a page leads nowhere there is none, and nothing else moves."""
        left, right = view.hand.left, view.hand.right
        if self.glass.metrics.small and view.pages > 1:  # two groups of two need the room of the icons
            left, right = (tuple(replace(key, icon="") for key in keys) for keys in (left, right))
        before = (replace(view.previous, icon=""),) if view.page > 0 else ()
        after = (replace(view.next, icon=""),) if view.page < view.pages - 1 else ()
        return replace(view.hand, left=(*left, *before), right=(*after, *right))

    def _show_warning(self, warning: str) -> None:
        """Right of the title: what stops the packing."""
        metrics = self.glass.metrics
        if not self._built:
            self._built = True
            wide = metrics.content_mm * 0.42
            self.place(
                self.warning, metrics.content_mm - metrics.edge_mm - wide, -metrics.title_mm, wide, metrics.title_mm
            )
        self.warning.set_text(warning)

    def _place_rows(self, view: views.OverviewView) -> None:
        for row in self.rows:
            self.take_out(row)
        metrics = self.glass.metrics
        wide = metrics.content_mm - 2 * metrics.edge_mm
        top = -1.2 if metrics.small else 1.2  # four rows ask for a little of the title's height
        self.rows = [PieceRow(self.glass, row, view.longest_mm) for row in view.rows]
        for n, piece_row in enumerate(self.rows):
            self.place(piece_row, metrics.edge_mm, top + n * (ROW_MM + GAP_MM), wide, ROW_MM)
