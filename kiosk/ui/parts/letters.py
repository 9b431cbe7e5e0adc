"""Letters on the glass, for short notes; a keyboard types into the same text."""

from PySide6.QtCore import QRectF, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lines import fit_lines
from kiosk.ui.parts.pen import Pen
from kiosk.ui.parts.touch import TouchGround
from kiosk.ui.theme import BOLD, T

ROWS = ("1234567890", "QWERTYUIOP", "ASDFGHJKL-", "ZXCVBNM,.")
SECOND = ("1234567890", "ÁÉÍÓÚÜÑÇÄÖ", "ÀÈÌÒÙÂÊÎÔ'", "():;+&%#!")
"""Behind the turning key, in the same places: accents of names, the apostrophe and other signs."""
TURN_WORDS = ("áñ'", "abc")
GAP_MM, SMALL_GAP_MM, ENTRY_MM, SMALL_ENTRY_MM = 4.0, 2.0, 18.0, 9.0


class LetterPad(TouchGround):
    """Ten keys a row over its whole width, erase at the end of the last row; space, "/", the key that turns to accents
    and signs, and the ending key below.
    """

    keeps_sides = True

    changed = Signal(str)
    finished = Signal(str)

    def __init__(
        self, glass: Glass, *, most: int, space: str, erase: str, done: str, parent: QWidget | None = None
    ) -> None:
        super().__init__(glass, parent)
        self._most, self._text = most, ""
        self._rows = [[self._letter_key(letter) for letter in row] for row in ROWS]
        self._erase = KeyButton(glass, "", icon="erase", action="erase", name="erase", repeats=True, parent=self)
        self._erase.setAccessibleName(erase)
        self._erase.tapped.connect(self.erase)
        self._rows[-1].append(self._erase)
        self._space = KeyButton(glass, space, action=" ", name="space", repeats=True, parent=self)
        self._space.tapped_action.connect(self._on_letter)
        self._slash = self._letter_key("/")
        self._turned = False
        self._turn = KeyButton(glass, TURN_WORDS[0], action="turn", name="more letters", parent=self)
        self._turn.tapped.connect(self.turn)
        self._done = KeyButton(
            glass,
            done,
            kind="main",
            action="done",
            name="done",
            size=T.T2 if glass.metrics.small else T.T3,
            parent=self,
        )
        self._done.tapped.connect(self._finish)
        for key in (*(key for row in self._rows for key in row), self._space, self._slash, self._turn, self._done):
            key.role = "letter"
        self._done.setVisible(False)

    def _letter_key(self, letter: str) -> KeyButton:
        key = KeyButton(
            self.glass, letter, action=letter, name=f"letter {letter}", size=T.T3, repeats=True, parent=self
        )
        key.tapped_action.connect(self._on_letter)
        return key

    def turn(self) -> None:
        """To the accents and signs, or back to the letters; every key stays where it is."""
        self._turned = not self._turned
        self._turn.set_label(TURN_WORDS[self._turned])
        letters = "".join(SECOND if self._turned else ROWS)
        keys = [key for row in self._rows for key in row if key is not self._erase]
        for key, letter in zip(keys, letters, strict=True):
            key.action = letter
            key.setObjectName(f"letter {letter}")
            key.set_label(letter)

    def text(self) -> str:
        return self._text

    def set_text(self, text: str) -> None:
        self._text = text[: self._most]
        self._done.setVisible(bool(self._text.strip()))
        self.update()
        self.changed.emit(self._text)

    def press(self, character: str) -> None:
        """One printable character, from a key here or from a keyboard. Letters begin a sentence large, then small."""
        if len(character) == 1 and character.isprintable() and len(self._text) < self._most:
            self.set_text(self._text + character)

    def erase(self) -> None:
        self.set_text(self._text[:-1])

    def _on_letter(self, letter: str, _payload: object) -> None:
        begins = not self._text.strip() or self._text.rstrip().endswith(".")
        self.press(letter if begins else letter.lower())

    def _finish(self) -> None:
        if self._text.strip():
            self.finished.emit(self._text.strip())

    def resizeEvent(self, event: QResizeEvent) -> None:
        super().resizeEvent(event)
        mm, small = self.glass.mm, self.glass.metrics.small
        gap, entry = mm(SMALL_GAP_MM if small else GAP_MM), mm(SMALL_ENTRY_MM if small else ENTRY_MM)
        wide = (self.width() - 9 * gap) / 10
        high = (self.height() - entry - 5 * gap) / 5
        for n, row in enumerate([*self._rows]):
            for column, key in enumerate(row):
                self._put(key, column * (wide + gap), entry + gap + n * (high + gap), wide, high)
        last = entry + gap + 4 * (high + gap)
        self._put(self._space, 0, last, 4 * wide + 3 * gap, high)
        self._put(self._slash, 4 * (wide + gap), last, wide, high)
        self._put(self._turn, 5 * (wide + gap), last, wide, high)
        self._put(self._done, 6 * (wide + gap), last, 4 * wide + 3 * gap, high)

    def _put(self, key: KeyButton, x: float, y: float, wide: float, high: float) -> None:
        key.setGeometry(round(x), round(y), round(wide), round(high))

    def draw(self, pen: Pen) -> None:
        high = pen.mm(SMALL_ENTRY_MM if self.glass.metrics.small else ENTRY_MM)
        box = QRectF(0, 0, self.width(), high)
        pen.plate(box, "well", outside="field")
        inside = box.adjusted(pen.mm(4), pen.mm(0.4), -pen.mm(6), -pen.mm(0.4))
        choices = ((T.T3, 1), (T.T2, 1), (T.T1, 2))
        stands = pen.text(inside, self._text, choices, BOLD, bg="well", pitch=1.4)
        got = fit_lines(self.glass, self._text, inside.size(), choices, BOLD, pitch=1.4)
        last = QRectF(stands.left() + got.widths[-1], stands.bottom() - got.capital, 0, got.capital)
        if not self._text:
            last = QRectF(inside.left(), inside.center().y(), 0, 0)
        pen.fill(QRectF(last.right() + pen.mm(1), last.center().y() - pen.mm(2.6), pen.mm(0.6), pen.mm(5.2)), "ink")
