"""What a screen shows, measured against the limits of the look: targets, gaps, letters, clipping, overlap.

Contrast is judged in the tests, by a color library; the records carry the colors.
"""

from itertools import combinations

from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.pen import Record
from kiosk.ui.theme import CAPITAL_EM, T

LEAST_MM = {
    "key": (20.0, 18.0),
    "answer": (78.0, 46.0),
    "unsure": (39.0, 46.0),
    "row": (100.0, 20.0),
    "band": (20.0, 20.0),
    "letter": (18.0, 14.0),  # the 10-inch frame leaves no more for ten keys a row
    "supervisor": (18.0, 12.0),
}
LEAST_GAP_MM = {"answer": 6.0, "row": 3.0, "letter": 2.0}  # between two of the kind
GAP_MM = 4.0  # between all others
ROUNDING_MM = 0.25  # places are whole pixels


def records(screen: QWidget) -> list[Record]:
    """Everything that the visible parts of a screen show, in px of the window."""
    parts = [screen, *screen.findChildren(QWidget)]
    shown = [part for part in parts if isinstance(part, Drawn) and (part is screen or part.isVisibleTo(screen))]
    return [record for part in shown for record in part.audit()]


def violations(screen: QWidget, glass: Glass) -> list[str]:
    """What is too small, too close, cut, outside or over something else, each as a sentence."""
    found = records(screen)
    targets = [record for record in found if record.kind == "target"]
    texts = [record for record in found if record.kind == "text"]
    bounds = QRectF(screen.rect())
    wrong = [f"{_name(each)}: outside the screen" for each in (*targets, *texts) if not bounds.contains(each.rect)]
    wrong += [line for each in targets for line in _too_small(each, glass)]
    wrong += [line for one, other in combinations(targets, 2) for line in _too_close(one, other, glass)]
    wrong += [line for each in texts for line in _bad_text(each, glass)]
    wrong += [
        f"{_name(one)}: over {_name(other)}"
        for one, other in combinations(texts, 2)
        if one.rect.adjusted(1, 1, -1, -1).intersects(other.rect.adjusted(1, 1, -1, -1))
    ]
    marks = [record for record in found if record.kind == "mark"]
    wrong += [f"{_name(each)}: under {mark.text}" for mark in marks for each in texts if _covers(mark, each)]
    return wrong


def _covers(mark: Record, text: Record) -> bool:
    """Does a mark lie over words that are not its own?"""
    return mark.rect.intersects(text.rect.adjusted(1, 1, -1, -1)) and not mark.rect.contains(text.rect)


def arcmin(record: Record, glass: Glass, at_cm: float = 60.0) -> float:
    """Height of a text's capitals in minutes of arc (NUREG-0700 rev. 2, 1.3.1-4: h = 6.283 D MA / 21600)."""
    return record.font_px * CAPITAL_EM / glass.metrics.px_per_mm * 21600 / (6.283 * at_cm * 10)


def _name(record: Record) -> str:
    return f"{record.kind} {record.text!r} of {record.owner}"


def _too_small(record: Record, glass: Glass) -> list[str]:
    width, height = record.rect.width() / glass.mm(1), record.rect.height() / glass.mm(1)
    least = LEAST_MM[record.role]
    if width + ROUNDING_MM >= least[0] and height + ROUNDING_MM >= least[1]:
        return []
    return [f"{_name(record)}: {width:.1f} x {height:.1f} mm, least {least[0]:g} x {least[1]:g}"]


def _too_close(one: Record, other: Record, glass: Glass) -> list[str]:
    across = max(one.rect.left(), other.rect.left()) - min(one.rect.right(), other.rect.right())
    down = max(one.rect.top(), other.rect.top()) - min(one.rect.bottom(), other.rect.bottom())
    gap = max(across, down) / glass.mm(1)
    kinds = {"answer" if each.role == "unsure" else each.role for each in (one, other)}
    least = LEAST_GAP_MM.get(kinds.pop(), GAP_MM) if len(kinds) == 1 else GAP_MM
    return [] if gap + ROUNDING_MM >= least else [f"{_name(one)}: {gap:.1f} mm from {_name(other)}, least {least:g}"]


def _bad_text(record: Record, glass: Glass) -> list[str]:
    wrong = [] if record.fits else [f"{_name(record)}: does not fit its box"]
    if record.cut:
        wrong.append(f"{_name(record)}: cut by the edge of its part")
    if record.font_px < glass.metrics.px(T.T1):
        wrong.append(f"{_name(record)}: {record.font_px} px, least {glass.metrics.px(T.T1)}")
    return wrong
