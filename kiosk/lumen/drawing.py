"""A lumen in section, to scale, as plain data in drawn millimeters: for a widget, a page or an SVG alike.

x runs from the entry (0) to the tip (`drawn_mm`); y from the center line (0), down positive. Bends are drawn straight.
"""

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from kiosk.core.catalogue import Lumen, Mm
from kiosk.core.place import Place
from kiosk.core.plan import LumenPlan
from kiosk.lumen.fit import is_blind
from kiosk.lumen.geometry import plain
from kiosk.lumen.section import WALL_MM, Box, Leader, Line, Mark, hatch, leaders_of, marks_of, walls_of

SCALES: tuple[tuple[Fraction, str], ...] = (
    (Fraction(1), "actual size"),
    (Fraction(2, 3), "drawn at two thirds"),
    (Fraction(1, 2), "drawn at half"),
    (Fraction(1, 3), "drawn at one third"),
    (Fraction(1, 5), "drawn at one fifth"),
    (Fraction(1, 10), "drawn at one tenth"),
)
STATIONS_CM = (1, 2, 5, 10, 20)
STATION_LEAST_MM = 20.0  # drawn
BORE_LEAST_MM, BORE_MOST_MM, BORE_UNKNOWN_MM = 6.0, 10.0, 8.0  # drawn
TICK_LEAST_MM, NUMBER_LEAST_MM = 3.0, 12.0  # drawn distance of ruler ticks and of their numbers


@dataclass(frozen=True, slots=True, kw_only=True)
class Station:
    """A stretch to touch. `label` is "12–14" in cm from the entry, or "1 of 4" when the length is not known."""

    index: int
    left: float
    right: float
    label: str
    from_mm: Mm | None = None
    to_mm: Mm | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tick:
    """A tick of the ruler; `label` is its distance in cm, empty on ticks without a number."""

    x: float
    label: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LumenDrawing:
    """One lumen, drawn. `scale` None: not to scale, because the length is not known or the width too small for it."""

    name: str
    length_mm: Mm | None
    drawn_mm: float
    scale: Fraction | None
    scale_words: str
    bore_mm: float  # drawn
    width_words: str
    wall_mm: float
    walls: tuple[Box, ...]
    hatch: tuple[Line, ...]
    blind: bool
    stations: tuple[Station, ...]
    ticks: tuple[Tick, ...]
    marks: tuple[Mark, ...]
    leaders: tuple[Leader, ...]
    snap_mm: int  # true millimeters between the places a touch may mean

    @property
    def guessed(self) -> bool:
        """Is any of the shape a guess?"""
        return any(mark.guessed for mark in self.marks) or any(leader.guessed for leader in self.leaders)

    def x_of(self, at_mm: Mm | int) -> float:
        """Where a place lies on the drawing; places past the ends are drawn at the ends. Needs a known length."""
        if self.length_mm is None:
            raise ValueError(f"the length of {self.name} is not known")
        return float(min(max(at_mm, Decimal(0)), self.length_mm) / self.length_mm) * self.drawn_mm

    def spot_of(self, place: Place) -> float | None:
        """Where a place lies on the drawing; None: it is no single spot, or the drawing does not show it."""
        if place.at_mm is not None and self.length_mm is not None:
            return self.x_of(place.at_mm)
        named = [leader.x for leader in self.leaders if leader.text == place.landmark]
        quarters = [s for s in self.stations if s.from_mm is None and s.label == place.landmark]
        return next(iter(named + [(s.left + s.right) / 2 for s in quarters]), None)


@lru_cache(maxsize=64)  # the tubes of a tray are drawn over and over
def draw_lumen(lumen: Lumen, width_mm: float) -> LumenDrawing:
    """Draw a lumen, its closed end included, at the largest of the scales that fits a width in mm."""
    length = lumen.length_mm
    width_mm -= WALL_MM if is_blind(lumen) else 0
    scale, scale_words = _scale(length, width_mm)
    drawn = width_mm if length is None or scale is None else float(Fraction(length) * scale)
    bore, width_words = _bore(lumen.inside_mm)
    marks = marks_of(lumen, drawn)
    walls = walls_of(lumen, drawn, bore, marks)
    return LumenDrawing(
        name=lumen.name,
        length_mm=length,
        drawn_mm=drawn,
        scale=scale,
        scale_words=scale_words,
        bore_mm=bore,
        width_words=width_words,
        wall_mm=WALL_MM,
        walls=walls,
        hatch=tuple(line for wall in walls for line in hatch(wall)),
        blind=is_blind(lumen),
        stations=_quarters(drawn) if length is None else _stations(length, drawn),
        ticks=() if length is None else _ticks(length, drawn),
        marks=marks,
        leaders=leaders_of(lumen, drawn, marks),
        snap_mm=5 if scale == 1 and length is not None and length < 100 else 10,
    )


