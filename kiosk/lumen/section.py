"""The shape of a lumen in section, in drawn millimeters: walls and their hatching, holes, teeth, bends, leaders."""

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Lumen, Mm
from kiosk.core.vocabulary import Feature
from kiosk.lumen.fit import is_blind

WALL_MM = 2.4  # drawn; the wall is never to scale, its thickness is not on record
HATCH_PITCH_MM = 1.5  # at 45 degrees
HOLE_MM = 2.0  # drawn width of a side hole

_SHAPE_WORDS = {
    Feature.SIDE_HOLE: ("hole",),
    Feature.FENESTRATED: ("hole",),
    Feature.TOOTHED: ("teeth", "tooth"),
    Feature.CURVED: ("bend",),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Box:
    """A rectangle: an outlined, hatched piece of wall."""

    left: float
    top: float
    right: float
    bottom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A straight stroke."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Where a feature is drawn. `guessed`: the record gives no place, it stands where such parts usually have it."""

    feature: Feature
    left: float
    right: float
    guessed: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Leader:
    """A named place with a leader line."""

    x: float
    text: str
    at_mm: Mm | None = None
    guessed: bool = False


def marks_of(lumen: Lumen, drawn: float) -> tuple[Mark, ...]:
    return tuple(mark for feature in _SHAPE_WORDS if feature in lumen.features for mark in _mark(lumen, feature, drawn))


def _mark(lumen: Lumen, feature: Feature, drawn: float) -> list[Mark]:
    """A feature where a landmark names it; else where such parts usually have it (common practice, no source)."""
    length = lumen.length_mm
    tip = drawn / 3 if length is None else drawn * float(min(Decimal(30), length / 3) / length)
    half = min(HOLE_MM, tip / 6) / 2
    known = [
        float(mark.at_mm / length) * drawn
        for mark in lumen.landmarks
        if mark.at_mm is not None and length and any(word in mark.name.casefold() for word in _SHAPE_WORDS[feature])
    ]
    if known:
        return [Mark(feature=feature, left=max(x - half, 0), right=min(x + half, drawn), guessed=False) for x in known]
    guesses = {
        Feature.FENESTRATED: [drawn - tip * n / 6 for n in (5, 3, 1)],
        Feature.SIDE_HOLE: [drawn - tip / 3],
        Feature.TOOTHED: [drawn - half],
        Feature.CURVED: [drawn * 2 / 3],
    }
    return [Mark(feature=feature, left=x - half, right=x + half, guessed=True) for x in guesses[feature]]


def walls_of(lumen: Lumen, drawn: float, bore: float, marks: tuple[Mark, ...]) -> tuple[Box, ...]:
    """Both walls, cut open at side holes, and the closed end of a blind lumen."""
    holes = [m for m in marks if m.feature in (Feature.SIDE_HOLE, Feature.FENESTRATED)]
    cuts = sorted({(mark.left, mark.right) for mark in holes})
    edges = [0.0, *(x for cut in cuts for x in cut), drawn]
    spans = [(left, right) for left, right in zip(edges[::2], edges[1::2], strict=True) if left < right]
    inner, outer = bore / 2, bore / 2 + WALL_MM
    walls = [Box(left=a, right=b, top=-outer, bottom=-inner) for a, b in spans]
    walls += [Box(left=a, right=b, top=inner, bottom=outer) for a, b in spans]
    if is_blind(lumen):
        walls.append(Box(left=drawn, right=drawn + WALL_MM, top=-outer, bottom=outer))
    return tuple(walls)


def leaders_of(lumen: Lumen, drawn: float, marks: tuple[Mark, ...]) -> tuple[Leader, ...]:
    leaders = [
        Leader(x=float(mark.at_mm / lumen.length_mm) * drawn, text=mark.name, at_mm=mark.at_mm)
        for mark in lumen.landmarks
        if mark.at_mm is not None and lumen.length_mm
    ]
    leaders += [
        Leader(x=(mark.left + mark.right) / 2, text="bend", guessed=True)
        for mark in marks
        if mark.feature is Feature.CURVED and mark.guessed
    ]
    return tuple(sorted(leaders, key=lambda leader: leader.x))


def hatch(box: Box) -> tuple[Line, ...]:
    """Strokes at 45 degrees, rising to the right, clipped to a box; the pitch holds across neighboring boxes."""
    height = box.bottom - box.top
    step = HATCH_PITCH_MM * 2**0.5  # along x, so that the distance across the strokes is the pitch
    lines = []
    for k in range(int((box.left - height) // step), int((box.right + height) // step) + 1):
        foot = k * step - height / 2  # x where the stroke meets the bottom edge
        low, high = max(foot, box.left), min(foot + height, box.right)
        if low < high:
            lines.append(Line(x1=low, y1=box.bottom - (low - foot), x2=high, y2=box.bottom - (high - foot)))
    return tuple(lines)
