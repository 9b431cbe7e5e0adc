"""Pictures of codes, as a printer makes them, and what two readers of pictures read in them."""

import zxingcpp
from PIL import Image
from pyzbar import pyzbar

from kiosk.codes import write


def from_matrix(matrix: write.Matrix, module: int = 8) -> Image.Image:
    """A QR code with its quiet zone, `module` dots a module."""
    side = len(matrix) + 8
    image = Image.new("L", (side, side), 255)
    for y, row in enumerate(matrix):
        for x, dark in enumerate(row):
            image.putpixel((x + 4, y + 4), 0 if dark else 255)
    return image.resize((side * module, side * module), Image.Resampling.NEAREST)


def read_back(matrix: write.Matrix, *, dots: int) -> set[str]:
    """What zxing-cpp and zbar read in the code."""
    page = from_matrix(matrix, dots)
    return {symbol.text for symbol in zxingcpp.read_barcodes(page)} | {
        symbol.data.decode() for symbol in pyzbar.decode(page)
    }
