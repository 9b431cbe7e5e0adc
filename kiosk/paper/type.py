"""Type in millimeters: the shipped faces, paragraphs by capital height, and the size at which words fit a place."""

import re
from collections.abc import Sequence
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, Literal
from xml.sax.saxutils import escape

from reportlab.lib.colors import black, white
from reportlab.lib.enums import TA_LEFT, TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import getAscentDescent, registerFont, stringWidth
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.platypus import Paragraph
from reportlab.platypus.paragraph import cleanBlockQuotedText, split  # type: ignore[attr-defined]
from reportlab.platypus.paraparser import ParaFrag

from kiosk.places import RESOURCES

CAPITAL_EM = 0.668  # height of a capital of both faces, in em: the OS/2 table's sCapHeight
SPARE_POINTS = 0.01
WORDS_KEPT = 5000
_MARKS = re.compile("[&<>]")
LEAST_CAP_MM = 3.0  # on tickets, labels and tags; the foot line alone is smaller
FOOT_CAP_MM = 6 / mm * CAPITAL_EM  # 6 pt
PITCH = 1.5  # of lines, in capitals

REGULAR, BOLD, HEAVY = (f"AtkinsonHyperlegibleNext-{weight}" for weight in ("Regular", "Bold", "ExtraBold"))
CODE = "AtkinsonHyperlegibleMono-Bold"


class _Face(TTFont):
    """A face that knows the words it has measured: a paper is laid out at several sizes, and each word scales."""

    def __init__(self, name: str, file: Path) -> None:
        super().__init__(name, str(file))
        self._thousandths: dict[str, int] = {}

    def stringWidth(self, text: str, size: float, encoding: str = "utf8") -> float:  # noqa: ARG002, N802
        """The width of a line in points; the library's own sum, kept."""
        thousandths = self._thousandths.get(text)
        if thousandths is None:
            wide, other = self.face.charWidths.get, self.face.defaultWidth
            if len(self._thousandths) >= WORDS_KEPT:
                self._thousandths.clear()
            thousandths = self._thousandths[text] = sum(wide(ord(letter), other) for letter in text)
        return 0.001 * size * thousandths


@cache
def loaded(face: str) -> str:
    """The name of a face, registered."""
    registerFont(_Face(face, RESOURCES / "fonts" / f"{face}.ttf"))
    return face


class _Words(Paragraph):
    """Words of one face. Where they stand on one line with room to spare, they are not counted out one by one."""

    def breakLines(self, width: Any) -> Any:  # noqa: N802
        """The lines, as the library lays them out: the room that is left, and the words."""
        run: Any = self.frags[0] if len(self.frags) == 1 else None
        if hasattr(run, "text") and "\N{SOFT HYPHEN}" not in run.text:
            wide = float(stringWidth(run.text, run.fontName, run.fontSize))
            if wide < width[0] - SPARE_POINTS:
                self.height = self._splitLongWordCount = self._hyphenations = 0
                self._width_max = wide
                ascent, descent = getAscentDescent(run.fontName, run.fontSize)
                lines = [(width[0] - wide, split(run.text))]
                return run.clone(kind=0, lines=lines, ascent=ascent, descent=descent)
        return super().breakLines(width)


def points(cap_mm: float) -> float:
    """The type size in points whose capitals are `cap_mm` high."""
    return cap_mm * mm / CAPITAL_EM


def width_of(text: str, cap_mm: float, face: str = REGULAR) -> float:
    """The width of a line in mm."""
    return float(stringWidth(text, loaded(face), points(cap_mm))) / mm


def paragraph(
    text: str,
    cap_mm: float,
    face: str = REGULAR,
    *,
    inverted: bool = False,
    align: Literal["left", "right"] = "left",
    pitch: float = PITCH,
    after: float = 0,
    indent: float = 0,
) -> Paragraph:
    """Words that wrap. `after`: white below in mm; `indent`: of all lines but the first, in mm."""
    style, letters = _style(cap_mm, face, inverted, align, pitch, after, indent)
    if not text.strip() or _MARKS.search(text):
        return Paragraph(escape(text), style)
    return _Words(text, style, frags=[letters.clone(text=cleanBlockQuotedText(text))])  # nothing to parse in it


def runs(parts: Sequence[tuple[str, str]], cap_mm: float, *, after: float = 0) -> Paragraph:
    """Words that wrap, each run of them in its face: (face, words). Spaces between them are the plain face's."""
    frags: list[ParaFrag] = []
    for face, text in parts:
        if words := cleanBlockQuotedText(text):
            _, letters = _style(cap_mm, face, False, "left", PITCH, after, 0)
            if frags and face == frags[-1].fontName:
                frags[-1].text += f" {words}"
            elif frags and face == REGULAR:
                frags.append(letters.clone(text=f" {words}"))
            else:
                if frags:
                    frags[-1].text += " "
                frags.append(letters.clone(text=words))
    style, _ = _style(cap_mm, REGULAR, False, "left", PITCH, after, 0)
    return Paragraph("", style, frags=frags)


@lru_cache(maxsize=512)
def _style(
    cap_mm: float, face: str, inverted: bool, align: str, pitch: float, after: float, indent: float
) -> tuple[ParagraphStyle, ParaFrag]:
    """The style of a paragraph, and a run of its letters as the library's parser makes it."""
    style = ParagraphStyle(
        name="",
        fontName=loaded(face),
        fontSize=points(cap_mm),
        leading=cap_mm * pitch * mm,
        textColor=white if inverted else black,
        alignment=TA_RIGHT if align == "right" else TA_LEFT,
        spaceAfter=after * mm,
        leftIndent=indent * mm,
        firstLineIndent=-indent * mm,
        splitLongWords=1,
    )
    (letters,) = Paragraph("x", style).frags
    return style, letters


def height_of(part: Paragraph, width: float) -> float:
    """How high words stand in a column, both in mm."""
    return float(part.wrap(width * mm, 1e6)[1]) / mm


def fitted(text: str, cap_mm: float, width: float, face: str = REGULAR, *, lines: int = 1, least: float = 0) -> float:
    """The greatest capital up to `cap_mm` at which the text takes at most so many lines and no word is broken.

    Never under `least` (LEAST_CAP_MM if not given): at that size the caller wraps as far as it must.
    """
    least = least or LEAST_CAP_MM
    cap, words = cap_mm, text.split()
    room = lines * (width + width_of(" ", 1, face) * cap_mm) * 1.001
    while cap > least:
        whole = width_of(text, cap, face) <= room or len(" ".join(words)) != len(text)
        whole = whole and all(width_of(word, cap, face) <= width for word in words)
        if whole and height_of(paragraph(text, cap, face), width) <= (lines + 0.5) * cap * PITCH:
            return cap
        cap = round(cap - 0.1, 3)
    return least
