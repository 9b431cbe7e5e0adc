"""Letters for a short note, from the glass or from a keyboard."""

from dataclasses import replace
from typing import Any

from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.letters import LetterPad
from kiosk.ui.screens.doing import DoingScreen


class NoteScreen(DoingScreen):
    """Sends what the view's `done` says, with the note put in."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.pad: LetterPad | None = None
        self._send: Any = None
        self._field = "note"

    def show_view(self, view: views.NoteView) -> None:
        """Show the letters; what is written stays while the same note is asked for."""
        if not self.another(view, big=False):
            return
        self._send, self._field = view.done.send, view.field
        width, height = self.slot_mm
        edge = self.glass.metrics.edge_mm
        self.pad = LetterPad(self.glass, most=view.most, space=view.space, erase=view.erase, done=view.done.label)
        self.pad.finished.connect(self._finish)
        self.place(self.pad, edge, 0, width - 2 * edge, height - (1 if self.small else 6))

    def key_typed(self, text: str) -> None:
        """A letter, a backspace or Enter from a keyboard."""
        if self.pad is None:
            return
        if text == "\b":
            self.pad.erase()
        elif text in ("\r", "\n"):
            self._finish(self.pad.text().strip())
        else:
            self.pad.press(text)

    def _finish(self, note: str) -> None:
        if note:
            self.send(replace(self._send, **{self._field: note}))
