"""Icons, drawn in a square of 100 units with strokes of 8: no picture files, sharp at every size."""

from collections.abc import Callable
from math import cos, pi, sin

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPainterPath, QPen, QPolygonF

Draw = Callable[[QPainter, QColor, QColor], None]
STROKE = 8.0


def draw_icon(painter: QPainter, name: str, rect: QRectF, color: QColor, back: QColor) -> None:
    """Draw an icon centered in a box; `back` is the color it stands on, for the parts cut out of it.

    Seen in a mirror, arrows point the other way and everything else stays as it is.
    """
    draw = _ICONS[name]
    side = min(rect.width(), rect.height())
    painter.save()
    painter.translate(rect.center().x() - side / 2, rect.center().y() - side / 2)
    painter.scale(side / 100, side / 100)
    if painter.combinedTransform().m11() < 0 and not name.startswith("arrow"):
        painter.translate(100, 0)
        painter.scale(-1, 1)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(_pen(color))
    draw(painter, color, back)
    painter.restore()


def _pen(color: QColor, width: float = STROKE, *, flat: bool = True, dash: list[float] | None = None) -> QPen:
    cap = Qt.PenCapStyle.FlatCap if flat else Qt.PenCapStyle.RoundCap
    pen = QPen(QBrush(color), width, Qt.PenStyle.SolidLine, cap, Qt.PenJoinStyle.MiterJoin)
    if dash:
        pen.setDashPattern([length / width for length in dash])
    return pen


def _points(*xy: float) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in zip(xy[::2], xy[1::2], strict=True)])


def _fill(p: QPainter, color: QColor) -> None:
    p.setPen(Qt.PenStyle.NoPen)
    p.setBrush(color)


def _curve(p: QPainter, *xy: float) -> None:
    """A curve from the first point through groups of two control points and an end point."""
    path = QPainterPath(QPointF(xy[0], xy[1]))
    for n in range(2, len(xy), 6):
        path.cubicTo(*xy[n : n + 6])
    p.drawPath(path)


def _arrow_left(p: QPainter, _c: QColor, _b: QColor) -> None:
    p.drawPolyline(_points(40, 14, 6, 50, 40, 86))
    p.drawLine(QPointF(8, 50), QPointF(96, 50))


def _arrow_right(p: QPainter, _c: QColor, _b: QColor) -> None:
    p.drawPolyline(_points(60, 14, 94, 50, 60, 86))
    p.drawLine(QPointF(4, 50), QPointF(92, 50))


def _stop(p: QPainter, c: QColor, _b: QColor) -> None:
    """The center line, broken by two bars."""
    p.setPen(_pen(c, 5))
    p.drawLine(QPointF(0, 50), QPointF(74, 50))
    p.drawLine(QPointF(88, 50), QPointF(100, 50))
    _fill(p, c)
    p.drawRect(QRectF(24, 14, 15, 72))
    p.drawRect(QRectF(53, 14, 15, 72))


def _aid(p: QPainter, c: QColor, _b: QColor) -> None:
    _fill(p, c)
    p.drawRect(QRectF(32, 0, 36, 100))
    p.drawRect(QRectF(0, 32, 100, 36))


def _camera(p: QPainter, _c: QColor, _b: QColor) -> None:
    p.drawRoundedRect(QRectF(5, 18, 90, 66), 5, 5)
    p.drawEllipse(QPointF(50, 51), 19, 19)


def _wipe(p: QPainter, c: QColor, _b: QColor) -> None:
    """A folded cloth over two strokes."""
    p.setPen(_pen(c, 8, flat=False))
    p.save()
    p.translate(60, 34)
    p.rotate(-15)
    p.drawRoundedRect(QRectF(-28, -24, 56, 48), 2, 2)
    p.setPen(_pen(c, 6))
    p.drawLine(QPointF(-9, -24), QPointF(-9, 24))
    p.drawLine(QPointF(9, -24), QPointF(9, 24))
    p.restore()
    p.setPen(_pen(c, 7))
    _curve(p, 2, 64, 14, 76, 30, 74, 44, 71)
    _curve(p, 2, 84, 40, 98, 70, 88, 98, 66)


