"""Modules of a QR code and bars of a Code 128, as plain data: paper draws them as vectors."""

from itertools import groupby
from typing import Literal, cast

Matrix = tuple[tuple[bool, ...], ...]
"""Rows from the top, True is a dark module. Without the quiet zone: leave 4 modules free on every side."""

Level = Literal["L", "M", "Q", "H"]


def number_code(ten: str) -> Matrix:
    """The number code of a paper: 21 x 21 modules (version 1), level H. Raises ValueError where `ten` does not fit."""
    return qr(ten, level="H", version=1)


def qr(text: str, *, level: Level = "H", version: int | None = None) -> Matrix:
    """A QR code; the smallest version that holds the text, or exactly `version` (ValueError where it is too small)."""
    import qrcode
    from qrcode import constants, exceptions

    correction = getattr(constants, f"ERROR_CORRECT_{level}")
    code = qrcode.QRCode(version=version, error_correction=correction, border=0)
    code.add_data(text, optimize=0)
    try:
        code.make(fit=version is None)
    except exceptions.DataOverflowError:
        raise ValueError(f"{text!r} does not fit in a QR code of version {version}, level {level}") from None
    return tuple(tuple(bool(module) for module in row) for row in code.get_matrix())


def code128(text: str) -> tuple[int, ...]:
    """Widths in modules of bar, space, bar, ... of a Code 128. Leave 10 modules free on both sides."""
    import zxingcpp

    image = zxingcpp.create_barcode(text, zxingcpp.BarcodeFormat.Code128).to_image(scale=1, add_quiet_zones=False)
    pixels = memoryview(cast("bytes", image))  # height x width; its type says nothing of the buffer it is
    first_row = pixels.cast("B")[: pixels.nbytes // len(pixels)]
    return tuple(len(list(same)) for _, same in groupby(first_row))
