"""Kept pictures on paper in plain gray, two beside each other: the printer sets the dots, once, for its own head.

Pictures thinned to dots here lost small soil, and showed a seam where the page was scaled by a hair.
"""

import hashlib
import logging
from collections.abc import Iterator, Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from reportlab.lib.units import mm
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable, KeepTogether, Table

from kiosk.core.papers import Pictured
from kiosk.paper.page import HAIR_MM, PICTURES, gap
from kiosk.paper.parts import tight
from kiosk.paper.type import BOLD, paragraph

if TYPE_CHECKING:
    from PIL.Image import Image as Picture

ACROSS = 2
GAP_MM = 5.0
MOST = 0.75
"""Height of a picture's room by its width, at most."""

FINE_MM = 25.4 / 300
"""A point of the picture on paper: finer ones are not printed, and only make the paper's file large."""

MOST_PIXELS = 50_000_000
"""A larger picture is not opened (a choice, as for those that come into the folder)."""

log = logging.getLogger(__name__)


class Gray(Flowable):
    """A picture in the middle of its room, in mm; a frame that says so where it is not to be had as it was kept."""

    def __init__(self, one: Pictured, wide: float, most: float, cap: float) -> None:
        super().__init__()
        self._room, self._gone = wide, paragraph(one.gone, cap, pitch=1.5)
        self._picture = _gray(PICTURES.get()(one.file), one.sha256, wide, most)
        size = self._picture.size if self._picture else (2, 1)
        scale = min(wide / size[0], most / size[1])
        self._wide, self._high = size[0] * scale, size[1] * scale

    def wrap(self, _width: float, _height: float) -> tuple[float, float]:
        return self._room * mm, self._high * mm

    def draw(self) -> None:
        canvas, left = self.canv, (self._room - self._wide) / 2
        if self._picture is None:
            canvas.setLineWidth(HAIR_MM * mm)
            canvas.rect(left * mm, 0, self._wide * mm, self._high * mm, stroke=1, fill=0)
            _, high = self._gone.wrap((self._wide - 2 * GAP_MM) * mm, self._high * mm)
            self._gone.drawOn(canvas, (left + GAP_MM) * mm, (self._high * mm - high) / 2)
        else:
            canvas.drawImage(ImageReader(self._picture), left * mm, 0, self._wide * mm, self._high * mm)


def _gray(path: Path, sha256: str, wide: float, most: float) -> "Picture | None":
    """The picture in gray, no finer than paper shows it.

    None: it can not be read, is too large to be a still, or its bytes are not those that were kept.
    """
    from PIL import Image, ImageOps

    try:
        if not path.is_file():  # a pipe would hold the page for ever
            return None
        data = path.read_bytes()
        if hashlib.sha256(data).hexdigest() != sha256:
            log.info("a picture is not printed: %s is not the file that was kept", path.name)
            return None
        with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                return None
            gray = ImageOps.exif_transpose(opened).convert("L")
        gray.thumbnail((round(wide / FINE_MM), round(most / FINE_MM)), Image.Resampling.LANCZOS)
    except Exception as fault:  # noqa: BLE001 - a decoder of foreign bytes: the page is made without the picture
        log.info("a picture is not printed: %s", fault)
        return None
    return gray


def stills(pictures: Sequence[Pictured], width: float, cap: float) -> Iterator[Flowable]:
    """Rows of pictures with their words under them, in a column so many mm wide."""
    wide = (width - (ACROSS - 1) * GAP_MM) / ACROSS
    if pictures:
        yield gap(1)
    for n in range(0, len(pictures), ACROSS):
        row = pictures[n : n + ACROSS]
        cells: list[object] = []
        for one in row:
            cells += [*([""] if cells else []), [Gray(one, wide, wide * MOST, cap), gap(1), _words(one, cap)]]
        cells += [""] * (2 * ACROSS - 1 - len(cells))
        widths = [wide * mm, *([GAP_MM * mm, wide * mm] * (ACROSS - 1))]
        table = Table([cells], colWidths=widths, style=tight(("VALIGN", (0, 0), (-1, -1), "TOP")), hAlign="LEFT")
        yield KeepTogether([table, gap(3)])


def _words(one: Pictured, cap: float) -> Flowable:
    return paragraph(one.words, cap, BOLD, pitch=1.5)
