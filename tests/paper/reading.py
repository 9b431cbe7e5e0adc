"""Looks at a PDF from outside: its pages as a 203 dpi printer sees them, its words, where each line of type stands."""

from dataclasses import dataclass
from functools import cache
from io import BytesIO

import numpy as np
import pypdf
import pypdfium2 as pdfium  # type: ignore[import-untyped]
import pypdfium2.raw as raw  # type: ignore[import-untyped]
from PIL import Image

DOTS_PER_MM = 8
POINT_MM = 25.4 / 72


def pages_of(pdf: bytes) -> list[Image.Image]:
    """Each page at 8 dots/mm, black and white."""
    document = pdfium.PdfDocument(pdf)
    images = [page.render(scale=DOTS_PER_MM * POINT_MM).to_pil().convert("L") for page in document]
    return [image.point(lambda value: 255 if value > 127 else 0) for image in images]


def grays_of(pdf: bytes) -> set[str]:
    """Every operator of the pages that sets a color, with its numbers."""
    found = set()
    for page in pypdf.PdfReader(BytesIO(pdf)).pages:
        contents = page.get_contents()
        assert contents is not None
        for operands, operator in contents.operations:
            if operator in (b"rg", b"RG", b"g", b"G", b"k", b"K", b"sc", b"scn", b"gs"):
                found.add(" ".join(str(float(number)) for number in operands))
    return found


@cache
def words_of(pdf: bytes) -> str:
    """The text of all pages in reading order, white space normalized."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages).split())


@dataclass(frozen=True, slots=True)
class Line:
    """A run of type: its ink in mm from the upper left corner, and its capital height in mm."""

    text: str
    left: float
    top: float
    right: float
    bottom: float
    cap_mm: float


@cache
def lines_of(pdf: bytes) -> list[list[Line]]:
    """The runs of type of each page."""
    return [_lines(page) for page in pdfium.PdfDocument(pdf)]


def _lines(page: pdfium.PdfPage) -> list[Line]:
    text_page = page.get_textpage()
    height = page.get_height()
    lines = []
    for item in page.get_objects(filter=[raw.FPDF_PAGEOBJ_TEXT], max_depth=1):
        left, bottom, right, top = item.get_bounds()
        text = text_page.get_text_bounded(left, bottom, right, top).strip()
        matrix = item.get_matrix()
        size = item.get_font_size() * abs(matrix.d)
        if right > left:
            left, top, right, bottom = (v * POINT_MM for v in (left, height - top, right, height - bottom))
            lines.append(Line(text, left, top, right, bottom, size * POINT_MM * 0.668))
    return lines


def stained(image: Image.Image, rng: np.random.Generator) -> Image.Image:
    """A dark drop of 3 mm somewhere on it."""
    pixels = np.array(image)
    radius = 1.5 * DOTS_PER_MM
    x, y = rng.integers(0, image.width), rng.integers(0, image.height)
    rows, columns = np.ogrid[: image.height, : image.width]
    pixels[(columns - x) ** 2 + (rows - y) ** 2 < radius**2] = 30
    return Image.fromarray(pixels)


def creased(image: Image.Image, rng: np.random.Generator) -> Image.Image:
    """A fold across it: what lies past the fold is pulled in by 0.25 mm, and the fold is a white line of 0.4 mm."""
    fold = int(rng.integers(image.height // 4, 3 * image.height // 4))
    pixels = np.array(image)
    shift, thick = DOTS_PER_MM // 4, 3
    out = np.vstack([pixels[:fold], pixels[fold + shift :], np.full((shift, image.width), 255, np.uint8)])
    out[fold : fold + thick] = 255
    return Image.fromarray(out)
