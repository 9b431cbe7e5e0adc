"""Pages: their size and frames, the line at the foot, and pressing a story into a PDF that is the same every time."""

from bisect import bisect_left
from collections.abc import Callable, Sequence
from contextvars import ContextVar
from dataclasses import dataclass
from functools import partial
from io import BytesIO
from math import atan2, degrees, hypot
from pathlib import Path
from typing import Any

from reportlab import rl_config
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import stringWidth
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate, Paragraph, Spacer
from reportlab.platypus.doctemplate import LayoutError

from kiosk.core.papers import Foot
from kiosk.paper.type import CAPITAL_EM, FOOT_CAP_MM, HEAVY, PITCH, height_of, paragraph
from kiosk.resources import words

rl_config.useA85 = 0  # a PDF goes as bytes everywhere: written as letters it is larger by a quarter, and slower made

DOT_MM = 0.125  # of a label printer of 203 dpi, which is 8 dots to the millimeter
HAIR_MM = 2 * DOT_MM  # no line is thinner
TICKET_MM = (101.6, 152.4)
LABEL_MM = (101.6, 76.2)


class DoesNotFit(ValueError):
    """A paper that would have to be clipped, or would run to more pages than it may."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle of a page in mm; `top` from the upper edge."""

    left: float
    top: float
    width: float
    height: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Form:
    """One kind of page: where text flows, and what stands on every such page beside it."""

    id: str
    frames: tuple[Box, ...]
    draw: Callable[["Pen"], None]
    then: str | None = None  # the form of the page after this one; None: the same


@dataclass(frozen=True, slots=True)
class Pen:
    """A canvas measured in mm from the upper left corner of a page."""

    canvas: Canvas
    width: float
    height: float
    page: int = 1
    of: int = 1

    def words(
        self, text: str, left: float, baseline: float, cap_mm: float, face: str, *, inverted: bool = False
    ) -> None:
        """One line, its baseline so far below the upper edge."""
        part = paragraph(text, cap_mm, face, inverted=inverted)
        part.wrap(1e6, 1e6)
        ascent = part.style.fontSize
        part.drawOn(self.canvas, left * mm, (self.height - baseline) * mm + ascent - part.style.leading)

    def block(self, part: Flowable, left: float, top: float, width: float) -> float:
        """Anything that wraps, in a column; gives the mm it took."""
        _, high = part.wrap(width * mm, self.height * mm)
        part.drawOn(self.canvas, left * mm, (self.height - top) * mm - high)
        return float(high) / mm

    def bar(self, left: float, top: float, width: float, height: float) -> None:
        """A black rectangle."""
        self.canvas.rect(left * mm, (self.height - top - height) * mm, width * mm, height * mm, stroke=0, fill=1)

    def frame(
        self, left: float, top: float, width: float, height: float, *, line: float = 0.5, dash: bool = False
    ) -> None:
        """An outline of a rectangle."""
        self.canvas.saveState()
        self.canvas.setLineWidth(line * mm)
        if dash:
            self.canvas.setDash([1.5 * mm, 1 * mm])
        self.canvas.rect(left * mm, (self.height - top - height) * mm, width * mm, height * mm, stroke=1, fill=0)
        self.canvas.restoreState()

    def foot(self, title: str, number: str, foot: Foot, *, left: float, right: float, bottom: float) -> None:
        """The small line of every page, its last line's foot so far above the lower edge; `right` is a margin."""
        width = self.width - left - right
        part = foot_words(title, number, foot, self.page, self.of)
        self.block(part, left, self.height - bottom - height_of(part, width), width)


def foot_words(title: str, number: str, foot: Foot, page: int, of: int) -> Paragraph:
    """Title, number, page x of y, printed, bench, versions, copy."""
    parts = [" ".join(filter(None, (title, number))), words(LANGUAGE.get()).say("page.words", n=page, of=of)]
    parts += [foot.printed, foot.bench, foot.versions, foot.copy]
    return paragraph(" · ".join(filter(None, parts)), FOOT_CAP_MM, pitch=PITCH)


class Rule(Flowable):
    """A line across the column, with white around it. At the top of a column there is nothing to part: none."""

    def __init__(self, thick: float = 0.5, around: float = 2.0) -> None:
        super().__init__()
        self._thick, self._around = thick, around
        self._first = False

    def wrap(self, width: float, _height: float) -> tuple[float, float]:
        self.width = width
        self._first = bool(getattr(getattr(self, "_frame", None), "_atTop", False))
        return width, 0.0 if self._first else (self._thick + 2 * self._around) * mm

    def draw(self) -> None:
        if self._first:
            return
        self.canv.setLineWidth(self._thick * mm)
        y = (self._around + self._thick / 2) * mm
        self.canv.line(0, y, self.width, y)


def gap(high: float) -> Spacer:
    """White, in mm."""
    return Spacer(1, high * mm)


LANGUAGE: ContextVar[str] = ContextVar("LANGUAGE", default="en")
"""The language of the house, for the few words that the drawing room adds itself."""

PICTURES: ContextVar[Callable[[str], Path]] = ContextVar("PICTURES", default=Path)
"""Where a kept picture lies, by the name of its file."""

MARK: ContextVar[str] = ContextVar("MARK", default="")
"""A word across every page of a paper that counts nowhere; "" on every other."""


