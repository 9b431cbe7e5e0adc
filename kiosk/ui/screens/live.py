"""What the screens of a live picture share: they hear its source while they are shown, and only then."""

from typing import Any

from PySide6.QtCore import Slot
from PySide6.QtGui import QHideEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.lens import Lens, LensSource
from kiosk.ui.screens.doing import DoingScreen
from kiosk.ui.screens.photo import NAME_LETTERS, pieces


class LiveScreen(DoingScreen):
    """Override `look` to fill the lens from the source as it stands, and `framed` to take a picture that came."""

    def __init__(self, glass: Glass, parent: QWidget | None = None) -> None:
        super().__init__(glass, parent)
        self.source: LensSource | None = None
        self.lens: Lens | None = None
        self._hears = False

    @property
    def live(self) -> bool:
        """Do pictures come now?"""
        return self.source is not None and self.source.state == "live"

    def set_source(self, source: LensSource) -> None:
        """Where the pictures come from."""
        hears = self._hears
        self._hear(False)
        self.source = source
        if hears:
            self._hear(True)

    def show_still(self, still: Any, states: tuple[tuple[str, str], ...]) -> None:
        """This still, or the newest frame; where neither is there, what `states` says of the source, with its file."""
        source, lens = self.source, self.lens
        if lens is None:
            return
        if still is None and source is not None and self.live:
            still = source.still()
        if still is not None:
            lens.show_image(still.frame.image)
            return
        state, about = (source.state, source.about) if source is not None else ("none", "")
        lens.show_words(dict(states).get(str(state), "").format(name="\n".join(pieces(about, NAME_LETTERS))))

    def framed(self, frame: Any) -> None:
        """A picture came."""

    def look(self) -> None:
        """Show what the source gives now."""

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        if not event.spontaneous():
            self._hear(True)
            self.look()

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        if not event.spontaneous():
            self._hear(False)

    def _hear(self, hears: bool) -> None:
        source = self.source
        if source is not None and hears is not self._hears:
            for signal, slot in ((source.framed, self._on_frame), (source.state_changed, self._on_state)):
                (signal.connect if hears else signal.disconnect)(slot)
        self._hears = hears

    @Slot(object)
    def _on_frame(self, frame: Any) -> None:
        self.framed(frame)

    @Slot(object)
    def _on_state(self, _state: object) -> None:
        self.look()
