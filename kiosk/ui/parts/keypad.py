"""Big digits in fixed places. What is typed shows as rings (a PIN) or as digits."""

from typing import Literal

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.ring import draw_ring
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import EXTRA, REGULAR, T

KEY_W_MM, KEY_H_MM, GAP_MM, ENTRY_MM = 24.0, 20.0, 4.0, 18.0
SMALL_H_MM = 18.0  # on the 10-inch screen the frame leaves no more
_ROWS = ("123", "456", "789")  # as on a telephone and a cash machine


class KeyPad(TouchGround):
    """Digits, a key that erases one, and a key that ends; that one is there when enough has been typed."""

    keeps_sides = True

    changed = Signal(str)
    finished = Signal(str)

    def __init__(
        self,
        glass: Glass,
        *,
        entry: Literal["rings", "digits"] = "digits",
        least: int = 1,
        most: int = 6,
        decimals: bool = False,
        erase: str = "",
        done: str = "",
        prefix: str = "",
        suffix: str = "",
        parent: QWidget | None = None,
    ) -> None:
        super().__init__(glass, parent)
        self._entry, self._least, self._most, self._decimals = entry, least, most, decimals
        self._prefix, self._suffix, self._text = prefix, suffix, ""
        self._ready = True
        self._cells: list[tuple[KeyButton, int, int, int]] = []
        for row, digits in enumerate(_ROWS):
            for column, digit in enumerate(digits):
                self._add(self._digit_key(digit), column, row)
        self._add(self._digit_key("0"), 1, 3)
        if decimals:
            self._add(self._digit_key("."), 2, 3)
        self._erase = KeyButton(glass, erase, action="erase", name="erase", repeats=True, parent=self)
        self._erase.tapped.connect(self.erase)
        self._add(self._erase, 0, 3)
        self._done = KeyButton(glass, done, kind="main", action="done", name="done", size=T.T3, parent=self)
        self._done.tapped.connect(self.finish)
        self._add(self._done, 3, 3, 2)
        self._show()

    def _digit_key(self, digit: str) -> KeyButton:
        key = KeyButton(self.glass, digit, action=digit, name=f"digit {digit}", size=T.T5, repeats=True, parent=self)
        key.tapped_action.connect(self._on_digit)
        return key

    def _add(self, key: KeyButton, column: int, row: int, span: int = 1) -> None:
        self._cells.append((key, column, row, span))

    @property
    def _key_h(self) -> float:
        return SMALL_H_MM if self.glass.metrics.small else KEY_H_MM

    @property
    def _keys_top(self) -> float:
        """The 10-inch screen has its entry beside the digits."""
        return 0.0 if self.glass.metrics.small else ENTRY_MM + GAP_MM

    def size_mm(self) -> tuple[float, float]:
        """Width and height that it needs."""
        return 5 * KEY_W_MM + 4 * GAP_MM, self._keys_top + 4 * self._key_h + 3 * GAP_MM

    def text(self) -> str:
        """What has been typed, without the prefix."""
        return self._text

    def clear(self) -> None:
        self._set("")

    def set_prefix(self, prefix: str, suffix: str = "") -> None:
        """What stands before and behind the number: TR-, kg."""
        self._prefix, self._suffix = prefix, suffix
        self.update()

    def press(self, character: str) -> None:
        """One character, from a key here or from a keyboard; what does not belong is passed over."""
        point = character == "." and self._decimals and "." not in self._text and self._text != ""
        if (point or (character.isascii() and character.isdigit())) and len(self._text) < self._most:
            self._set(self._text + character)

    def typed(self, text: str) -> None:
        """A digit, a backspace or Enter from a keyboard."""
        if not text:
            return
        if text in "\r\n":
            self.finish()
        elif text == "\b":
            self.erase()
        else:
            self.press(text)

    def erase(self) -> None:
        self._set(self._text[:-1])

    def _on_digit(self, digit: str, _payload: object) -> None:
        self.press(digit)

    def finish(self) -> None:
        """What the done key does, also for a keyboard's Enter."""
        if self._can_end:
            self.finished.emit(self._text)

    def set_ready(self, ready: bool) -> None:
        """Whether enough else is chosen beside the pad; the done key is there only then."""
        self._ready = ready
        self._show()

    @property
    def _can_end(self) -> bool:
        return self._ready and len(self._text) >= self._least

    def _set(self, text: str) -> None:
        self._text = text
        self._show()
        self.changed.emit(text)

    def _show(self) -> None:
        self._done.setVisible(self._can_end)
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        mm = self.glass.mm
        for key, column, row, span in self._cells:
            x, y = column * (KEY_W_MM + GAP_MM), self._keys_top + row * (self._key_h + GAP_MM)
            width = span * KEY_W_MM + (span - 1) * GAP_MM
            left, top = int(mm(x)), int(mm(y))
            key.setGeometry(left, top, int(mm(x + width)) - left, int(mm(y + self._key_h)) - top)

    def draw(self, pen: Pen) -> None:
        column = KEY_W_MM + GAP_MM
        small = self.glass.metrics.small
        box = (
            pen.box(3 * column, 0, 2 * column - GAP_MM, ENTRY_MM)
            if small
            else pen.box(0, 0, 3 * column - GAP_MM, ENTRY_MM)
        )
        pen.plate(box, "well", outside="field")
        if self._entry == "rings":
            self._draw_rings(pen, box)
            return
        inside = box.adjusted(pen.mm(4), 0, -pen.mm(4), 0)
        before = pen.text(inside, self._prefix, T.T4, REGULAR, fg="ink2", bg="well", mono=True)
        after = pen.text(inside, self._suffix, T.T4, REGULAR, fg="ink2", bg="well", align="right")
        start = before.right() + pen.mm(2) if self._prefix else inside.left()
        room = QRectF(start, inside.top(), inside.right() - after.width() - start, inside.height())
        pen.text(room, self._text, ((T.T5, 1), (T.T4, 1)), EXTRA, bg="well", mono=True)

    def _draw_rings(self, pen: Pen, box: QRectF) -> None:
        step = min(pen.mm(12), box.width() / (self._most + 0.5))
        side = min(pen.mm(7), step * 0.66)
        left = box.center().x() - step * (self._most - 1) / 2 - side / 2
        for n in range(self._most):
            ring = QRectF(left + n * step, box.center().y() - side / 2, side, side)
            draw_ring(pen, ring, "now" if n < len(self._text) else "todo", on="ink")
