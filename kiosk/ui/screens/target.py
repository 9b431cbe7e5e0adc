"""The scopes' test target: the picture as it comes, one key that reads it, and the figures beside the first day's."""

from typing import Any

from PySide6.QtCore import QSizeF, Signal
from PySide6.QtWidgets import QWidget

from kiosk.core import views
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.lens import Lens
from kiosk.ui.parts.lines import Choices, fit_lines
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.live import LiveScreen
from kiosk.ui.theme import BOLD, REGULAR, T

SIDE_MM, SIDE_SMALL_MM = 118.0, 84.0
KEY_MM, KEY_SMALL_MM = 24.0, 18.0
_READ: Choices = ((T.T2, 8), (T.T1, 9), (T.T1, 12))


class TargetScreen(LiveScreen):
    """`wanted` carries a still to be read and the scope it was taken through; `said` the key of a sentence."""

    wanted = Signal(object, str)
    said = Signal(str)

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self._view: views.TargetView | None = None
        self._reading: Any = None  # the still that is being read
        self._made_of: object = None

    def show_view(self, view: views.TargetView) -> None:
        """Show what was read so far."""
        self._view = view
        self._show()

    def begin(self) -> None:
        super().begin()
        self._reading = None
        self._show()

    def settled(self) -> None:
        """What was asked for is read, or can not be."""
        self._reading = None
        self._show()

    def foot_pressed(self) -> bool:
        """The foot key and the scope's own key read."""
        self.read()
        return True

    def read(self) -> None:
        """Have the newest frame read, where the source gives any now."""
        source, view = self.source, self._view
        if view is None or self._reading is not None:
            return
        still = source.still() if source is not None and self.live else None
        if still is None:
            self.said.emit("refused.still_source")
            return
        self._reading = still
        self._show()
        self.wanted.emit(still, view.scope)

    def _show(self) -> None:
        view = self._view
        if view is None:
            return
        other = self.another(view, big=False, roomy=True)
        made_of = (self._reading is not None, view.lines, view.worse, self.slot_mm)
        if other or made_of != self._made_of:
            self._made_of = made_of
            self.clear_slot()
            self._fill(view)
        self.look()

    def _fill(self, view: views.TargetView) -> None:
        width, height = self.slot_mm
        small, edge = self.small, self.glass.metrics.edge_mm
        gap, low = (4.0 if small else 6.0), height - (2.5 if small else 6)
        side, key = (SIDE_SMALL_MM, KEY_SMALL_MM) if small else (SIDE_MM, KEY_MM)
        wide = width - 2 * edge - side - gap
        self.lens = Lens(self.glass)
        self.place(self.lens, edge, 0, wide, low - key - gap)
        busy = self._reading is not None
        read = KeyButton(
            self.glass,
            view.reading if busy else view.read,
            kind="plain" if busy else "main",
            action="read target",
            name="read target",
            size=T.T3,
        )
        read.set_asleep(busy)
        self.place(read, edge, low - key, 80 if not small else 60, key)
        x = width - edge - side
        self._fill_read(view, x, side, low if small else low - key - gap)
        beside = edge + (60 if small else 80) + gap
        decides = Words(self.glass, view.decides, size=((T.T2, 2), (T.T1, 3)), fg="ink2", pitch=1.4)
        self.place(decides, beside, low - key, (x - gap if small else width - edge) - beside, key)

    def _fill_read(self, view: views.TargetView, x: float, wide: float, high: float) -> None:
        """What was read, and right below it what is worse than on the first day."""
        read, mm = "\n".join(view.lines), self.glass.mm
        for n, pitch in enumerate((1.5, 1.35)):
            room = QSizeF(mm(wide), mm(high * (0.62 if n == 0 else 0.74)))
            got = fit_lines(self.glass, read, room, _READ, pitch=pitch)
            if got.fits:
                break
        stands = (got.height + got.descent) / mm(1) + 1
        self.place(Words(self.glass, read, size=_READ, weight=REGULAR, up="top", pitch=pitch), x, 0, wide, stands)
        worse = Words(
            self.glass, view.worse, size=((T.T2, 4), (T.T1, 5), (T.T1, 6)), weight=BOLD, up="top", pitch=pitch
        )
        self.place(worse, x, stands + 4, wide, high - stands - 4)

    def framed(self, frame: Any) -> None:
        if self._reading is None and self.lens is not None and self.live:
            self.lens.show_image(frame.image)

    def look(self) -> None:
        """The still that is read, the newest frame, or the sentence of a source that gives none."""
        if self._view is not None:
            self.show_still(self._reading, self._view.states)

    def _on_action(self, action: str, payload: object) -> None:
        if action == "read target":
            self.read()
        else:
            super()._on_action(action, payload)
