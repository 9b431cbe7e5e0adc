"""What a picture holds, as far as a watch over a feed must know: whether it is another, and how light it is."""

import zlib

from PySide6.QtCore import QSize, Qt
from PySide6.QtGui import QImage

GRID = QSize(64, 36)
"""The lightest place is looked for on so many fields, so that single hot pixels of a sensor do not count."""


def content_of(image: QImage) -> int:
    """A number that differs where a single pixel does (CRC-32 of the pixels)."""
    return zlib.crc32(image.constBits())


def lightest_of(image: QImage) -> float:
    """The lightness L* of the lightest of the fields, 0 to 100."""
    fields = image.scaled(GRID, Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode.SmoothTransformation)
    gray = fields.convertToFormat(QImage.Format.Format_Grayscale8)
    line = gray.bytesPerLine()
    bits = bytes(gray.constBits())
    return lightness(max(max(bits[row * line : row * line + gray.width()]) for row in range(gray.height())))


def lightness(gray: int) -> float:
    """L* of an sRGB gray 0 to 255: IEC 61966-2-1 for the light, CIE 1976 (ISO/CIE 11664-4) for the lightness."""
    value = gray / 255
    light = value / 12.92 if value <= 0.04045 else float(((value + 0.055) / 1.055) ** 2.4)
    return 116 * light ** (1 / 3) - 16 if light > (6 / 29) ** 3 else light * (29 / 3) ** 3
