"""The one door to the drawing room: any paper in, its PDF out. The drawing library is loaded at the first paper."""

from collections.abc import Callable
from pathlib import Path
from typing import Literal, assert_never

from kiosk.core.papers import PackageLabel, Paper, Report, ReturnTicket, Tag, TargetPage, TraySheet


def render(
    paper: Paper,
    *,
    size: Literal["letter", "a4"] = "letter",
    mark: str = "",
    language: str = "en",
    pictures: Callable[[str], Path] = Path,
) -> bytes:
    """The PDF of a paper; the same paper gives the same bytes. `size` is of the tray sheet: the others have their own
    stock. `mark`: a word across every page, of a paper that counts nowhere. `language`: of the house, for what is
    drawn beside the paper's own text. `pictures`: where a kept picture lies, by its name. Raises
    `kiosk.paper.page.DoesNotFit`.
    """
    from kiosk.paper.page import LANGUAGE, MARK, PICTURES

    before, spoken, lying = MARK.set(mark), LANGUAGE.set(language), PICTURES.set(pictures)
    try:
        return _draw(paper, size)
    finally:
        MARK.reset(before)
        LANGUAGE.reset(spoken)
        PICTURES.reset(lying)


def _draw(paper: Paper, size: Literal["letter", "a4"]) -> bytes:
    match paper:
        case TraySheet():
            from kiosk.paper.sheet import draw_sheet

            return draw_sheet(paper, size)
        case ReturnTicket():
            from kiosk.paper.ticket import draw_ticket

            return draw_ticket(paper)
        case PackageLabel():
            from kiosk.paper.label import draw_label

            return draw_label(paper)
        case Tag():
            from kiosk.paper.tag import draw_tag

            return draw_tag(paper)
        case Report():
            from kiosk.paper.report import draw_report

            return draw_report(paper, size)
        case TargetPage():
            from kiosk.paper.target import draw_target

            return draw_target(paper, size)
        case _:
            assert_never(paper)
