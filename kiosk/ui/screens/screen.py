"""What every screen has: one signal for what it sends, the frame filled from its view, keys from a keyboard."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.core.commands import FirstAid
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.glass import Glass


class Screen(ScreenFrame):
    """A screen. `sent` carries a `kiosk.core.commands.Send`; keys whose view says what they send need nothing more."""

    sent = Signal(object)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._clock = ""
        self._head = views.Head(title="")
        self._shown_hand: views.Hand | None = None
        self.tapped_action.connect(self._on_action)

    def set_clock(self, clock: str) -> None:
        """The time of day in the head rail, as it is to be read."""
        self._clock = clock
        self.show_head(self._head, clock)

    def key_typed(self, text: str) -> None:
        """One character, or "\\b" or "\\n", from a keyboard; most screens have no use for it."""

    def foot_pressed(self) -> bool:
        """The foot key was pressed. True: this screen has done what it does here; most screens leave it alone."""
        return False

    def show_rails(self, view: views.Screen, hand: views.Hand | None = None) -> None:
        """Fill head rail and hand rail; keys that stay the same stay the same widgets."""
        self._head, hand = view.head, hand or view.hand
        self.show_head(view.head, self._clock)
        if hand != self._shown_hand:
            self._shown_hand = hand
            self.show_hand(hand)

    def send(self, what: object) -> None:
        """Send it, if there is anything to send."""
        if what is not None:
            self.sent.emit(what)

    def _on_action(self, action: str, payload: object) -> None:
        self.send(FirstAid() if action == "aid" else payload)
