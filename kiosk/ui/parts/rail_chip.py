"""The notice in the head rail: a yellow plate with a triangle and words. Where it leads somewhere it is a key."""

from collections.abc import Hashable

from PySide6.QtCore import QRectF, QSizeF
from PySide6.QtWidgets import QWidget

from kiosk.core.commands import Send
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import draw_icon
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.theme import BOLD, T

KEY_MM = 18.0
"""The rail is lower than a finger needs: the touch reaches this far down from the screen's edge."""
BARE_MM = 10.0  # the triangle alone
PAD_MM = 11.5  # triangle and margins beside the words


def chip_mm(glass: Glass, words: str) -> float:
    """Width with these words on one line; without any the triangle stands alone."""
    if not words:
        return BARE_MM
    box = QSizeF(glass.mm(400), glass.mm(glass.metrics.head_mm))
    return max(fit_lines(glass, words, box, _choices(glass)[:1], BOLD).widths) / glass.mm(1) + PAD_MM + 0.5


def chip_fits(glass: Glass, words: str, wide_mm: float) -> bool:
    """Do these words stand in a plate of the rail, so many mm wide?"""
    if not words:
        return wide_mm >= BARE_MM
    box = QSizeF(glass.mm(wide_mm - PAD_MM), glass.mm(glass.metrics.head_mm - 2))
    return fit_lines(glass, words, box, _choices(glass), BOLD, pitch=1.45).fits


def draw_chip(pen: Pen, room: QRectF, words: str, *, edge: str = "", pressed: bool = False) -> None:
    """The plate over its whole room."""
    fill, ink = ("ink", "on_fill") if pressed else ("notice", "on_notice")
    pen.plate(room, fill, edge, outside="rail")
    icon = QRectF(room.left() + pen.mm(2), room.top(), pen.mm(6), room.height())
    draw_icon(pen.painter, "warning", icon, pen.color(ink), pen.color(fill))
    box = room.adjusted(pen.mm(9.5), 0, -pen.mm(2), 0)
    pen.text(box, words, _choices(pen.glass), BOLD, fg=ink, bg=fill, pitch=1.45)


def _choices(glass: Glass) -> Choices:
    return ((T.T1, 1),) if glass.metrics.small else ((T.T2, 1), (T.T1, 1), (T.T1, 2))


class RailChip(TouchButton):
    """A notice that leads to what it is about."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, "about", parent=parent)
        self._words, self._plate = "", QRectF()
        self.setObjectName("about")
        self.hide()

    def stand(self, plate: QRectF, words: str, told: str, leads: Send) -> None:
        """Stand where the rail leaves room for it. `told` is the whole notice, which may be longer than its words."""
        self._words, self.payload = words, leads
        self.setAccessibleName(told)
        wide = max(plate.width(), self.glass.mm(20))
        left = round(plate.right() - wide)
        self._plate = plate.translated(-left, 0)
        self.setGeometry(left, 0, round(wide), round(max(self.glass.mm(KEY_MM), plate.bottom())))
        self.show()
        self.update()

    def look(self) -> Hashable:
        return (self._words, self._plate.getRect(), self.pressed, self.awake)

    def draw(self, pen: Pen) -> None:
        edge = "on_notice" if self.awake and not self.pressed else ""
        draw_chip(pen, self._plate, self._words, edge=edge, pressed=self.pressed)
