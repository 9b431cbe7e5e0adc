"""A number on big keys: a label that the scanner cannot read, the scale's reading, a label's wet time."""

from dataclasses import replace
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import SetLabelTime, Weigh
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.padded import PadScreen
from kiosk.ui.theme import T


class NumberScreen(PadScreen):
    """Sends Weigh or SetLabelTime; `typed` carries ("tray", text), because what a label means is resolved outside."""

    typed = Signal(str, str)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.NumberView | None = None
        self._chosen = ""
        self.choices: list[KeyButton] = []

    def show_view(self, view: views.NumberView) -> None:
        """Show what is asked; digits and choices stay when only a notice came."""
        before, self._view = self._view, view
        if before is None or _keys_of(before) != _keys_of(view):
            self._build(view)
        self.show_words(view)

    def begin(self) -> None:
        """Another question begins with no digits: the last number is not typed again by half."""
        super().begin()
        if self.pad is not None and self.pad.text() and self._view is not None:
            self._build(self._view)

    def key_typed(self, text: str) -> None:
        """Digits as on every pad; a letter chooses what begins with it."""
        wanted = [word for word in self._words if text and word.casefold().startswith(text.casefold())]
        if wanted:
            self._choose(wanted[0])
        else:
            super().key_typed(text)

    @property
    def _words(self) -> tuple[str, ...]:
        view = self._view
        return () if view is None else view.prefixes or view.units

    def _build(self, view: views.NumberView) -> None:
        self.clear_slot()
        self.show_words(view)
        pad = KeyPad(
            self.glass, entry="digits", most=view.most, decimals=view.decimals, erase=view.erase, done=view.done
        )
        pad.finished.connect(self._on_finished)
        self.choices = [
            KeyButton(self.glass, word, action=word, name=f"choose {word}", size=T.T4) for word in self._words
        ]
        for key in self.choices:
            key.tapped_action.connect(self._choose)
        self.place_pad(pad, list(self.choices))
        self._choose(view.prefixes[0] if view.prefixes else "")

    def _choose(self, word: str, _payload: object = None) -> None:
        """A prefix or unit is kept here and sent with the number."""
        view, pad = self._view, self.pad
        if view is None or pad is None:
            return
        self._chosen = word
        for key in self.choices:
            key.set_chosen(key.action == word)
        pad.set_prefix(word if view.prefixes else "", word if view.units else "")
        pad.set_ready(bool(word) or not view.units)

    def _on_finished(self, text: str) -> None:
        view = self._view
        if view is None:
            return
        if view.purpose == "tray":
            self.typed.emit(view.purpose, self._chosen + text)
        elif view.purpose == "weight":
            weigh = view.send if isinstance(view.send, Weigh) else Weigh(value="", unit="")
            self.send(replace(weigh, value=text.rstrip("."), unit=self._chosen))
        elif view.purpose == "minutes":
            self.send(SetLabelTime(minutes=int(text)))
        else:
            command: Any = view.send
            typed = view.decimals or view.as_text
            self.send(replace(command, **{view.field: text.rstrip(".") if typed else int(text)}))


def _keys_of(view: views.NumberView) -> tuple[object, ...]:
    return view.purpose, view.prefixes, view.units, view.decimals, view.most, view.done
