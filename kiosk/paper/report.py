"""A report of the desk: title, what is read aloud, then sections with their tables, on as many pages as it takes."""

from typing import Literal

from kiosk.core.papers import Report


def draw_report(paper: Report, size: Literal["letter", "a4"] = "letter") -> bytes:
    """The PDF of a report."""
    raise NotImplementedError(f"{paper.doc} {size}")