def _smear(p: QPainter, c: QColor, _b: QColor) -> None:
    """A blot; no drop, which would name a liquid."""
    _fill(p, c)
    for x, y, wide, tall in ((28, 54, 24, 17), (52, 42, 26, 20), (74, 58, 22, 14), (50, 62, 20, 16)):
        p.drawEllipse(QPointF(x, y), wide, tall)
    for x, y, r in ((90, 28, 6), (12, 24, 5), (64, 88, 6)):
        p.drawEllipse(QPointF(x, y), r, r)


def _grit(p: QPainter, c: QColor, _b: QColor) -> None:
    _fill(p, c)
    for x, y, r, turn in (
        (22, 28, 15, 0.2),
        (70, 18, 13, 0.9),
        (52, 56, 19, 0.5),
        (20, 80, 10, 0.1),
        (84, 66, 13, 0.7),
    ):
        p.drawPolygon(
            QPolygonF(
                [QPointF(x + r * cos(turn + k * 2 * pi / 5), y + r * sin(turn + k * 2 * pi / 5)) for k in range(5)]
            )
        )


def _fiber(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 8))
    _curve(p, 4, 40, 40, 22, 70, 70, 96, 68)
    _curve(p, 20, 6, 56, 10, 20, 92, 78, 94)
    _curve(p, 92, 8, 84, 44, 44, 40, 52, 56)
    _curve(p, 6, 82, 16, 50, 34, 40, 50, 44)


def _water(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 9))
    for y in (22, 50, 78):
        _curve(
            p,
            2,
            y + 6,
            14,
            y - 16,
            22,
            y - 10,
            30,
            y,
            38,
            y + 10,
            44,
            y + 10,
            52,
            y,
            60,
            y - 10,
            66,
            y - 10,
            74,
            y,
            82,
            y + 10,
            90,
            y + 8,
            98,
            y - 5,
        )


def _rust(p: QPainter, c: QColor, _b: QColor) -> None:
    """Pits on both walls of a bore."""
    _fill(p, c)
    p.drawRect(QRectF(0, 12, 100, 9))
    p.drawRect(QRectF(0, 79, 100, 9))
    for x, y, r in ((30, 24, 9), (60, 24, 11), (84, 22, 7), (20, 74, 9), (44, 70, 13), (70, 74, 10), (88, 76, 6)):
        p.drawEllipse(QPointF(x, y), r, r)


def _crack(p: QPainter, c: QColor, _b: QColor) -> None:
    """A dent in one wall, a crack in the other."""
    p.setPen(_pen(c, 9))
    p.drawPolyline(_points(0, 20, 32, 20, 50, 54, 68, 20, 100, 20))
    p.drawLine(QPointF(0, 86), QPointF(100, 86))
    p.setPen(_pen(c, 5))
    p.drawPolyline(_points(46, 62, 55, 68, 44, 74, 54, 82))


def _flakes(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 7))
    p.drawEllipse(QPointF(50, 50), 44, 44)
    for n in range(9):
        p.save()
        p.translate(50, 50)
        p.rotate(n * 40 + 10)
        p.translate(0, -29)
        p.rotate(35 if n % 2 else -25)
        p.drawLine(QPointF(-8, 0), QPointF(8, 0))
        p.restore()


def _blocked(p: QPainter, c: QColor, _b: QColor) -> None:
    """A bore with a plug in it."""
    p.setPen(_pen(c, 9))
    p.drawLine(QPointF(0, 20), QPointF(100, 20))
    p.drawLine(QPointF(0, 80), QPointF(100, 80))
    _fill(p, c)
    p.drawRoundedRect(QRectF(38, 22, 34, 56), 10, 10)
    p.setPen(_pen(c, 7))
    p.drawLine(QPointF(2, 50), QPointF(26, 50))


def _loose(p: QPainter, c: QColor, _b: QColor) -> None:
    """A curl and a chip: something that does not belong."""
    p.setPen(_pen(c, 8))
    p.drawArc(QRectF(10, 14, 50, 50), 30 * 16, 290 * 16)
    _fill(p, c)
    p.drawPolygon(_points(58, 66, 92, 58, 82, 92))


