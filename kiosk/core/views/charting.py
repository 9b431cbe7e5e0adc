"""Charts as drawing data: the same for the glass and for paper. Every text is as it is shown; ink only."""

from dataclasses import dataclass, field

from kiosk.core.commands import Send
from kiosk.core.views.shared import Key, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class Dot:
    """One point in the unit of the axis, with what is usual and the usual limits there. `words`: said beside it.

    `second`: a second point of the same moment, on a line of its own; `second_out`: it stands out.
    """

    value: float
    middle: float
    lower: float
    upper: float
    label: str = ""  # under the axis; "" stands without one
    out: bool = False
    words: str = ""
    second: float | None = None
    second_out: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartDrawing:
    """Points with what is usual and its limits, which step. `ticks`: heights on the axis, the lowest first.

    `joined`: the points stand in the order of time, a line leads from one to the next.
    """

    dots: tuple[Dot, ...]
    ticks: tuple[tuple[float, str], ...]
    usual: str  # the words at the line of what is usual
    limit: str  # the words at the limit
    joined: bool = True

    @property
    def foot(self) -> float:
        """The lowest height of the axis."""
        return self.ticks[0][0]

    @property
    def top(self) -> float:
        """The highest height of the axis, above the lowest one."""
        return self.ticks[-1][0] if self.ticks[-1][0] > self.foot else self.foot + 1.0

    @property
    def lines(self) -> tuple[tuple[tuple[float, bool], ...], ...]:
        """The one or two lines of points: each point's height, and whether it stands out."""
        first = tuple((dot.value, dot.out) for dot in self.dots)
        second = tuple((dot.second, dot.second_out) for dot in self.dots if dot.second is not None)
        return (first, second) if second else (first,)


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnBar:
    """A bar with its words and its number. `told` stands at its end in place of the number."""

    words: str
    n: float
    told: str = ""

    @property
    def end(self) -> str:
        """What stands at the end of the bar."""
        return self.told or f"{self.n:.0f}"


@dataclass(frozen=True, slots=True, kw_only=True)
class BarsDrawing:
    """Bars, each labeled. `full`: the number of a bar of full length; 0: that of the longest."""

    bars: tuple[DrawnBar, ...]
    full: float = 0.0

    @property
    def most(self) -> float:
        """What a bar of full length stands for."""
        return self.full or max(bar.n for bar in self.bars) or 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class MarksDrawing:
    """Findings along one stretched lumen: shares of its length from ENTRY, in rising order. `words` name the heap."""

    shares: tuple[float, ...]
    entry: str
    tip: str
    ticks: tuple[str, ...] = field(default=("0", "¼", "½", "¾"))
    end: str = ""
    words: str = ""
    heap: float = 0.0  # where the words belong


Drawing = ChartDrawing | BarsDrawing | MarksDrawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One chart with its title. `nothing` stands in its place where there is nothing to draw. `send`: a touch on it."""

    title: str
    drawing: Drawing | None
    note: str = ""
    nothing: str = ""
    send: Send | None = None
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelsView(Screen):
    """Up to four panels, each leading to its page; or one alone with `lines` under it, and keys at the foot."""

    panels: tuple[Panel, ...]
    lines: tuple[str, ...] = ()
    main: Key | None = None
    others: tuple[Key, ...] = ()
