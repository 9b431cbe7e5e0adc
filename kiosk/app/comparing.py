"""A still set beside the known look, on the worker: turned onto each other, and what departs. Kept nowhere.

Asked for by the page that is only there after the answer; what comes is thrown away where that page is gone.
"""

import hashlib
import logging
from concurrent.futures import Executor
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtGui import QImage, QImageReader

from kiosk.app.errand import Errand
from kiosk.app.still_pictures import WIDEST_PX, array_of
from kiosk.core.still import Compared, Outlined, Turned
from kiosk.core.views import StillsView

if TYPE_CHECKING:
    from kiosk.app.kiosk import Kiosk
    from kiosk.sight.registration import Registration

log = logging.getLogger(__name__)


class Comparing(QObject):
    """Follows the page that compares, of one running bench."""

    def __init__(self, kiosk: "Kiosk", worker: Executor) -> None:
        super().__init__()
        self._kiosk, self._errand = kiosk, Errand(worker, self)
        self._errand.came.connect(self.show)
        window: Any = kiosk.window
        window.compare_wanted.connect(self.compare)

    @property
    def busy(self) -> bool:
        """Are two pictures being compared?"""
        return self._errand.busy

    @Slot(str, str)
    def compare(self, today: str, known: str) -> None:
        """Compare two kept pictures, the second "" where there is no known look."""
        view, kiosk = self._kiosk.session.view(), self._kiosk
        paths = kiosk.still(today), kiosk.still(known) if known else None
        sha256 = view.known_sha256 if isinstance(view, StillsView) and view.known == known else ""
        self._errand.send(_compared_or_none, today, known, *paths, sha256)

    @Slot(object)
    def show(self, compared: Compared) -> None:
        """Show what came, where it is still asked for."""
        view = self._kiosk.session.view()
        if isinstance(view, StillsView) and (view.today, view.known) == (compared.today, compared.known):
            self._kiosk.window.show_compared(compared)


def _compared_or_none(today: str, known: str, path: Path, known_path: Path | None, sha256: str) -> Compared:
    """On the worker. Whatever goes wrong there, the page does not wait: nothing was compared."""
    try:
        return _compared(today, known, path, _accepted(known_path, sha256))
    except Exception:
        log.exception("two pictures could not be compared")
        return Compared(
            today=today, known=known, width=1, turned=None, read=False, outlined=(), light="#FFFFFF", dark="#000000"
        )


def _accepted(path: Path | None, sha256: str) -> Path | None:
    """The known look's file, where its bytes are those that were accepted; else there is none to compare with."""
    if path is None or not path.is_file():
        return None
    return path if hashlib.sha256(path.read_bytes()).hexdigest() == sha256 else None


def _compared(today: str, known: str, path: Path, known_path: Path | None) -> Compared:
    """On the worker. A picture that is gone or can not be read is one in which nothing was compared."""
    from kiosk.sight.drawing import DARK, LIGHT
    from kiosk.sight.pointing import point_out

    image = _loaded(path)
    other = _loaded(known_path) if known_path is not None else QImage()
    found, against = None, None
    if not image.isNull() and min(image.width(), image.height()) >= 16:
        picture = array_of(image)
        if not other.isNull() and other.size() == image.size():
            found = point_out(picture, array_of(other))
        against = found.against if found is not None else None
        found = found or point_out(picture)
    return Compared(
        today=today,
        known=known,
        width=max(1, image.width()),
        turned=_turned(against),
        read=found is not None,
        outlined=tuple(
            Outlined(points=tuple((float(x), float(y)) for x, y in mark.outline), difference=mark.difference)
            for mark in (found.marks if found else ())
        ),
        light="#{:02X}{:02X}{:02X}".format(*LIGHT),
        dark="#{:02X}{:02X}{:02X}".format(*DARK),
    )


def _loaded(path: Path) -> QImage:
    """The picture as it is kept, no wider than what is compared."""
    reader = QImageReader(str(path))
    reader.setAutoTransform(True)  # upright, as it is shown
    image = reader.read()
    wide = image.width() > WIDEST_PX
    return image.scaledToWidth(WIDEST_PX, Qt.TransformationMode.SmoothTransformation) if wide else image


def _turned(against: "Registration | None") -> Turned | None:
    if against is None:
        return None
    return Turned(
        turn_deg=against.turn_deg,
        scale=against.scale,
        today=(against.today.x, against.today.y),
        known=(against.known.x, against.known.y),
    )