def _parts(p: QPainter, c: QColor, gap: float) -> None:
    """An inner tube and its outer tube, `gap` units pulled out."""
    p.setPen(_pen(c, 8))
    p.drawPolyline(_points(96, 22, 44 + gap / 4, 22, 44 + gap / 4, 78, 96, 78))
    p.drawRect(QRectF(4, 40, 60 - gap, 20))


def _together(p: QPainter, c: QColor, _b: QColor) -> None:
    _parts(p, c, 0)


def _apart(p: QPainter, c: QColor, _b: QColor) -> None:
    _parts(p, c, 28)


def _mark(p: QPainter, c: QColor) -> None:
    """A question mark."""
    p.setPen(_pen(c, 9))
    _curve(p, 36, 40, 36, 22, 66, 20, 65, 38, 64, 50, 50, 50, 50, 64)
    _fill(p, c)
    p.drawEllipse(QPointF(50, 75), 6, 6)


def _question(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 7))
    p.drawEllipse(QPointF(50, 50), 44, 44)
    _mark(p, c)


def _other(p: QPainter, c: QColor, _b: QColor) -> None:
    dash = 2 * pi * 44 / 12
    p.setPen(_pen(c, 8, dash=[dash * 0.6, dash * 0.4]))
    p.drawEllipse(QPointF(50, 50), 44, 44)
    _mark(p, c)


def _printer(p: QPainter, _c: QColor, b: QColor) -> None:
    p.drawPolyline(_points(26, 36, 26, 8, 74, 8, 74, 36))
    p.drawRoundedRect(QRectF(6, 36, 88, 42), 6, 6)
    p.setBrush(b)
    p.drawRect(QRectF(26, 60, 48, 34))
    p.drawPoint(QPointF(80, 50))


def _warning(p: QPainter, c: QColor, b: QColor) -> None:
    _fill(p, c)
    p.drawPolygon(_points(50, 4, 100, 94, 0, 94))
    _fill(p, b)
    p.drawRect(QRectF(45, 36, 10, 30))
    p.drawEllipse(QPointF(50, 78), 6.5, 6.5)


def _lock(p: QPainter, c: QColor, b: QColor) -> None:
    p.drawArc(QRectF(28, 8, 44, 60), 0, 180 * 16)
    _fill(p, c)
    p.drawRoundedRect(QRectF(14, 42, 72, 52), 6, 6)
    _fill(p, b)
    p.drawEllipse(QPointF(50, 68), 9, 9)


def _plus(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 12))
    p.drawLine(QPointF(50, 10), QPointF(50, 90))
    p.drawLine(QPointF(10, 50), QPointF(90, 50))


def _minus(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 12))
    p.drawLine(QPointF(10, 50), QPointF(90, 50))


def _tray(p: QPainter, c: QColor, _b: QColor) -> None:
    """A tray with three pieces in it."""
    p.drawRoundedRect(QRectF(4, 16, 92, 68), 5, 5)
    p.setPen(_pen(c, 7))
    for y in (34, 50, 66):
        p.drawLine(QPointF(20, y), QPointF(80, y))


def _erase(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 8))
    p.drawPolygon(_points(30, 18, 96, 18, 96, 82, 30, 82, 4, 50))
    p.drawLine(QPointF(46, 36), QPointF(76, 64))
    p.drawLine(QPointF(76, 36), QPointF(46, 64))


