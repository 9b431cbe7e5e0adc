"""Kept pictures on paper: gray, then dots of black and white at the printer's own pitch, two beside each other.

Dots are spread by error diffusion (Floyd and Steinberg 1976, as Pillow does it), so that what a thermal printer of 203
dots an inch prints is what stands here, and not what its driver makes of it.
"""

from collections.abc import Iterator, Sequence

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, KeepTogether, Table

from kiosk.core.papers import Pictured
from kiosk.paper.page import DOT_MM, PICTURES, gap
from kiosk.paper.parts import tight
from kiosk.paper.type import BOLD, paragraph

ACROSS = 2
GAP_MM = 5.0
SHARE = 0.62
"""Height of a picture's room by its width: six of them stand on a page with their words."""


class Dotted(Flowable):
    """A picture in dots in the middle of its room, in mm; an empty frame where it can not be read."""

    def __init__(self, file: str, wide: float, high: float) -> None:
        super().__init__()
        self._file, self._wide, self._high = file, wide, high

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._wide * mm, self._high * mm

    def draw(self) -> None:
        from PIL import Image, ImageOps, UnidentifiedImageError

        canvas = self.canv
        try:
            with Image.open(PICTURES.get()(self._file)) as opened:
                gray = ImageOps.exif_transpose(opened).convert("L")
        except (OSError, UnidentifiedImageError):
            canvas.setLineWidth(2 * DOT_MM * mm)
            canvas.rect(0, 0, self._wide * mm, self._high * mm, stroke=1, fill=0)
            return
        room = (int(self._wide / DOT_MM), int(self._high / DOT_MM))
        scale = min(room[0] / gray.width, room[1] / gray.height)
        size = max(1, round(gray.width * scale)), max(1, round(gray.height * scale))
        dots = ImageOps.autocontrast(gray.resize(size, Image.Resampling.LANCZOS), cutoff=0.5)
        dots = dots.convert("1", dither=Image.Dither.FLOYDSTEINBERG)
        wide, high = (side * DOT_MM for side in size)
        left, low = (self._wide - wide) / 2, (self._high - high) / 2
        canvas.drawImage(ImageReader(dots), left * mm, low * mm, wide * mm, high * mm)


def stills(pictures: Sequence[Pictured], width: float, cap: float) -> Iterator[Flowable]:
    """Rows of pictures with their words under them, in a column so many mm wide."""
    wide = (width - (ACROSS - 1) * GAP_MM) / ACROSS
    for n in range(0, len(pictures), ACROSS):
        row = pictures[n : n + ACROSS]
        cells: list[object] = []
        for one in row:
            cells += [*([""] if cells else []), [Dotted(one.file, wide, wide * SHARE), gap(1), _words(one, cap)]]
        cells += [""] * (2 * ACROSS - 1 - len(cells))
        widths = [wide * mm, *([GAP_MM * mm, wide * mm] * (ACROSS - 1))]
        table = Table([cells], colWidths=widths, style=tight(("VALIGN", (0, 0), (-1, -1), "TOP")), hAlign="LEFT")
        yield KeepTogether([table, gap(3)])


def _words(one: Pictured, cap: float) -> Flowable:
    return paragraph(one.words, cap, BOLD, pitch=1.5)
