"""A row of the overview: number, name, the lumens in section, how they stand."""

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPolygonF
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.lumen.drawing import draw_lumen
from kiosk.ui.parts import tube
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.theme import BOLD, EXTRA, REGULAR, T

LINES_AT_MOST = 3  # lumens drawn under each other; more stand in columns, each with its ring
NEXT_EDGE_MM = 1.4
_COLORS: dict[views.Ring, str] = {"clear": "clear", "found": "found", "unsure": "unsure", "now": "ink", "todo": "ink2"}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Columns:
    """Left edges and widths in mm from the row's left edge."""

    number: float
    name: float
    name_wide: float
    lumen: float
    lumen_wide: float
    tube: float
    tube_wide: float
    ring: float
    words: float


_LARGE = _Columns(
    number=17, name=18, name_wide=64, lumen=84, lumen_wide=33, tube=121, tube_wide=118, ring=246, words=255
)
_SMALL = _Columns(number=10, name=11, name_wide=50, lumen=63, lumen_wide=32, tube=97, tube_wide=46, ring=148, words=155)


class PieceRow(TouchButton):
    """A piece to open; a piece that nobody can open any more has no edge."""

    keeps_sides = True

    role = "row"

    def __init__(self, glass: Glass, row: views.OverviewRow, longest_mm: int, parent: QWidget | None = None) -> None:
        super().__init__(glass, f"open {row.number}", row.send, parent=parent)
        self._row, self._longest = row, max(longest_mm, 1)
        self._columns = _SMALL if glass.metrics.small else _LARGE
        self.setObjectName(f"row {row.number}")
        self.setAccessibleName(f"{row.number} {row.name}: {row.state}")
        self.set_asleep(row.send is None)

    def draw(self, pen: Pen) -> None:
        row, columns = self._row, self._columns
        fill = "ink" if self.pressed else "plate" if row.send is not None else "well"
        edge = "ink" if row.next else "line"
        pen.plate(
            self.area(), fill, edge if self.awake else "", edge_mm=NEXT_EDGE_MM if row.next else 0.6, outside="field"
        )
        number = pen.box(0, 0, columns.number, self.height() / pen.mm(1))
        pen.text(number, str(row.number), ((T.T3, 1), (T.T2, 1)), EXTRA, fg=self._fg("ink"), bg=fill, align="center")
        self._draw_name(pen, fill)
        if len(row.lumens) > LINES_AT_MOST:
            self._draw_columns(pen, fill)
            return
        alone = len(row.lumens) < 2
        margin = 0.0 if alone else pen.mm(1.0)
        tall = (self.height() - 2 * margin) / max(len(row.lumens), 1)
        for n, lumen in enumerate(row.lumens):
            strip = QRectF(0, margin + n * tall, self.width(), tall)
            self._draw_lumen(pen, lumen, strip, fill, alone=alone)
            if not alone:
                self._draw_state(pen, strip, lumen.ring, lumen.state, lumen.detail, fill, alone=False)
        if alone:
            detail = row.lumens[0].detail if row.lumens else ""
            self._draw_state(pen, self.area(), row.ring, row.state, detail, fill, alone=True)

    def _fg(self, token: str) -> str:
        return "on_fill" if self.pressed else token

    def _draw_name(self, pen: Pen, fill: str) -> None:
        row, columns = self._row, self._columns
        many = len(row.lumens) > 1
        wide = columns.name_wide if many else columns.name_wide + columns.lumen_wide * 0.9
        room = pen.box(columns.name, 0.9, wide, self.height() / pen.mm(1) - 1.8)
        sub = fit_lines(self.glass, row.sub, room.size(), ((T.T1, 1),), REGULAR) if row.sub else None
        gap = pen.mm(2.1)
        taken = sub.height + gap if sub else 0.0
        box = QRectF(room.left(), room.top(), room.width(), room.height() - taken)
        sizes = ((T.T3, 1), (T.T2, 1), (T.T2, 2), (T.T1, 2), (T.T1, 3))
        got = fit_lines(self.glass, row.name, box.size(), sizes, BOLD, pitch=1.28)
        box.moveTop(room.top() + (room.height() - got.height - taken) / 2)
        stands = pen.text(box, row.name, sizes, BOLD, fg=self._fg("ink"), bg=fill, up="top", pitch=1.28)
        if sub:
            lower = QRectF(room.left(), stands.bottom() + gap, room.width(), sub.height + 1)
            pen.text(lower, row.sub, T.T1, REGULAR, fg=self._fg("ink2"), bg=fill, up="top")

    def _draw_lumen(self, pen: Pen, lumen: views.OverviewLumen, strip: QRectF, fill: str, *, alone: bool) -> None:
        columns, middle = self._columns, strip.center().y()
        if lumen.name:
            box = QRectF(pen.mm(columns.lumen), strip.top(), pen.mm(columns.lumen_wide), strip.height())
            sizes = ((T.T1, 1), (T.T1, 2))
            if not fit_lines(self.glass, lumen.name, box.size(), sizes, REGULAR, pitch=1.3).fits:
                box.setWidth(pen.mm(columns.tube + columns.tube_wide - columns.lumen))
                pen.text(box, lumen.name, T.T1, fg=self._fg("ink2"), bg=fill)  # a long name takes the tube's place
                return
            pen.text(box, lumen.name, sizes, fg=self._fg("ink2"), bg=fill, align="right", pitch=1.3)
        left, wide = pen.mm(columns.tube), pen.mm(columns.tube_wide)
        if self.pressed:
            return
        tube.center_line(pen, left - pen.mm(6 if alone else 2), left + wide, middle)
        drawing = draw_lumen(lumen.lumen, columns.tube_wide)
        length = float(lumen.lumen.length_mm) if lumen.lumen.length_mm else self._longest / 2
        across = length / self._longest * columns.tube_wide / drawing.drawn_mm
        outside = drawing.bore_mm + 2 * drawing.wall_mm
        up = min(7.0, strip.height() / pen.mm(1) - 2.6) / outside
        place = tube.TubePlace(x=left, y=middle, across=across, up=up)
        seen = lumen.ring in {"clear", "found", "unsure"}
        tube.paint_tube(pen, drawing, place, None if seen else (0.0, drawing.drawn_mm))
        for flag in lumen.flags:
            spot = drawing.spot_of(flag.place)
            if spot is not None:
                self._flag(pen, place.at(pen, spot), strip)

    def _flag(self, pen: Pen, x: float, strip: QRectF) -> None:
        """A mark, too small here for its number."""
        top, tall = strip.top() + pen.mm(0.4), min(pen.mm(4.2), strip.height() * 0.45)
        pen.stroke("found", 0.6)
        pen.line(x, top, x, strip.bottom() - pen.mm(0.6))
        pen.solid("found")
        pen.painter.drawPolygon(
            QPolygonF([QPointF(x, top), QPointF(x + 1.5 * tall, top + tall / 2), QPointF(x, top + tall)])
        )

    def _draw_state(
        self, pen: Pen, strip: QRectF, ring: views.Ring, state: str, detail: str, fill: str, *, alone: bool
    ) -> None:
        """Ring and words; what was found stands under the word where there is room, else in its place."""
        columns, fg = self._columns, self._fg(_COLORS[ring])
        side = pen.mm(6.0 if alone or strip.height() > pen.mm(8) else 4.6)
        box = QRectF(pen.mm(columns.ring) - side / 2, strip.center().y() - side / 2, side, side)
        if ring == "now":
            icon = box.adjusted(-side * 0.1, -side * 0.1, side * 0.1, side * 0.1)
            draw_icon(pen.painter, "arrow_right", icon, pen.color(fg), pen.color(fill))
        else:
            draw_ring(pen, box, ring, fg=fg if self.pressed else "", hole=fill)
        room = QRectF(pen.mm(columns.words), strip.top(), self.width() - pen.mm(columns.words + 2), strip.height())
        weight = BOLD if ring in {"found", "unsure", "now"} else REGULAR
        if not detail:
            pen.text(room, state, ((T.T2, 1), (T.T1, 1), (T.T1, 2)), weight, fg=fg, bg=fill, pitch=1.35)
            return
        if alone:
            upper = QRectF(room.left(), room.top() + pen.mm(1.3), room.width(), pen.mm(4.4))
            stands = pen.text(upper, state, ((T.T2, 1), (T.T1, 1)), weight, fg=fg, bg=fill, up="top")
            rest = QRectF(
                room.left(), stands.bottom() + pen.mm(1.7), room.width(), room.bottom() - stands.bottom() - pen.mm(2.4)
            )
            pen.text(rest, detail, ((T.T1, 1), (T.T1, 2), (T.T1, 3)), fg=self._fg("ink"), bg=fill, up="top", pitch=1.28)
            return
        sizes = ((T.T1, 1), (T.T1, 2))
        fits = fit_lines(self.glass, detail, room.size(), sizes, REGULAR, pitch=1.28).fits
        pen.text(room, detail if fits else state, sizes, BOLD if not fits else REGULAR, fg=fg, bg=fill, pitch=1.28)

    def _draw_columns(self, pen: Pen, fill: str) -> None:
        """Many lumens: a ring and a name each, in columns; the tubes wait for the check."""
        row, columns = self._row, self._columns
        left, right = pen.mm(columns.lumen), self.width() - pen.mm(3)
        across = -(-len(row.lumens) // 3)
        wide, tall = (right - left) / across, (self.height() - pen.mm(2)) / 3
        for n, lumen in enumerate(row.lumens):
            x, y = left + n // 3 * wide, pen.mm(1) + n % 3 * tall
            side = pen.mm(4.4)
            ring = QRectF(x, y + (tall - side) / 2, side, side)
            fg = self._fg(_COLORS[lumen.ring])
            draw_ring(pen, ring, lumen.ring, fg=fg if self.pressed else "", hole=fill, on=fill)
            room = QRectF(x + side + pen.mm(2.4), y, wide - side - pen.mm(4.4), tall)
            pen.text(room, lumen.name, T.T1, fg=fg, bg=fill)
