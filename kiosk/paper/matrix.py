"""The square code of a paper, as rows of dark and light modules."""

from functools import cache

import qrcode
from qrcode.constants import ERROR_CORRECT_H


@cache
def square(text: str) -> tuple[tuple[bool, ...], ...]:
    """The QR matrix at level H, as small as the text allows: version 1 for ten characters."""
    code = qrcode.QRCode(version=None, error_correction=ERROR_CORRECT_H, border=0)
    code.add_data(text)
    code.make(fit=True)
    return tuple(tuple(bool(cell) for cell in row) for row in code.get_matrix())
