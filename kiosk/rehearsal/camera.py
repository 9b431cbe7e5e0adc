"""Pictures of the screens as they are played, and stills of a tube for the scenario's photo."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QRadialGradient

from kiosk.core.views import AskView, View
from kiosk.devices.clock import HandClock
from kiosk.ui.audit import records
from kiosk.ui.parts.pen import Record
from kiosk.ui.theme import STEP, T
from kiosk.ui.window import Window

AFTER_MS = 600
"""A picture is taken when touches count again, as a person sees the screen."""


class Camera:
    """Looks at every new view: keeps its texts, and a picture where a folder is given."""

    def __init__(self, folder: Path | None, clock: HandClock) -> None:
        self.folder, self.clock = folder, clock
        self.shown: list[str] = []
        self.pictures: list[Path] = []
        self.glass: dict[str, Any] = {}  # where things stood on the glass, as `_measure` says
        self.watch: Callable[[Window, View], None] | None = None
        self._last: View | None = None
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)

    def see(self, window: Window, view: View) -> None:
        """Look, when the view is another than last time."""
        if view == self._last or window.current is None:
            return
        self._last = view
        seen = records(window.current)
        self.shown += [record.text for record in seen if record.text]
        self._measure(seen, view, window)
        if self.watch is not None:
            self.clock.advance(AFTER_MS)
            self.watch(window, view)
        if self.folder is not None:
            name = type(view).__name__.removesuffix("View").lower()
            self.clock.advance(AFTER_MS)
            path = self.folder / f"{len(self.pictures) + 1:03d}_{name}.png"
            window.grab().save(str(path))
            self.pictures.append(path)

    def _measure(self, seen: Sequence[Record], view: View, window: Window) -> None:
        """Take down what was drawn. `reach_mm`: from the lower edge up to the highest thing to touch on any page;
        of the last page that asked, `yes`, its side of NO, and `letters`, whether any stand a step larger."""
        mm = window.glass.metrics.px_per_mm
        targets = [each for each in seen if each.kind == "target"]
        reach = max((window.height() - each.rect.top() for each in targets), default=0.0) / mm
        self.glass["reach_mm"] = max(round(reach), self.glass.get("reach_mm", 0))
        if isinstance(view, AskView):
            yes, no = (_middle(targets, plate.word) for plate in (view.yes, view.no))
            usual = {window.glass.metrics.px(size) for size in T}
            stepped = {round(px * STEP) for px in usual} - usual
            larger = any(each.font_px in stepped for each in seen if each.kind == "text")
            self.glass["yes"] = "left" if yes < no else "right"
            self.glass["letters"] = "larger" if larger else "usual"

    @staticmethod
    def still(path: Path, seed: int) -> None:
        """A computed view down a tube, as the borescope would show it; no real instrument."""
        image = QImage(640, 480, QImage.Format.Format_RGB32)
        image.fill(QColor("#101010"))
        painter = QPainter(image)
        light = QRadialGradient(QPointF(320, 240), 300)
        light.setColorAt(0.0, QColor("#0c0c0c"))
        light.setColorAt(0.25, QColor("#5a5a58"))
        light.setColorAt(1.0, QColor("#c9c7c2"))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(light)
        painter.drawEllipse(QPointF(320, 240), 300, 230)
        painter.setBrush(QColor("#7a4a34"))
        painter.drawEllipse(QPointF(250 + seed % 140, 150 + seed % 60), 26, 14)
        painter.end()
        image.save(str(path))


def _middle(targets: Sequence[Record], word: str) -> float:
    """Where the plate with this word stands, across."""
    return next(each.rect.center().x() for each in targets if word in each.text.split("\n"))
