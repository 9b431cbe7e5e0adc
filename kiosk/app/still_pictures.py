"""A frozen frame as bytes and as numbers: its file, its measures. Runs on the worker."""

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QBuffer, QIODevice, Qt
from PySide6.QtGui import QImage

from kiosk.core.still import StillQuality

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from kiosk.sight.picture_quality import PictureQuality

WIDEST_PX = 1280
"""A wider still is shrunk to so many pixels across before it is measured (a choice: they were tried on such)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """The measures of a still, and the quiet sentence about it by its key, "" where there is none to say."""

    quality: StillQuality
    said: str


def png_of(image: QImage) -> bytes:
    """The frame as it came, without loss."""
    buffer = QBuffer()
    buffer.open(QIODevice.OpenModeFlag.WriteOnly)
    if not image.save(buffer, "PNG"):  # type: ignore[call-overload]
        raise ValueError("the frame could not be written as a PNG")
    return bytes(buffer.data().data())


def suffix_of(name: str) -> str:
    """The suffix of a kept still: that of the file it came in, or that of a frame."""
    found = re.search(r"\.(png|jpe?g)$", name.lower())
    return found.group() if found else ".png"


def array_of(image: QImage) -> "NDArray[Any]":
    """The picture's sRGB values, (H, W, 3) uint8."""
    import numpy as np

    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(plain.constBits(), dtype=np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return rows[:, : 3 * plain.width()].reshape(plain.height(), plain.width(), 3).copy()


def measured(image: QImage) -> Measured | None:
    """Focus, light, glare and drops of a still; None for one that is too small to be measured."""
    from kiosk.sight.picture_quality import measure

    if image.width() > WIDEST_PX:
        image = image.scaledToWidth(WIDEST_PX, Qt.TransformationMode.SmoothTransformation)
    try:
        found = measure(array_of(image))
    except ValueError:
        return None
    quality = StillQuality(
        dark=round(1000 * found.dark),
        bright=round(1000 * found.bright),
        glare=round(1000 * found.glare),
        light=round(10 * found.median_l),
        laplacian=round(found.laplacian),
        tenengrad=round(found.tenengrad),
        blur=round(1000 * found.blur),
        drops=found.drops,
    )
    return Measured(quality=quality, said=_said(found))


def _said(found: "PictureQuality") -> str:
    """One sentence: of light first, because a dark picture is never sharp either."""
    if found.too_dark:
        return "notice.still_too_dark"
    if found.too_bright:
        return "notice.still_too_bright"
    return "notice.still_not_sharp" if found.not_sharp else ""
