"""Every paper as a black and white picture, to be looked at: `python -m tests.paper.pictures FOLDER [name...]`.

203 dots an inch as the bench's printer sets them; labels at 300 too. Names choose: those that a picture's name holds.
"""

import sys
from collections.abc import Iterator
from pathlib import Path

import pypdfium2 as pdfium  # type: ignore[import-untyped]

from kiosk.core.papers import PackageLabel, Paper
from kiosk.paper.render import render
from tests.paper import crowded, exceptional, invented, invented_reports

DOTS = 203
FINE = 300  # of labels, too


def papers() -> Iterator[tuple[str, Paper]]:
    yield from crowded.papers()
    yield from ((f"long_{name}", make()) for name, make in exceptional.PAPERS.items())
    yield "empty shift_summary", crowded.of_nothing()
    yield from ((f"invented {name}", paper) for name, paper in invented_reports.REPORTS.items())
    for name in ("PLAIN_TICKET", "FULL_TICKET", "PLAIN_LABEL", "FULL_LABEL", "PLAIN_TAG", "FULL_TAG"):
        yield f"invented {name.lower()}", getattr(invented, name)
    yield "invented sheet", invented.sheet_with(110, 12)


def main(folder: Path, names: list[str]) -> None:
    """Draw them. What a store for practice prints is drawn of the first paper of each kind."""
    folder.mkdir(parents=True, exist_ok=True)
    kinds: set[type] = set()
    for name, paper in papers():
        if names and not any(part in name for part in names):
            continue
        _draw(folder, name, render(paper), (DOTS, FINE) if isinstance(paper, PackageLabel) else (DOTS,))
        if type(paper) not in kinds:
            kinds.add(type(paper))
            _draw(folder, f"practice {name}", render(paper, mark="PRACTICE"), (DOTS,))


def _draw(folder: Path, name: str, pdf: bytes, dots: tuple[int, ...]) -> None:
    for n, page in enumerate(pdfium.PdfDocument(pdf), 1):
        for dpi in dots:
            picture = page.render(scale=dpi / 72, grayscale=True).to_pil().point(lambda gray: 255 * (gray >= 128))
            picture.convert("1").save(folder / f"{name.replace(' ', '_')}_{n}_{dpi}.png")


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