def _mark(canvas: Canvas, size: tuple[float, float]) -> None:
    """The mark from corner to corner, in outline, so that what stands under it can be read."""
    if not (word := MARK.get()):
        return
    part = paragraph(word, 10, HEAVY)
    face, wide, high = part.style.fontName, *size
    slope = hypot(wide, high)
    points = slope * 0.62 * mm / stringWidth(word, face, 1)
    canvas.saveState()
    canvas.translate(wide / 2 * mm, high / 2 * mm)
    canvas.rotate(degrees(atan2(high, wide)))
    canvas.setLineWidth(2 * HAIR_MM * mm)
    text = canvas.beginText(-slope * 0.31 * mm, -points * CAPITAL_EM / 2)
    text.setFont(face, points)
    text.setTextRenderMode(1)
    text.textOut(word)
    canvas.drawText(text)
    canvas.restoreState()


class _Measured(Frame):
    """A frame that finds room for its parts and draws none of them."""

    def _add(self, flowable: Any, canvas: Canvas, trySplit: int = 0) -> Any:  # noqa: N803
        flowable.drawOn = _undrawn
        try:
            return super()._add(flowable, canvas, trySplit)  # type: ignore[misc]
        finally:
            del flowable.drawOn

    add = _add  # type: ignore[assignment]


def _undrawn(_canvas: Canvas, _x: float, _y: float, _sW: float = 0) -> None:  # noqa: N803
    """In place of `drawOn`, where pages are only counted."""


class _Pages(BaseDocTemplate):
    """Notes the form of each page it makes. `frame`: what its text flows in."""

    def __init__(self, size: tuple[float, float], forms: Sequence[Form], title: str, frame: type[Frame]) -> None:
        self.out = BytesIO()
        self.made: list[Form] = []
        super().__init__(
            self.out, pagesize=(size[0] * mm, size[1] * mm), invariant=1, title=title, author="", allowSplitting=1
        )
        self.addPageTemplates([self._template(form, size, frame) for form in forms])

    def _template(self, form: Form, size: tuple[float, float], frame: type[Frame]) -> PageTemplate:
        def begun(canvas: Canvas, document: "_Pages") -> None:
            document.made.append(form)
            canvas.setLineCap(0)

        frames = [
            frame(
                box.left * mm,
                (size[1] - box.top - box.height) * mm,
                box.width * mm,
                box.height * mm,
                leftPadding=0,
                rightPadding=0,
                topPadding=0,
                bottomPadding=0,
            )
            for box in form.frames
        ]
        return PageTemplate(
            id=form.id,
            frames=frames,
            onPage=begun,
            pagesize=(size[0] * mm, size[1] * mm),
            autoNextPageTemplate=form.then,
        )


class _KeptBack(Canvas):
    """Keeps its pages back until all are there, then draws on each, under its text, what knows how many they are."""

    _code: list[str]

    def __init__(self, *given: Any, under: Callable[[Canvas, int, int], None], **named: Any) -> None:
        self._pages: list[dict[str, Any]] = []
        self._under = under
        super().__init__(*given, **named)

    def showPage(self) -> None:  # noqa: N802
        self._pages.append(dict(self.__dict__))
        self._startPage()  # type: ignore[attr-defined]

    def save(self) -> None:
        pages = self._pages
        for n, page in enumerate(pages, 1):
            self.__dict__.update(page)
            text, self._code = self._code, []
            self.saveState()
            self._under(self, n, len(pages))
            self.restoreState()
            self._code.extend(text)
            super().showPage()
        super().save()


class _Unwritten(Canvas):
    """Pages that are only counted: no file is put together of them."""

    def showPage(self) -> None:  # noqa: N802
        self._pageNumber += 1  # type: ignore[attr-defined]

    def save(self) -> None: ...


def press(size: tuple[float, float], forms: Sequence[Form], story: Sequence[Flowable], title: str) -> bytes:
    """The PDF. Laid out once: what stands beside the text is drawn when all pages are there. Raises DoesNotFit."""
    pages = _Pages(size, forms, title, Frame)

    def under(canvas: Canvas, page: int, of: int) -> None:
        canvas.setLineCap(0)
        pages.made[page - 1].draw(Pen(canvas, *size, page, of))
        _mark(canvas, size)

    _lay_out(pages, story, title, partial(_KeptBack, under=under))
    return pages.out.getvalue()


def count(size: tuple[float, float], forms: Sequence[Form], story: Sequence[Flowable], title: str) -> int:
    """How many pages a story takes. Raises DoesNotFit."""
    pages = _Pages(size, forms, title, _Measured)
    _lay_out(pages, story, title, _Unwritten)
    return len(pages.made)


def _lay_out(pages: _Pages, story: Sequence[Flowable], title: str, canvas: Callable[..., Canvas]) -> None:
    try:
        pages.build(list(story), canvasmaker=canvas)
    except LayoutError as fault:
        raise DoesNotFit(f"{title}: a part of it is larger than a page") from fault


def largest(sizes: Sequence[float], pages_at: Callable[[float], int], most: int, number: str) -> float:
    """The largest of falling sizes that takes no more pages than the smallest does. Raises DoesNotFit over `most`."""
    if (first := pages_at(sizes[0])) == 1:
        return sizes[0]  # no size takes fewer
    fewest = pages_at(sizes[-1])
    if fewest > most:
        raise DoesNotFit(f"{number} needs more than {most} pages")
    if first == fewest:
        return sizes[0]
    return sizes[bisect_left(sizes, True, 1, len(sizes) - 1, key=lambda size: pages_at(size) <= fewest)]
