"""What the tool costs a person, measured from plays: taps counted one by one, and the program's own seconds.

The limits are those of the department's list of what people hate (common practice, no source). The clock of a play is
moved by hand, so a person's time is not measured: seconds are the real time that the program took from the finger on
the glass to the next screen painted.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.state.piece import TRAY


@dataclass(frozen=True, slots=True, kw_only=True)
class Moment:
    """Where the screen stands: its page, and what the next step is about."""

    page: str = ""
    step: str = ""
    piece: str = ""
    lumen: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Touch:
    """One touch or scan: where it was made, what it sent, what was kept by it, the program's seconds for it."""

    at: Moment
    send: object
    kept: tuple[e.Event, ...] = ()
    seconds: float = 0.0
    scan: bool = False

    def keeps(self, *kinds: type[e.Event]) -> bool:
        """Was an event of one of these kinds kept by it?"""
        return any(isinstance(event, kinds) for event in self.kept)


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One line of the table. `measured` None: nothing of the kind was played. `where`: the play it was worst in."""

    name: str
    budget: float
    measured: float | None
    where: str = ""

    @property
    def holds(self) -> bool | None:
        """Is it within its budget? None where nothing was measured."""
        return None if self.measured is None else self.measured <= self.budget


@dataclass(frozen=True, slots=True, kw_only=True)
class Played:
    """What a play leaves to be measured: the touches and scans at every station, in their order."""

    scenario: str
    touches: Sequence[Touch]

    def kept(self, *kinds: type[e.Event]) -> list[e.Event]:
        """The events of these kinds that were kept by a touch or scan."""
        return [event for touch in self.touches for event in touch.kept if isinstance(event, kinds)]


def table(plays: Iterable[Played]) -> tuple[Figure, ...]:
    """Every line of the budget, each with the worst play it was measured in."""
    plays = tuple(plays)
    return tuple(_worst(name, limit, measure, plays) for name, (limit, measure) in BUDGET.items())


def _worst(name: str, limit: float, measure: "Measure", plays: Iterable[Played]) -> Figure:
    found = [(got, play.scenario) for play in plays if (got := measure(play)) is not None]
    got, where = max(found, default=(None, ""), key=lambda pair: pair[0])
    return Figure(name=name, budget=limit, measured=None if got is None else round(got, 3), where=where)


_BY_HAND = frozenset({"bench", "gloves", "scope", "readable"})
"""Steps that are work of the hands, each said to be done: they are not the price of saying what was found."""


def no_to_ticket(play: Played) -> float | None:
    """Taps from the NO to the paper's being on its way, the NO itself among them. Pictures are counted apart.

    Not of what a second person decides, nor of a tray that goes back because somebody was hurt or splashed.
    """
    counts = []
    for last in [i for i, touch in enumerate(play.touches) if touch.keeps(e.ItemBack, e.TrayBack)]:
        first = max((i for i in range(last) if _says_no(play.touches[i])), default=None)
        if first is None or any(touch.keeps(e.SecondLookAsked, e.FirstAidBegun) for touch in play.touches[first:last]):
            continue
        way = play.touches[first : last + 1]
        counts.append(sum(t.at.step not in _BY_HAND and not _of_a_picture(t) and not t.scan for t in way))
    return max(counts, default=None)


def taps_for_a_picture(play: Played) -> float | None:
    """Taps for the picture that the rules want of a finding."""
    counts = []
    for last in [i for i, touch in enumerate(play.touches) if touch.keeps(e.PhotoTaken)]:
        first = last
        while first and _of_a_picture(play.touches[first - 1]):
            first -= 1
        counts.append(last + 1 - first)
    return max(counts, default=None)


def _says_no(touch: Touch) -> bool:
    return isinstance(touch.send, c.Answer) and not touch.send.yes


def _of_a_picture(touch: Touch) -> bool:
    return touch.at.page == "PhotoView" or touch.send == c.Turn(page=c.Page.PHOTO)


def _at_lumens(play: Played) -> list[Touch]:
    """The touches at the checks of lumens, and those that lead there: the overview, a scope's cleaning."""
    return [t for t in play.touches if not t.scan and (_asks_lumen(t) or _leads_there(t))]


def _asks_lumen(touch: Touch) -> bool:
    return touch.at.page == "AskView" and bool(touch.at.lumen)


def _leads_there(touch: Touch) -> bool:
    return touch.at.page == "OverviewView" or (touch.at.step == "scope" and touch.at.page == "StepsView")


def _lumen_checks(play: Played) -> int:
    answers = play.kept(e.CheckYes, e.CheckNo)
    return sum("." in answer.key for answer in answers if isinstance(answer, e.CheckYes | e.CheckNo))


FEWEST = 6
"""Lumen checks from which a share of them says something: below it the way to the piece outweighs the check."""


