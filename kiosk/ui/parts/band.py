"""The lumen band: one tube in section on the center line across the whole screen; with stations it is one control."""

from collections.abc import Hashable
from dataclasses import dataclass
from typing import ClassVar

from PySide6.QtCore import QPointF, QRectF, Signal
from PySide6.QtGui import QFontMetricsF, QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.vocabulary import Opening
from kiosk.lumen.drawing import LumenDrawing, Station, draw_lumen, snap, station_at, station_of
from kiosk.ui.parts import tube
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen, Side
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

ENDS_MM = 27.0  # for the names of the ends, where a band keeps within its own width
STATION_MM, ALONG_MM = 20.0, 24.0


@dataclass(frozen=True, slots=True, kw_only=True)
class _Rows:
    """Heights in mm within the band: middle of the words, center line, ruler, its numbers, top of the stations."""

    words: float
    line: float
    ruler: float
    numbers: float
    stations: float


class LumenBand(TouchButton):
    """Shows a band of a view. `stations` True: the tube and the row under it take a touch and tell the place.

    `compact` True: the stations stand inside the tube, which leaves room for a row of keys on the 10-inch screen.
    """

    keeps_sides = True
    touched = Signal(int)
    touched_station = Signal(int)
    touched_all_along = Signal()
    role, lies_on = "band", "plate"
    CENTER_SHARE: ClassVar[float] = 0.475

    def __init__(
        self,
        glass: Glass,
        *,
        stations: bool = False,
        compact: bool = False,
        within: bool = False,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(glass, "place", repeats=True, parent=parent)
        self._within = within
        self._compact = stations and compact
        self._stations, self._band, self._cm_from = stations, views.Band(), ""
        self.drawing: LumenDrawing | None = None
        self._front: float | None = None
        self._front_words = ""
        self._unseen: tuple[float, float] | None = None
        self._chosen: Station | None = None
        self._along: KeyButton | None = None
        self.setObjectName("lumen band")
        self.set_asleep(not stations)

    def show_band(self, band: views.Band, *, cm_from: str = "", all_along: str = "") -> None:
        """Show a tube, or words on the line. `cm_from` names what stations count from; `all_along` adds that key."""
        self._band, self._cm_from = band, cm_from
        if self._along is not None and self._along.label != all_along:
            self._along.hide()
            self._along.deleteLater()
            self._along = None
        if all_along and self._stations and self._along is None:
            self._along = KeyButton(self.glass, all_along, name="all along", tone="found", ground="plate", parent=self)
            self._along.tapped.connect(self.touched_all_along)
            self._along.show()
        self._redraw()

    def set_front(self, share: float | None, words: str = "") -> None:
        """Where the light is on its way through, 0 to 1; None: no light is on its way. `words` say what it means."""
        self._front, self._front_words = share, words
        self.update()

    def set_unseen(self, stretch: tuple[float, float] | None) -> None:
        """The stretch left unseen when the band is seen in part, as drawn mm (see unseen_stretch)."""
        self._unseen = stretch
        self.update()

    def set_chosen(self, at_mm: int | None, station: int | None = None, *, along: bool = False) -> None:
        """Mark the station of a place, a station by its number, or the key for soil everywhere; None marks none."""
        self._chosen = None
        if self.drawing and at_mm is not None:
            self._chosen = station_of(self.drawing, at_mm)
        elif self.drawing and station is not None:
            self._chosen = self.drawing.stations[station]
        if self._along:
            self._along.set_chosen(along)
        self.update()

    def room_mm(self) -> tuple[float, float]:
        """Where the drawing begins, and how wide it may be."""
        metrics = self.glass.metrics
        left, right = (22.0, 22.0) if metrics.small else (42.0, 42.0)
        if self._within:
            ends = left if metrics.small else ENDS_MM
            first = max(ends, self._word_mm(self._band.entry) + (3.4 if metrics.small else 6.0))
            last = max(ends, self._word_mm(self._band.tip) + 11.0)
            return first, max(1.0, self.width() / self.glass.mm(1) - first - last)
        if metrics.small:
            left = max(left, self._word_mm(self._band.entry) + 3.4)
            right = max(right, self._word_mm(self._band.tip) + 11.0)
        if self._along and metrics.small:
            left, right = max(19.0, self._word_mm(self._band.entry) + 3.4), 27.0 + self._after_mm
        start = metrics.left_mm + left if metrics.width_mm < 400 or self._fits_content() else left
        return start, metrics.width_mm - start - max(right, start if not metrics.small else right)

    def _word_mm(self, word: str) -> float:
        """Width of the name of an end: in another language it is longer."""
        return QFontMetricsF(self.glass.font(T.T1, EXTRA)).horizontalAdvance(word) / self.glass.mm(1)

    @property
    def _after_mm(self) -> float:
        """From the tube's end to the key for soil everywhere; the name of the end stands between when compact."""
        if not self._compact:
            return 4.0
        closed = self._band.lumen is not None and self._band.lumen.open is Opening.ONE
        return max(15.0, self._word_mm(self._band.tip) + (8.5 if closed else 5.4))

    def _fits_content(self) -> bool:
        lumen = self._band.lumen
        return lumen is None or lumen.length_mm is None or float(lumen.length_mm) <= self.glass.metrics.content_mm - 84

    def tap_area(self) -> QRectF:
        if not self.drawing or not self._stations:
            return QRectF()
        start, _ = self.room_mm()
        top = self._rows().line - self.drawing.bore_mm / 2 - self.drawing.wall_mm
        top = self._rows().stations if self._compact else top
        bottom = self._rows().stations + STATION_MM
        mm = self.glass.mm
        return QRectF(mm(start - 2), mm(top), mm(self.drawing.drawn_mm + 2), mm(bottom - top))

    def fire(self, at: QPointF) -> None:
        if self.drawing is None:
            return
        x = at.x() / self.glass.mm(1) - self.room_mm()[0]
        place = snap(self.drawing, x)
        if place is None:
            self.touched_station.emit(station_at(self.drawing, x).index)
        else:
            self.touched.emit(place)
        super().fire(at)

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        self._redraw()

    def _redraw(self) -> None:
        lumen = self._band.lumen
        self.drawing = tube.in_words(draw_lumen(lumen, self.room_mm()[1]), self._band.told) if lumen else None
        if self._along and self.drawing:
            x = self.room_mm()[0] + self.drawing.drawn_mm + self._after_mm
            mm = self.glass.mm
            self._along.setGeometry(
                round(mm(x)), round(mm(self._rows().stations)), round(mm(ALONG_MM)), round(mm(STATION_MM))
            )
        self.update()

    def _rows(self) -> _Rows:
        high, small = self.height() / self.glass.mm(1), self.glass.metrics.small
        if self._compact:
            return _Rows(words=0, line=high / 2, ruler=0, numbers=0, stations=(high - STATION_MM) / 2)
        if self._stations:
            top = high - STATION_MM - (0.8 if small else 2.2)
            words = 6.0 if small else 10.6
            return _Rows(
                words=words, line=(words + 2.6 + top) / 2 if small else 0.64 * top, ruler=0, numbers=0, stations=top
            )
        if small:
            return _Rows(words=4.2, line=high * 0.465, ruler=high - 8.7, numbers=high - 3.3, stations=0)
        return _Rows(words=5.9, line=high * self.CENTER_SHARE, ruler=high - 11.1, numbers=high - 4.8, stations=0)

    def look(self) -> Hashable | None:
        if self._front is not None:
            return None
        kinds = (self._stations, self._compact, self.pressed, self.awake)
        return (self._band, self._cm_from, self._unseen, self._chosen, *kinds)

    def draw(self, pen: Pen) -> None:
        pen.fill(self.area(), "plate")
        rows, band = self._rows(), self._band
        line, up = self._between_words_and_ruler(rows)
        y = pen.mm(line)
        if self.drawing is None:
            self._draw_words(pen, y)
            return
        tube.center_line(pen, 0, self.width(), y)
        place = tube.TubePlace(x=pen.mm(self.room_mm()[0]), y=y, up=up)
        leftward = band.enter_from == "tip"
        tube.paint_tube(pen, self.drawing, place, self._dark(leftward))
        if self._front is not None:
            share = 1 - self._front if leftward else self._front
            tube.paint_front(pen, self.drawing, place, share * self.drawing.drawn_mm, leftward=leftward)
        lit = self._front is None and band.seen == "light" and not band.flags and not self._stations
        lit = lit and not (leftward and self.glass.metrics.small)  # there ENTRY needs the room of the rays
        if lit and not self.drawing.blind:
            end = place.x if leftward else place.at(pen, self.drawing.drawn_mm)
            tube.paint_rays(pen, end, y, leftward=leftward)
        self._draw_ends(pen, place, rows, lit=lit)
        if self._stations:
            self._draw_stations(pen, place, rows)
        elif self.drawing.ticks:
            tube.paint_ruler(pen, self.drawing, place, pen.mm(rows.ruler), pen.mm(rows.numbers))
        if band.flags:
            self._draw_flags(pen, place, rows)
        elif not self._stations:
            self._draw_names(pen, place, rows)

    def _between_words_and_ruler(self, rows: _Rows) -> tuple[float, float]:
        """The center line in mm, and how far the tube's height is pressed where it would touch words or ruler."""
        drawing, small = self.drawing, self.glass.metrics.small
        if drawing is None or self._stations:
            up = 0.8 if self._stations and small else 1.0
            if drawing is not None and self._compact:
                up = STATION_MM / (drawing.bore_mm + 2 * drawing.wall_mm)
            return rows.line, up
        top, bottom = rows.words + tube.WORDS_HALF_MM, rows.ruler - 0.6
        half = drawing.bore_mm / 2 + drawing.wall_mm
        if half <= min(rows.line - top, bottom - rows.line):
            return rows.line, 1.0
        return (top + bottom) / 2, min(1.0, max(0.2, (bottom - top) / 2 / half))

    def _dark(self, leftward: bool) -> tuple[float, float] | None:
        drawing = self.drawing
        if drawing is None or (self._stations and self._front is None):
            return None
        whole = drawing.drawn_mm
        if self._front is not None:
            return (0.0, (1 - self._front) * whole) if leftward else (self._front * whole, whole)
        return {"dark": (0.0, whole), "light": None, "part": self._unseen or (0.0, whole)}[self._band.seen]

    def _draw_words(self, pen: Pen, y: float) -> None:
        """A check of the whole piece: the line, broken by its words."""
        metrics = self.glass.metrics
        room = pen.box(metrics.left_mm + 20, 2, metrics.content_mm - 40, self.height() / pen.mm(1) - 4)
        stands = pen.text(room, self._band.words, ((T.T4, 1), (T.T3, 2), (T.T2, 3)), BOLD, bg="plate", align="center")
        gap = pen.mm(6)
        y = self.height() / 2
        if not self._band.words:
            tube.center_line(pen, 0, self.width(), y)
            return
        tube.center_line(pen, 0, stands.left() - gap, y)
        tube.center_line(pen, stands.right() + gap, self.width(), y)

    def _ends(self, pen: Pen, place: tube.TubePlace) -> tuple[float, float]:
        """Where the name of the entry ends and that of the tip begins, in px: what stands over the tube lies between.

        On a large screen the names of the ends stand lower, and what is over the tube may go past them.
        """
        drawing, small = self.drawing, self.glass.metrics.small
        if drawing is None or not small:
            return 0.0, float(self.width())
        end = place.at(pen, drawing.drawn_mm + (drawing.wall_mm if drawing.blind else 0))
        leftward = self._band.enter_from == "tip"
        beyond = 2.4 if self._stations or leftward else 9.5
        return place.x - pen.mm(2.4), end + pen.mm(beyond)

    def _draw_ends(self, pen: Pen, place: tube.TubePlace, rows: _Rows, *, lit: bool) -> None:
        """ENTRY and TIP, and which end of the piece each is."""
        drawing, band, small = self.drawing, self._band, self.glass.metrics.small
        if drawing is None:
            return
        end = place.at(pen, drawing.drawn_mm + (drawing.wall_mm if drawing.blind else 0))
        gap = pen.mm(2.4 if small else 5.0)
        leftward = band.enter_from == "tip"
        beyond = pen.mm(9.5 if small else 11.0)  # past the rays
        after = gap if self._stations or (leftward and small) else beyond
        before = beyond if lit and leftward else gap
        left = QRectF(pen.mm(0.5), 0, place.x - before - pen.mm(0.5), 0)
        stop = self.width() - pen.mm(1)
        if self._compact and self._along:
            stop = place.at(pen, drawing.drawn_mm + self._after_mm - 1)
        right = QRectF(end + after, 0, stop - end - after, 0)
        ends: tuple[tuple[QRectF, str, str, Side], ...] = (
            (left, band.entry, band.entry_note, "right"),
            (right, band.tip, band.tip_note, "left"),
        )
        for room, name, note, align in ends:
            upper = QRectF(room.left(), place.y - pen.mm(9.2 if small else 11.5), room.width(), pen.mm(8.4))
            lower = QRectF(room.left(), place.y + pen.mm(3), room.width(), pen.mm(8.6))
            pen.text(upper, name, ((T.T1, 1), (T.T1, 2)), EXTRA, bg="plate", align=align, pitch=1.4)
            if not small:
                pen.text(lower, note, ((T.T1, 1), (T.T1, 2)), REGULAR, fg="ink2", bg="plate", align=align, pitch=1.4)
        if self._stations:
            first = left.left() if small else pen.mm(self.glass.metrics.edge_mm)
            room = QRectF(first, pen.mm(rows.stations), place.x - pen.mm(4) - first, pen.mm(STATION_MM))
            if self._compact:
                room = QRectF(first, place.y + pen.mm(2), room.width(), pen.mm(6))
            words = "cm" if small else self._cm_from
            pen.text(room, words, ((T.T1, 2), (T.T1, 3)), REGULAR, fg="ink2", bg="plate", align="right", pitch=1.75)

    def _draw_names(self, pen: Pen, place: tube.TubePlace, rows: _Rows) -> None:
        """Landmarks over their places, and in the widest room left the words of the light or of the scale."""
        drawing = self.drawing
        if drawing is None:
            return
        metrics, y = self.glass.metrics, pen.mm(rows.words)
        first, last = metrics.left_mm + metrics.edge_mm, metrics.left_mm + metrics.content_mm - metrics.edge_mm
        edges = pen.mm(first), pen.mm(last)
        says = self._front_words if self._front is not None else self._band.words
        told = self._band.told
        scale, across = _sentence(told(drawing.scale_words)), _sentence(told(drawing.width_words))
        tries = (says,) if says else (f"{scale}  {across}", scale)
        entry, tip = self._ends(pen, place)
        names = tube.leader_boxes(pen, drawing, place, y, (entry + pen.mm(2), tip - pen.mm(2)))
        names = names or tube.leader_boxes(pen, drawing, place, y, edges)
        letters = QFontMetricsF(pen.glass.font(T.T1))
        after = QFontMetricsF(pen.glass.font(T.T1, EXTRA)).horizontalAdvance(self._band.tip)
        apart = [*names, QRectF(edges[0], y, max(0.0, entry - edges[0]), 1), QRectF(tip, y, after, 1)]
        gap = tube.widest_gap(apart, *edges, y, pen.mm(6)).adjusted(pen.mm(4), 0, -pen.mm(4), 0)
        beside = QRectF(place.at(pen, drawing.drawn_mm) + pen.mm(6), pen.mm(rows.numbers - 3), 0, pen.mm(6))
        beside.setRight(edges[1])
        least = letters.horizontalAdvance(tries[-1])
        if least > gap.width() and least <= beside.width() and drawing.ticks:
            gap = beside
        elif least > gap.width():  # the names give way to what must be said
            names, gap = [], QRectF(edges[0], gap.top(), edges[1] - edges[0], gap.height())
        words = next((each for each in tries if letters.horizontalAdvance(each) <= gap.width()), tries[-1])
        wide = letters.horizontalAdvance(words)
        tube.paint_leaders(pen, drawing, place, y, names)
        middle = min(max(place.at(pen, drawing.drawn_mm / 2), gap.left() + wide / 2), gap.right() - wide / 2)
        room = QRectF(middle - wide / 2 - 1, gap.top(), wide + 2, gap.height())
        pen.text(room, words, T.T1, REGULAR, fg="ink2", bg="plate", align="center")

    def _draw_flags(self, pen: Pen, place: tube.TubePlace, rows: _Rows) -> None:
        """Every flag with its number; the last one with its distances, or with the name of its place."""
        drawing = self.drawing
        if drawing is None or self._compact:
            return
        words = pen.mm(rows.words)
        for flag in self._band.flags:
            if flag.place.all_along:
                tube.paint_length(pen, drawing, place, words, flag.say)
                for share in (0.1, 0.3, 0.5, 0.7, 0.9):
                    wall = place.y + pen.mm(drawing.bore_mm * place.up / 2)
                    tube.paint_lump(pen, place.at(pen, share * drawing.drawn_mm), wall)
        leftward = False
        known = [(flag, x) for flag in self._band.flags if (x := drawing.spot_of(flag.place)) is not None]
        if known:
            last, x = known[-1]
            if last.place.at_mm is not None:
                taken = [tube.flag_room(pen, place.at(pen, each)) for _, each in known[:-1]]
                leftward, covered = tube.flies_left(pen, drawing, place, x, taken, self._ends(pen, place)[1])
                tube.paint_distances(pen, drawing, place, x, words, covered)
            else:
                tube.paint_place_name(pen, place.at(pen, x), words, self.width(), last.say)
        for flag, x in known:
            tube.paint_flag(
                pen, drawing, place, x, flag.number, pen.mm(0.6), leftward=leftward and flag is known[-1][0]
            )

    def _draw_stations(self, pen: Pen, place: tube.TubePlace, rows: _Rows) -> None:
        drawing = self.drawing
        if drawing is None:
            return
        top, gap, tall = pen.mm(rows.stations), pen.mm(0.4), pen.mm(STATION_MM)
        if self._compact:
            tall = pen.mm(drawing.bore_mm * place.up)
            top = place.y - tall / 2
        under = station_at(drawing, self.finger.x() / pen.mm(1) - self.room_mm()[0]) if self.pressed else None
        size, labels = self._labels(drawing)
        for station in drawing.stations:
            left, right = place.at(pen, station.left) + gap, place.at(pen, station.right) - gap
            cell = QRectF(left, top, right - left, tall)
            chosen = station == self._chosen
            fill, edge, words = ("found_tint", "found_edge", "found") if chosen else ("plate", "line", "ink")
            if station == under:
                fill, edge, words = "found", "found", "on_fill"
            pen.plate(cell, fill, edge if self.awake else "", edge_mm=1.2 if chosen else 0.5, outside="plate")
            inside = cell.adjusted(pen.mm(0.6), 0, -pen.mm(0.6), 0)
            weight, label = BOLD if chosen else REGULAR, labels[station.index]
            pen.text(inside, label, size, weight, fg=words, bg=fill, align="center", lines=2, pitch=1.6)

    def _labels(self, drawing: LumenDrawing) -> tuple[T, list[str]]:
        """One size for the labels of all stations; where even the smaller one is too wide they break at the dash."""
        wide = {station.label: self.glass.mm(station.right - station.left - 2.2) for station in drawing.stations}
        for size in (T.T2, T.T1):
            metrics = QFontMetricsF(self.glass.font(size, BOLD))
            if all(metrics.horizontalAdvance(label) <= room for label, room in wide.items()):
                return size, list(wide)
        return T.T1, [label.replace("–", "–\n") for label in wide]


def _sentence(words: str) -> str:
    return f"{words[:1].upper()}{words[1:]}."
