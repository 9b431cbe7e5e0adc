"""The count: a line of the sheet in each row, with a key less and a key more, and one key for all as listed."""

from dataclasses import replace

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import CountAll, CountLine
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pages import Pager
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BOLD, EXTRA, T

ROW_MM, GAP_MM, STRIP_MM = 20.0, 3.0, 18.0


class CountLineRow(TouchGround):
    """One line. From a line not counted yet, + says "as listed" and − one less; after that each steps by one."""

    counted = Signal(str, int)
    opened = Signal(object)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._row = views.CountRow(line="", name="", want=0, have=None, state="")
        self._wanted, self._there = "", ""
        self.less = KeyButton(glass, "", icon="minus", name="less", ground="plate", repeats=True, parent=self)
        self.more = KeyButton(glass, "", icon="plus", name="more", ground="plate", repeats=True, parent=self)
        self.pad = KeyButton(glass, "", name="number", ground="plate", size=T.T4, parent=self)
        self.pad.tapped_action.connect(self._on_pad)
        self.less.tapped.connect(self._on_less)
        self.more.tapped.connect(self._on_more)

    def show_row(self, row: views.CountRow, wanted: str, there: str) -> None:
        """Show a line; `wanted` and `there` are the heads of its two numbers."""
        self._row, self._wanted, self._there = row, wanted, there
        for key, sign in ((self.less, "−"), (self.more, "+")):
            key.setObjectName(f"{sign} {row.line}")
            key.setAccessibleName(f"{sign} {row.name}")
        self.less.setVisible(row.have != 0)
        self.pad.setVisible(row.pad is not None)
        self.pad.set_label("–" if row.have is None else str(row.have))
        self.pad.payload = row.pad
        self.pad.setObjectName(f"number {row.line}")
        self.pad.setAccessibleName(f"{there} {self.pad.label}, {row.name}")
        self.update()

    def _on_less(self) -> None:
        have = self._row.want if self._row.have is None else self._row.have
        self.counted.emit(self._row.line, max(have - 1, 0))

    def _on_more(self) -> None:
        self.counted.emit(self._row.line, self._row.want if self._row.have is None else self._row.have + 1)

    def _on_pad(self, _action: str, payload: object) -> None:
        self.opened.emit(payload)

    def _columns(self) -> tuple[float, float, float, float, float]:
        """In mm: where listed, less, the number, more and the state begin."""
        if self.glass.metrics.small:
            return (76.0, 94.0, 118.5, 143.0, 166.0)
        return (158.0, 182.0, 213.0, 243.0, 273.0)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        mm = self.glass.mm
        _, less, number, more, _state = self._columns()
        top, tall = round((self.height() - mm(18)) / 2), round(mm(18))
        wide = 20.0 if self.glass.metrics.small else 26.0
        for key, left in ((self.less, less), (self.pad, number), (self.more, more)):
            key.setGeometry(round(mm(left)), top, round(mm(wide)), tall)

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "plate", outside="field")
        listed, less, number, more, state = self._columns()
        high, row = self.height() / pen.mm(1), self._row
        small = self.glass.metrics.small
        name = pen.box(4 if small else 7, 1, listed - (6 if small else 10), high - 2)
        pen.text(name, row.name, ((T.T3, 1), (T.T2, 2), (T.T2, 3), (T.T1, 3)), BOLD, bg="plate", pitch=1.5)
        have = "–" if row.have is None else str(row.have)
        self._number(pen, listed, less - listed, self._wanted, str(row.want), "ink2")
        if row.pad is None:
            self._number(pen, number, more - number, self._there, have, "ink")
        wrong = row.have is not None and row.have != row.want
        box = pen.box(state, 1, self.width() / pen.mm(1) - state - 2, high - 2)
        sizes = ((T.T2, 1), (T.T2, 2), (T.T1, 3))
        pen.text(box, row.state, sizes, EXTRA if wrong else BOLD, fg="ink" if wrong else "ink2", bg="plate", pitch=1.5)

    def _number(self, pen: Pen, x: float, wide: float, head: str, number: str, fg: str) -> None:
        top = (self.height() / pen.mm(1) - 12.4) / 2
        pen.text(pen.box(x, top, wide, 3.6), head, T.T1, fg="ink2", bg="plate", align="center")
        box = QRectF(pen.mm(x), pen.mm(top + 6), pen.mm(wide), pen.mm(6.6))
        pen.text(box, number, ((T.T5, 1), (T.T4, 1)), EXTRA, fg=fg, bg="plate", align="center")