def _keys(p: QPainter, c: QColor, _b: QColor) -> None:
    """Nine keys."""
    _fill(p, c)
    for n in range(9):
        p.drawRoundedRect(QRectF(8 + n % 3 * 31, 8 + n // 3 * 31, 22, 22), 4, 4)


def _gloves(p: QPainter, c: QColor, _b: QColor) -> None:
    path = QPainterPath(QPointF(30, 94))
    for x, y in ((30, 62), (10, 44), (18, 34), (34, 46), (32, 12), (42, 10), (47, 40), (52, 6), (62, 7), (62, 40)):
        path.lineTo(x, y)
    for x, y in ((74, 16), (83, 20), (78, 56), (72, 66), (72, 94), (30, 94)):
        path.lineTo(x, y)
    path.closeSubpath()
    p.setPen(_pen(c, 7, flat=False))
    p.drawPath(path)
    p.drawLine(QPointF(32, 78), QPointF(70, 78))


def _eye(p: QPainter, c: QColor, _b: QColor) -> None:
    """Glasses with side shields."""
    p.setPen(_pen(c, 8))
    p.drawRoundedRect(QRectF(4, 34, 40, 34), 10, 10)
    p.drawRoundedRect(QRectF(56, 34, 40, 34), 10, 10)
    p.drawLine(QPointF(44, 46), QPointF(56, 46))


def _mask(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 7))
    _curve(p, 22, 34, 40, 26, 60, 26, 78, 34, 80, 60, 72, 78, 50, 82, 28, 78, 20, 60, 22, 34)
    p.drawLine(QPointF(30, 50), QPointF(70, 50))
    p.drawLine(QPointF(32, 64), QPointF(68, 64))
    _curve(p, 22, 38, 4, 30, 2, 56, 25, 64)
    _curve(p, 78, 38, 96, 30, 98, 56, 75, 64)


def _gown(p: QPainter, c: QColor, _b: QColor) -> None:
    p.setPen(_pen(c, 7))
    p.drawPolygon(_points(36, 8, 10, 24, 18, 58, 30, 54, 26, 94, 74, 94, 70, 54, 82, 58, 90, 24, 64, 8, 50, 20))
    p.drawLine(QPointF(30, 58), QPointF(70, 58))


def _face_shield(p: QPainter, c: QColor, _b: QColor) -> None:
    """A band around the brow and a shield hanging from it."""
    p.setPen(_pen(c, 7))
    p.drawRoundedRect(QRectF(12, 8, 76, 14), 6, 6)
    _curve(p, 16, 24, 14, 60, 22, 94, 50, 94, 78, 94, 86, 60, 84, 24)
    p.setPen(_pen(c, 5))
    p.drawLine(QPointF(34, 44), QPointF(46, 32))
    p.drawLine(QPointF(34, 60), QPointF(60, 34))


_ICONS: dict[str, Draw] = {
    "arrow_left": _arrow_left, "arrow_right": _arrow_right, "stop": _stop, "aid": _aid, "camera": _camera,
    "wipe": _wipe, "smear": _smear, "grit": _grit, "fiber": _fiber, "water": _water, "rust": _rust, "crack": _crack,
    "flakes": _flakes, "blocked": _blocked, "loose": _loose, "together": _together, "apart": _apart,
    "question": _question, "other": _other, "printer": _printer, "warning": _warning, "lock": _lock, "plus": _plus,
    "minus": _minus, "tray": _tray, "erase": _erase, "gloves": _gloves, "keys": _keys, "eye": _eye, "mask": _mask,
    "gown": _gown, "face_shield": _face_shield,
}  # fmt: skip

_SAME = {
    "stop_here": "stop", "unsure": "question", "not_sure": "question", "all_same": "tray",
    "tissue": "smear", "red_mark": "smear", "colored_water": "water", "slime": "smear", "bone_grit": "grit",
    "brown_film": "flakes", "char": "grit", "cement": "blocked", "white_deposit": "flakes", "grey_smear": "smear",
    "lube_pool": "water", "unknown_spot": "other", "bristle": "fiber", "metal_sliver": "loose", "foreign_bit": "loose",
    "swab_left": "blocked", "clear_drops": "water", "still_wet": "water", "slow_flow": "blocked",
    "wont_pass": "blocked", "pitting": "rust", "rust_spot": "rust", "dent": "crack", "burr": "crack",
    "deep_scratch": "crack", "loose_part": "apart", "part_broken_off": "crack", "coating_peel": "flakes",
    "insulation_break": "crack", "jaws_off": "apart", "seal_torn": "crack", "discolored": "other",
    "not_apart": "together", "cannot_reach": "blocked", "picture_unclear": "camera", "splash": "water",
    "bad_smell": "other", "missing": "minus", "extra": "plus", "glove_torn": "gloves",
}  # fmt: skip
"""Codes of findings, and other names that share a drawing; a finding without one goes by its words."""

_ICONS.update({name: _ICONS[drawing] for name, drawing in _SAME.items()})
ICONS = frozenset(_ICONS)
