"""A frozen frame as bytes and as numbers: its file, its measures, a place on the map in it. Runs on the worker."""

import io
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

_GPS_IFD = 0x8825
"""The tag of EXIF's part with the place (EXIF 2.32, GPS Info IFD Pointer)."""
_GPS_NAMES = (b"GPSLatitude", b"GPSLongitude")
"""The same in XMP (exif:GPSLatitude), which is plain text in the file or in a text part of it."""


class CarriesPlace(ValueError):
    """The bytes say where on the map the picture was taken."""


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


def carries_place(data: bytes) -> bool:
    """Does a PNG or JPEG carry a place on the map, in EXIF or in XMP? Never raises for what the bytes hold."""
    from PIL import Image

    if any(name in data for name in _GPS_NAMES):
        return True
    try:
        with Image.open(io.BytesIO(data), formats=("PNG", "JPEG")) as picture:
            texts = [str(value).encode() for value in picture.info.values() if isinstance(value, str | bytes)]
            place: dict[int, Any] = picture.getexif().get_ifd(_GPS_IFD)
    except Exception:  # noqa: BLE001 - a decoder of foreign bytes: what it can not read names no place
        return False
    return bool(place) or any(name in text for name in _GPS_NAMES for text in texts)


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