class CountScreen(Screen):
    """A page of lines. The key for all as listed is there while a line of the page has no number."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.CountView | None = None
        self._since = glass.guard.clock()
        self.rows: list[CountLineRow] = []
        self._strip: tuple[object, ...] = ()
        self.pager: Pager | None = None
        self.all: KeyButton | None = None
        self.differs: KeyButton | None = None

    def show_view(self, view: views.CountView) -> None:
        """Show a page; its time begins with it."""
        before, self._view = self._view, view
        if before is None or before.page != view.page:
            self._since = self.glass.guard.clock()
        self.show_rails(view)
        self.show_question(view.title, view.help, view.facts, view.notice, big=False, tight=True)
        if before is None or len(before.rows) != len(view.rows):
            self._place_rows(len(view.rows))
        for row, line in zip(self.rows, view.rows, strict=True):
            row.show_row(line, view.wanted, view.there)
        self._show_strip(view)

    def begin(self) -> None:
        super().begin()
        self._since = self.glass.guard.clock()

    def _place_rows(self, count: int) -> None:
        for row in self.rows:
            self.take_out(row)
        metrics = self.glass.metrics
        _, height = self.slot_mm
        wide, most = metrics.content_mm - 2 * metrics.edge_mm, 3 if metrics.small else 5
        room = height - STRIP_MM - (4.4 if metrics.small else 8.0)
        tall = max(ROW_MM, min(24.0, (room - GAP_MM * (max(most, count) - 1)) / max(most, count)))
        self.rows = [CountLineRow(self.glass) for _ in range(count)]
        for n, row in enumerate(self.rows):
            row.counted.connect(self._on_counted)
            row.opened.connect(self.send)
            self.place(row, metrics.edge_mm, n * (tall + GAP_MM), wide, tall)

    def _show_strip(self, view: views.CountView) -> None:
        """Under the rows: the pages left, all as listed right, and between them the key for a count that differs."""
        open_lines = any(row.have is None for row in view.rows)
        shown = (view.page, view.pages, view.page_words, view.all, open_lines, view.differs)
        if shown == self._strip:
            return
        self._strip = shown
        for widget in (self.pager, self.all, self.differs):
            if widget is not None:
                self.take_out(widget)
        self.pager = self.all = self.differs = None
        metrics, (_, height) = self.glass.metrics, self.slot_mm
        edge, y = metrics.edge_mm, height - STRIP_MM - (1.2 if metrics.small else 3.4)
        pager, all_wide, differs = (92.0, 58.0, 47.0) if metrics.small else (130.0, 84.0, 64.0)
        if view.pages > 1:
            self.pager = Pager(self.glass)
            before, after = (replace(key, icon="" if metrics.small else key.icon) for key in (view.previous, view.next))
            self.pager.show_page(view.page_words, before, after, first=view.page == 0, last=view.page == view.pages - 1)
            self.place(self.pager, edge, y, pager, STRIP_MM)
        right = metrics.content_mm - edge - all_wide
        if open_lines:
            self.all = KeyButton(self.glass, view.all, kind="main", action="count all", size=T.T3)
            self.all.tapped.connect(self._on_all)
            self.place(self.all, right, y, all_wide, STRIP_MM)
        if view.differs is not None:
            self.differs = KeyButton.of(self.glass, view.differs)
            self.place(self.differs, right - 4 - differs, y, differs, STRIP_MM)

    def _on_counted(self, line: str, have: int) -> None:
        self.send(CountLine(line=line, have=have, by=self._view.by if self._view else ""))

    def _on_all(self) -> None:
        if self._view is not None:
            lines = tuple(row.line for row in self._view.rows if row.have is None)
            took = self.glass.guard.clock() - self._since
            self.send(CountAll(lines=lines, took_ms=took, by=self._view.by))
