"""A pen that paints and takes down what it paints, so that an audit can never differ from the picture."""

from dataclasses import dataclass, replace
from typing import Literal

from PySide6.QtCore import QPointF, QRectF, QSizeF, Qt
from PySide6.QtGui import QColor, QFontMetricsF, QPainter, QPainterPath, QPen, QPolygonF

from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import Choices, fit_lines, hangs
from kiosk.ui.theme import LINE_PITCH, REGULAR, T

Side = Literal["left", "center", "right"]
Up = Literal["top", "middle", "bottom"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """One thing on the screen, in px of the window. Colors are #RRGGBB.

    target: `rect` is the whole touch area; `role` says which limits hold (key, answer, row, pad, band).
    text: `fg` on `bg`, `font_px`, whether it stays inside the box it was given, and whether the part's edge cuts it.
    mark: a filled shape that covers what is under it; `text` is its name.
    plate: `fg` is its edge ("" without one), `bg` its fill, `outside` what lies around it.
    """

    kind: Literal["target", "text", "plate", "mark"]
    rect: QRectF
    text: str = ""
    font_px: int = 0
    fg: str = ""
    bg: str = ""
    outside: str = ""
    fits: bool = True
    cut: bool = False
    role: str = "key"
    owner: str = ""


class Pen:
    """Draws in px; sizes come in mm, colors by the name of their token. `records` None: nothing is taken down.

    `turned`: what it draws is seen in a mirror; its letters are turned back, each line within its own place.
    """

    def __init__(
        self, painter: QPainter, glass: Glass, records: list[Record] | None = None, *, turned: bool = False
    ) -> None:
        self.painter, self.glass, self.records, self.turned = painter, glass, records, turned
        painter.setRenderHints(QPainter.RenderHint.Antialiasing | QPainter.RenderHint.TextAntialiasing)

    def in_plain_letters(self) -> "Pen":
        """The same pen for words that do not stand in larger letters."""
        return Pen(self.painter, self.glass.in_plain_letters(), self.records, turned=self.turned)

    def mm(self, mm: float) -> float:
        """Pixels of a length in mm."""
        return self.glass.mm(mm)

    def color(self, token: str) -> QColor:
        """The color of a token."""
        return QColor(self.glass.color(token))

    def box(self, x: float, y: float, width: float, height: float) -> QRectF:
        """A rectangle in px of one given in mm."""
        return QRectF(self.mm(x), self.mm(y), self.mm(width), self.mm(height))

    def fill(self, rect: QRectF, token: str) -> None:
        """A plain area."""
        self.painter.fillRect(rect, self.color(token))

    def stroke(self, token: str, width_mm: float, *, flat: bool = True) -> None:
        """Lines that follow have this color and width, and no fill."""
        pen = QPen(self.color(token), self.mm(width_mm))
        pen.setCapStyle(Qt.PenCapStyle.FlatCap if flat else Qt.PenCapStyle.RoundCap)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin if flat else Qt.PenJoinStyle.RoundJoin)
        self.painter.setPen(pen)
        self.painter.setBrush(Qt.BrushStyle.NoBrush)

    def solid(self, token: str) -> None:
        """Areas that follow have this color and no outline."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.color(token))

    def line(self, x1: float, y1: float, x2: float, y2: float) -> None:
        """A line in px."""
        self.painter.drawLine(QPointF(x1, y1), QPointF(x2, y2))

    def arrow_head(self, x: float, y: float, length: float, half: float) -> None:
        """A solid head whose point is at (x, y); a negative length points left."""
        self.painter.drawPolygon(
            QPolygonF([QPointF(x, y), QPointF(x - length, y - half), QPointF(x - length, y + half)])
        )

    def plate(
        self, rect: QRectF, fill: str, edge: str = "", *, edge_mm: float = 0.6, radius_mm: float = 2.0, outside: str
    ) -> None:
        """A rounded plate; an edge means that it can be touched."""
        width = self.mm(edge_mm) if edge else 0.0
        inner = rect.adjusted(width / 2, width / 2, -width / 2, -width / 2)
        path = QPainterPath()
        path.addRoundedRect(inner, self.mm(radius_mm) - width / 2, self.mm(radius_mm) - width / 2)
        self.shape(path, fill, edge, edge_mm=edge_mm, outside=outside)

    def shape(
        self,
        path: QPainterPath,
        fill: str,
        edge: str = "",
        *,
        edge_mm: float = 0.6,
        outside: str,
        dash: list[float] | None = None,
    ) -> None:
        """A plate of any outline; `dash` in mm."""
        self.painter.setPen(Qt.PenStyle.NoPen)
        self.painter.setBrush(self.color(fill))
        self.painter.drawPath(path)
        if edge:
            pen = QPen(self.color(edge), self.mm(edge_mm))
            pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
            if dash:
                pen.setCapStyle(Qt.PenCapStyle.FlatCap)
                pen.setDashPattern([length / edge_mm for length in dash])
            self.painter.setPen(pen)
            self.painter.setBrush(Qt.BrushStyle.NoBrush)
            self.painter.drawPath(path)
        self.take_down(
            Record(
                kind="plate",
                rect=path.boundingRect(),
                fg=self.glass.color(edge) if edge else "",
                bg=self.glass.color(fill),
                outside=self.glass.color(outside),
            )
        )

    def text(
        self,
        rect: QRectF,
        text: str,
        size: T | Choices,
        weight: int = REGULAR,
        *,
        fg: str = "ink",
        bg: str = "field",
        align: Side = "left",
        up: Up = "middle",
        lines: int = 1,
        mono: bool = False,
        pitch: float = LINE_PITCH,
        shorten: bool = False,
    ) -> QRectF:
        """Text placed by its capitals and baselines inside a box; returns where it stands. No text, no record.

        `shorten`: what does not fit one line ends in an ellipsis; the record has it whole and says that it does not.
        """
        if not text:
            return QRectF(rect.topLeft(), QSizeF(0, 0))
        choices = ((size, lines),) if isinstance(size, T) else size
        got = fit_lines(self.glass, text, rect.size(), choices, weight, mono=mono, pitch=pitch)
        if shorten and not got.fits:
            metrics = QFontMetricsF(got.font)
            line = metrics.elidedText(text, Qt.TextElideMode.ElideRight, rect.width())
            got = replace(got, lines=(line,), widths=(metrics.horizontalAdvance(line),))
        spare = rect.height() - got.height
        top = rect.top() + {"top": 0.0, "middle": spare / 2, "bottom": spare}[up]
        if up == "middle" and hangs(text):  # where room is scarce, letters are not cut below for the sake of the middle
            top -= min(max(0.0, got.descent - spare / 2), max(0.0, spare / 2))
        self.painter.setFont(got.font)
        self.painter.setPen(self.color(fg))
        stands = QRectF()
        for number, (line, width) in enumerate(zip(got.lines, got.widths, strict=True)):
            left = rect.left() + {"left": 0.0, "center": 0.5, "right": 1.0}[align] * (rect.width() - width)
            baseline = top + got.capital + number * got.pitch
            self._letters(left, baseline, width, line)
            stands = stands.united(QRectF(left, baseline - got.capital, width, got.capital))
        self.take_down(
            Record(
                kind="text",
                rect=stands,
                text=text.replace("\n", " "),
                font_px=got.font.pixelSize(),
                fg=self.glass.color(fg),
                bg=self.glass.color(bg),
                fits=got.fits,
            )
        )
        return stands

    def _letters(self, left: float, baseline: float, width: float, line: str) -> None:
        if not self.turned:
            self.painter.drawText(QPointF(left, baseline), line)
            return
        self.painter.save()
        self.painter.translate(2 * left + width, 0)
        self.painter.scale(-1, 1)
        self.painter.drawText(QPointF(left, baseline), line)
        self.painter.restore()

    def take_down(self, record: Record) -> None:
        """Keep a record, if anybody listens."""
        if self.records is not None:
            self.records.append(record)
