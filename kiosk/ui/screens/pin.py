"""A person's number on big keys; only rings show."""

from dataclasses import replace
from secrets import token_hex
from typing import Any

from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import EnterPin, SetPin
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.screens.padded import PadScreen


class PinScreen(PadScreen):
    """Sends EnterPin when the done key is touched, or when no more digits can follow.

    After a second typing it sends SetPin, or what the view sends in its place.
    """

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.PinView | None = None
        self._first = ""  # of a new PIN, until it was typed again

    def show_view(self, view: views.PinView) -> None:
        """Show whose number is asked. The same page again, as news of another station brings it, takes no digit off."""
        before, self._view = self._view, view
        if self.isVisible() and before is not None and replace(before, head=view.head) == view:
            self.show_words(view)
            return
        self._first = ""
        if self.pad is None or before is None or (before.least, before.most) != (view.least, view.most):
            self._build(view)
        self.show_words(view)
        if self.pad is not None:
            self.pad.clear()

    def _build(self, view: views.PinView) -> None:
        self.clear_slot()
        self.show_words(view)
        pad = KeyPad(self.glass, entry="rings", least=view.least, most=view.most, erase=view.erase, done=view.done)
        pad.changed.connect(self._on_changed)
        pad.finished.connect(self._on_finished)
        self.place_pad(pad, [])

    def _on_changed(self, pin: str) -> None:
        if self._view is not None and len(pin) == self._view.most:
            self._on_finished(pin)

    def _on_finished(self, pin: str) -> None:
        view = self._view
        if view is None:
            return
        if not view.again:
            if self.pad is not None:
                self.pad.clear()
            self.send(EnterPin(person=view.person, pin=pin, ruling=view.ruling, second=view.second, salt=token_hex(16)))
        elif not self._first:
            self._ask_again(pin, title=view.again)
        elif pin == self._first:
            send: Any = view.send or SetPin(person=view.person, pin="", salt="")
            self.send(replace(send, pin=pin, salt=token_hex(16)))
        else:
            self._ask_again("", notice=view.differs)

    def _ask_again(self, first: str, **words: str) -> None:
        """The same pad again, under other words; the first typing is kept here and nowhere else."""
        self._first = first
        if self._view is not None and self.pad is not None:
            self.show_words(replace(self._view, **words))  # type: ignore[arg-type]
            self.pad.clear()