def taps_per_lumen_check(play: Played) -> float | None:
    """Taps at lumen checks for each answer given; the YES or NO is one of them, a scope's cleaning another."""
    checks = _lumen_checks(play)
    return len(_at_lumens(play)) / checks if checks >= FEWEST else None


def seconds_per_lumen_check(play: Played) -> float | None:
    """The program's own seconds at lumen checks, for each answer given."""
    checks = _lumen_checks(play)
    return sum(touch.seconds for touch in _at_lumens(play)) / checks if checks else None


def slowest_touch(play: Played) -> float | None:
    """The program's seconds for its slowest touch."""
    return max((touch.seconds for touch in play.touches if not touch.scan), default=None)


def taps_on_a_plain_tray(play: Played) -> float | None:
    """Taps about lumens on a play whose trays have none."""
    opened = [event for event in play.kept(e.TrayOpened) if isinstance(event, e.TrayOpened)]
    if not opened or any(item.lumens for event in opened for item in event.tray.items):
        return None
    return sum(_leads_there(t) or (t.at.step == "check" and t.at.piece != TRAY) for t in play.touches)


def acts_to_receive(play: Played) -> float | None:
    """Touches and scans for a ticket in decontam, after whatever was kept before it. A number typed is one of them."""
    return max(_acts_since_kept(play, e.TicketReceived), default=None)


def taps_for_dont_know(play: Played) -> float | None:
    """Taps from a check's question to "I don't know" being kept."""
    counts = []
    for last in [i for i, touch in enumerate(play.touches) if _keeps_unsure(touch)]:
        first = max(i for i in range(last + 1) if isinstance(play.touches[i].send, c.Answer))
        counts.append(last + 1 - first)
    return max(counts, default=None)


def _keeps_unsure(touch: Touch) -> bool:
    return any(isinstance(event, e.Found) and event.code == "unsure" for event in touch.kept)


def _acts_since_kept(play: Played, kind: type[e.Event]) -> Iterable[int]:
    for at, touch in enumerate(play.touches):
        if touch.keeps(kind):
            since = max((i for i in range(at) if play.touches[i].kept), default=-1) + 1
            typing = [_types(each) for each in play.touches[since : at + 1]]
            yield typing.count(False) + any(typing)


def _types(touch: Touch) -> bool:
    """Is it part of typing a number: its key, a figure, the end?"""
    opens = isinstance(touch.send, c.Turn) and touch.send.page is c.Page.TYPE_NUMBER
    return opens or touch.at.page == "NumberView"


Measure = Callable[[Played], float | None]

BUDGET: Mapping[str, tuple[float, Measure]] = {
    "taps from NO to the ticket, the NO among them": (4, no_to_ticket),
    "taps for the picture that a finding wants": (2, taps_for_a_picture),
    "taps per lumen check": (2, taps_per_lumen_check),
    "program's seconds per lumen check": (5, seconds_per_lumen_check),
    "program's seconds of the slowest touch": (1, slowest_touch),
    "taps about lumens on a tray that has none": (0, taps_on_a_plain_tray),
    "touches or scans to receive a ticket": (1, acts_to_receive),
    "taps for I don't know": (1, taps_for_dont_know),
}
"""Name -> (at most, how it is measured). A second of waiting is where a thought is lost (Nielsen after Miller 1968)."""


SUPERVISOR = "supervisor's badge and PIN in a shift of the invented day"
CALLED_MOST = 5
"""Under six a shift (common practice, no source)."""


def of_day(sign_ins: Mapping[tuple[str, str], int]) -> Figure:
    """How often a supervisor was signed in or called, in the worst shift. `sign_ins`: (shift, role) -> how often."""
    called = {shift: n for (shift, role), n in sign_ins.items() if role == "supervisor"}
    worst = max(called, key=lambda shift: called[shift], default="")
    return Figure(name=SUPERVISOR, budget=CALLED_MOST, measured=called.get(worst, 0), where=worst)


def as_rows(figures: Iterable[Figure]) -> list[dict[str, object]]:
    """The table as JSON carries it."""
    return [{**asdict(figure), "holds": figure.holds} for figure in figures]


_HOLDS = {True: "holds", False: "OVER", None: "not played"}

SAID = (
    "Taps are counted one by one. Seconds are the program's own, from finger down to the next screen painted,",
    "on this machine; a person's time is not measured, for the clock of a play is moved by hand.",
)


def as_text(figures: Iterable[Figure]) -> str:
    """The table in words, and under it what is measured and what is not."""
    rows = [(f.name, f"{f.budget:g}", "-" if f.measured is None else f"{f.measured:.3g}", f.where, f) for f in figures]
    wide = max(len(row[0]) for row in rows)
    lines = [f"{'budget':<{wide}}  at most  measured  worst in"]
    lines += [
        f"{name:<{wide}}  {limit:>7}  {got:>8}  {where:<8}  {_HOLDS[figure.holds]}"
        for name, limit, got, where, figure in rows
    ]
    return "\n".join([*lines, *SAID])
