"""Things to read: words that wrap and are never cut, and plates without an edge."""

from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lines import Choices
from kiosk.ui.parts.pen import Pen, Side, Up
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import LINE_PITCH, REGULAR, T


class Words(Drawn):
    """A text in its box. `size` may be a row of (size, most lines) to try. It lets touches through to its parent."""

    def __init__(
        self,
        glass: Glass,
        text: str = "",
        *,
        size: T | Choices = T.T2,
        weight: int = REGULAR,
        fg: str = "ink",
        bg: str = "field",
        lines: int = 1,
        align: Side = "left",
        up: Up = "middle",
        mono: bool = False,
        pitch: float = LINE_PITCH,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(glass, parent)
        self.text, self._size, self._weight, self._fg, self._bg = text, size, weight, fg, bg
        self._lines, self._align, self._up, self._mono, self._pitch = lines, align, up, mono, pitch
        self.setAccessibleName(text)

    def set_text(self, text: str, fg: str = "") -> None:
        """New words, and a new color if one is named."""
        self.text, self._fg = text, fg or self._fg
        self.setAccessibleName(text)
        self.update()

    def draw(self, pen: Pen) -> None:
        pen.text(
            self.area(),
            self.text,
            self._size,
            self._weight,
            fg=self._fg,
            bg=self._bg,
            align=self._align,
            up=self._up,
            lines=self._lines,
            mono=self._mono,
            pitch=self._pitch,
        )


class Panel(TouchGround):
    """A plate without an edge, which nobody can touch; parts may lie on it."""

    def __init__(
        self, glass: Glass, fill: str = "plate", *, outside: str = "field", parent: QWidget | None = None
    ) -> None:
        super().__init__(glass, parent)
        self._fill, self._outside = fill, outside

    def draw(self, pen: Pen) -> None:
        pen.plate(self.area(), self._fill, outside=self._outside)