def snap(drawing: LumenDrawing, x: float) -> int | None:
    """The place in whole mm from the entry that a touch at `x` means; None: the length is not known."""
    if drawing.length_mm is None:
        return None
    share = Decimal(min(max(x / drawing.drawn_mm, 0.0), 1.0))
    steps = (share * drawing.length_mm / drawing.snap_mm).quantize(Decimal(1), ROUND_HALF_UP)
    return min(int(steps) * drawing.snap_mm, int(drawing.length_mm))


def moved(drawing: LumenDrawing, at_mm: int, by_mm: int) -> int:
    """A place after one touch of a correcting key, kept on the lumen. Needs a known length."""
    if drawing.length_mm is None:
        raise ValueError(f"the length of {drawing.name} is not known")
    return min(max(at_mm + by_mm, 0), int(drawing.length_mm))


def station_at(drawing: LumenDrawing, x: float) -> Station:
    """The station under a touch; touches past the ends are the end stations."""
    return next((station for station in drawing.stations if x < station.right), drawing.stations[-1])


def station_of(drawing: LumenDrawing, at_mm: Mm | int) -> Station:
    """The station a place lies in; a place on a border belongs to the station that begins there."""
    inner = (station for station in drawing.stations if station.to_mm is not None and at_mm < station.to_mm)
    return next(inner, drawing.stations[-1])


def unseen_stretch(drawing: LumenDrawing, plan: LumenPlan) -> tuple[float, float] | None:
    """From and to x of what the plan leaves unseen: the middle, or the far end of a blind lumen; None: nothing."""
    if not plan.not_seen:
        return None
    if plan.not_seen_all or plan.not_seen_mm is None or drawing.length_mm is None:
        return 0.0, drawing.drawn_mm
    dark = float(plan.not_seen_mm / drawing.length_mm) * drawing.drawn_mm
    start = drawing.drawn_mm - dark if drawing.blind else (drawing.drawn_mm - dark) / 2
    return start, start + dark


def _scale(length: Mm | None, width_mm: float) -> tuple[Fraction | None, str]:
    if length is None:
        return None, "length not known"
    fits = ((scale, words) for scale, words in SCALES if Fraction(length) * scale <= Fraction(width_mm))
    return next(fits, (None, "not to scale"))


def _bore(inside: Mm | None) -> tuple[float, str]:
    """Drawn bore in mm and how its magnification is said: whole times from 2 to 6 where that draws 6 to 10 mm."""
    if inside is None:
        return BORE_UNKNOWN_MM, "inside size not known"
    true = float(inside)
    times: float = min(range(2, 7), key=lambda n: abs(n * true - BORE_UNKNOWN_MM))
    bore = min(max(times * true, BORE_LEAST_MM), BORE_MOST_MM)
    if bore != times * true:
        times = bore / true
    if times == 1:
        return bore, "width actual size"
    return bore, f"width drawn {times:.2g} times"


def _stations(length: Mm, drawn: float) -> tuple[Station, ...]:
    per_cm = drawn / float(length) * 10
    cm = next((cm for cm in STATIONS_CM if cm * per_cm >= STATION_LEAST_MM - 1e-9), STATIONS_CM[-1])
    count = max(int(length // (cm * 10)), 1)
    ends = [Decimal(10 * cm * n) for n in range(count)] + [length]
    return tuple(
        Station(
            index=n,
            left=float(start / length) * drawn,
            right=float(end / length) * drawn,
            label=f"{plain(start / 10)}–{plain(end / 10)}",
            from_mm=start,
            to_mm=end,
        )
        for n, (start, end) in enumerate(pairwise(ends))
    )


def _quarters(drawn: float) -> tuple[Station, ...]:
    return tuple(
        Station(index=n, left=drawn * n / 4, right=drawn * (n + 1) / 4, label=f"{n + 1} of 4") for n in range(4)
    )


def _ticks(length: Mm, drawn: float) -> tuple[Tick, ...]:
    per_cm = drawn / float(length) * 10
    step = next((cm for cm in STATIONS_CM if cm * per_cm >= TICK_LEAST_MM), STATIONS_CM[-1])
    numbers = (cm for cm in STATIONS_CM if cm % step == 0 and cm * per_cm >= NUMBER_LEAST_MM)
    numbered = next(numbers, 5 * step)
    return tuple(
        Tick(x=cm * per_cm, label=str(cm) if cm % numbered == 0 else "") for cm in range(0, int(length // 10) + 1, step)
    )
