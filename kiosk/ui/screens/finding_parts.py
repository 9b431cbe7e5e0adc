"""Parts of the finding screen: where (the tube, names of places), what (six words at a time), what is said so far."""

from dataclasses import replace

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.place import Place
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

SIX = 6
NAME_MM = 18.0


class WherePart(TouchGround):
    """The where part across the screen: a tube with stations and a row of names, or names alone in two rows.

    Names that do not fit are pages.
    """

    chosen = Signal(object)

    def __init__(self, glass: Glass, view: views.FindingView, high_mm: float, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._high, self._page = high_mm, 0
        self._lumen, self._names = view.lumen, [mark.name for mark in view.landmarks]
        self._words = dict(zip(self._names, view.landmark_words, strict=False))
        small, has_tube = glass.metrics.small, view.band is not None and view.band.lumen is not None
        compact = small and bool(self._names)
        self.band = LumenBand(glass, stations=True, compact=compact, parent=self) if has_tube else None
        if self.band:
            self.band.touched.connect(self._on_at)
            self.band.touched_station.connect(self._on_station)
            self.band.touched_all_along.connect(self._on_along)
        self._columns, self._rows = (3 if small and not has_tube else 4), (1 if has_tube else 2)
        self.keys = [self._key(name) for name in self._names]
        self.turn_key: KeyButton | None = None
        if len(self._names) > self._cells:
            self.turn_key = KeyButton(glass, view.next_word, name="other places", ground="plate", parent=self)
            self.turn_key.tapped.connect(self.turn)

    @property
    def _cells(self) -> int:
        return self._columns * self._rows

    @property
    def pages(self) -> int:
        """How many pages the names have."""
        return max(1, -(-len(self._names) // (self._cells - (1 if self.turn_key else 0))))

    def place_in(self, screen: ScreenFrame) -> None:
        screen.place_wide(self, 0, self._high)

    def show_first(self) -> None:
        """Show its first page."""
        self._page = 0
        self._arrange()

    def turn(self) -> None:
        """Show the next page, after the last the first."""
        self._page = (self._page + 1) % self.pages
        self._arrange()

    def show_place(self, view: views.FindingView, place: Place | None, say: str) -> None:
        """Mark what was touched; `say` is the place in words."""
        for key in self.keys:
            key.set_chosen(place is not None and key.action == place.landmark)
        if self.band and view.band:
            flags = view.band.flags
            if place is not None and (place.at_mm is not None or place.all_along):
                flags = (*flags, views.Flag(number=len(flags) + 1, place=place, say=say))
            self.band.show_band(replace(view.band, flags=flags), cm_from=view.cm_from, all_along=view.all_along)
            stations = self.band.drawing.stations if self.band.drawing else ()
            station = next((s.index for s in stations if place is not None and s.label == place.landmark), None)
            self.band.set_chosen(place.at_mm if place else None, station, along=place is not None and place.all_along)

    def _key(self, name: str) -> KeyButton:
        words = self._words.get(name, name)
        key = KeyButton(self.glass, words, action=name, name=f"place {name}", tone="found", ground="plate", parent=self)
        key.tapped_action.connect(self._on_name)
        return key

    def _on_at(self, at_mm: int) -> None:
        self.chosen.emit(Place(lumen=self._lumen, at_mm=at_mm))

    def _on_station(self, index: int) -> None:
        if self.band and self.band.drawing:
            self.chosen.emit(Place(lumen=self._lumen, landmark=self.band.drawing.stations[index].label))

    def _on_along(self) -> None:
        self.chosen.emit(Place(lumen=self._lumen, all_along=True))

    def _on_name(self, name: str, _payload: object) -> None:
        self.chosen.emit(Place(lumen=self._lumen, landmark=name))

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        metrics, mm, high = self.glass.metrics, self.glass.mm, self._high
        gap = 4.0 if metrics.small else metrics.gap_mm
        wide = (metrics.content_mm - 2 * metrics.edge_mm - gap * (self._columns - 1)) / self._columns
        rows = min(self._rows, -(-len(self._names) // self._columns))
        tall = min(24.0, (high - 5 - 3) / 2)
        top = (high - rows * tall - (rows - 1) * 5) / 2
        if self.band:
            self.band.setGeometry(0, 0, self.width(), round(mm(high - (NAME_MM + 4.2 if self._names else 0))))
            tall, top = NAME_MM, high - NAME_MM - (0.6 if metrics.small else 2.0)
        cells = self._cells - (1 if self.turn_key else 0)
        placed = [(n - self._page * cells, key) for n, key in enumerate(self.keys)]
        for n, key in placed:
            key.setVisible(0 <= n < cells)
        if self.turn_key:
            placed.append((self._cells - 1, self.turn_key))
        for n, key in placed:
            x = metrics.left_mm + metrics.edge_mm + n % self._columns * (wide + gap)
            y = top + n // self._columns * (tall + 5)
            key.setGeometry(round(mm(x)), round(mm(y)), round(mm(wide)), round(mm(tall)))
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")


class ChoiceKeys(TouchGround):
    """Six words in fixed places, and the key that opens all the others in the same places."""

    chosen = Signal(object)

    def __init__(self, glass: Glass, columns: int, gap_mm: float, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._columns, self._gap = columns, gap_mm
        self._shown: tuple[views.Choice, ...] = ()
        self.keys: list[KeyButton] = []
        self.more_key = KeyButton(glass, "", icon="other", action="more words", name="more words")

    def show_choices(self, view: views.FindingView, page: int | None, chosen: views.Choice | None) -> int:
        """Show the first words (`page` None) or a page of the others; returns how many pages the others have."""
        shown = view.choices[:SIX] if page is None else view.more[page * SIX : (page + 1) * SIX]
        if shown != self._shown:
            self._shown = shown
            for key in self.keys:
                key.hide()
                key.deleteLater()
            self.keys = [self._key(choice) for choice in shown]
            self._arrange()
        for key, choice in zip(self.keys, shown, strict=True):
            key.set_chosen(chosen is not None and choice.code == chosen.code)
        self.more_key.icon = "other" if page is None else "arrow_left"
        self.more_key.set_label(view.more_word if page is None else view.fewer_word)
        self.more_key.setVisible(bool(view.more) and not self.glass.metrics.small)
        return -(-len(view.more) // SIX)

    def _key(self, choice: views.Choice) -> KeyButton:
        key = KeyButton(
            self.glass, choice.label, icon=choice.icon, action=choice.code, payload=choice,
            name=f"finding {choice.code}", tone="found", parent=self,
        )  # fmt: skip
        key.tapped_action.connect(self._on_key)
        key.show()
        return key

    def _on_key(self, _code: str, choice: object) -> None:
        self.chosen.emit(choice)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._arrange()

    def _arrange(self) -> None:
        gap = self.glass.mm(self._gap)
        rows = SIX // self._columns
        wide = (self.width() - gap * (self._columns - 1)) / self._columns
        high = (self.height() - gap * (rows - 1)) / rows
        for n, key in enumerate(self.keys):
            x, y = n % self._columns * (wide + gap), n // self._columns * (high + gap)
            key.setGeometry(round(x), round(y), round(wide), round(high))

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "field")


class SayingPanel(Drawn):
    """What is being said so far, and what is still missing."""

    def __init__(self, glass: Glass, view: views.FindingView, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._saying, self._word = view.saying, view.saying_word
        self._what, self._where, self._has_what, self._has_where = "", "", False, False

    def show_said(self, what: str, where: str, *, has_what: bool, has_where: bool) -> None:
        self._what, self._where, self._has_what, self._has_where = what, where, has_what, has_where
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), "found_tint", outside="field")
        high = self.height() / pen.mm(1)
        side = 12.0
        low = high < 36
        top = 3.0 if low else 4.6
        draw_ring(pen, pen.box(4.6, top, side, side), "found", hole="plate")
        x, wide = 4.6 + side + 4, self.width() / pen.mm(1) - side - 12
        pen.text(pen.box(x, top, wide, 4), self._saying, T.T1, fg="ink2", bg="found_tint")
        pen.text(pen.box(x, top + 6.2, wide, 5), self._word, ((T.T3, 1), (T.T2, 1)), EXTRA, fg="found", bg="found_tint")
        y = top + side + (2.2 if low else 4.4)
        room = (high - y - 2.4) / 2
        for text, has in ((self._what, self._has_what), (self._where, self._has_where)):
            box = QRectF(pen.mm(4.6), pen.mm(y), self.width() - pen.mm(8), pen.mm(room))
            sizes = ((T.T2, 1), (T.T1, 1), (T.T1, 2)) if low else ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2))
            weight, fg = (BOLD, "ink") if has else (REGULAR, "ink2")
            pen.text(box, text, sizes, weight, fg=fg, bg="found_tint", pitch=1.3)
            y += room
