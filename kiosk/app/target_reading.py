"""The scopes' test target read on the worker, told to the log: figures only, the picture is not kept."""

import logging
from concurrent.futures import Executor
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, Slot
from PySide6.QtGui import QImage

from kiosk.app.errand import Errand
from kiosk.app.still_pictures import WIDEST_PX, array_of
from kiosk.core.commands import KeepTarget, Page
from kiosk.core.scope_target import TargetFigures
from kiosk.devices.picture import Still

if TYPE_CHECKING:
    from kiosk.app.kiosk import Kiosk

log = logging.getLogger(__name__)


class TargetReading(QObject):
    """Follows the page of the test target, of one running bench."""

    def __init__(self, kiosk: "Kiosk", worker: Executor) -> None:
        super().__init__()
        self._kiosk, self._errand = kiosk, Errand(worker, self)
        self._errand.came.connect(self.tell)
        window: Any = kiosk.window
        window.target_wanted.connect(self.read)
        window.target_said.connect(self.say)

    @property
    def busy(self) -> bool:
        """Is a picture being read?"""
        return self._errand.busy

    @Slot(object, str)
    def read(self, still: Still, scope: str) -> None:
        """Read the target in this still."""
        kept = self._kiosk.session.bench.targets.get(scope)
        self.say("")
        self._errand.send(_read, still.frame.image, scope, kept.first.figures if kept else None)

    @Slot(object)
    def tell(self, came: tuple[str, KeepTarget | None]) -> None:
        """What was read goes to the log; what could not be is one sentence. Nothing stops for either."""
        fault, told = came
        if told is not None:
            turn = self._kiosk.session.turn
            self._kiosk.session.send(told)
            self._kiosk.session.turn = turn
        else:
            self.say(f"notice.target.{fault}")
        self._kiosk.window.target_settled()
        self._kiosk.repaint()

    @Slot(str)
    def say(self, key: str) -> None:
        """A quiet sentence on that page, by its key; "" takes the one before away."""
        turn = self._kiosk.session.turn
        if turn is not None and turn.page is Page.TARGET:
            self._kiosk.session.notice = (key, {}) if key else None
            self._kiosk.repaint()


def _read(image: QImage, scope: str, first: TargetFigures | None) -> tuple[str, KeepTarget | None]:
    """On the worker: the figures, or why there are none."""
    from kiosk.sight.target import NoTarget, color_shift, read_target

    try:
        if image.width() > WIDEST_PX:
            image = image.scaledToWidth(WIDEST_PX, Qt.TransformationMode.SmoothTransformation)
        figures = read_target(array_of(image))
    except NoTarget as fault:
        return fault.key, None
    except Exception:
        log.exception("the test target could not be read")
        return "not_found", None
    return "", KeepTarget(scope=scope, figures=figures, shift=color_shift(first, figures) if first else 0)
