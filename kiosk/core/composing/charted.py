"""Figures of the quality desk as drawing data and as words: the same on the glass and on paper."""

import math
import re
from collections.abc import Sequence
from datetime import date

from kiosk.core import events as e
from kiosk.core.composing.summary import type_name
from kiosk.core.glance import Glance, head
from kiosk.core.past.figures import (
    FEW,
    IN_TIME,
    LARGEST,
    OF_ANSWERS,
    OF_FINDINGS,
    REMEMBERING,
    UNIT_IS_ONE,
    Asked,
    Bar,
    Baseline,
    By,
    Figures,
    Marks,
    Numbers,
    Spot,
)
from kiosk.core.views import BarsDrawing, ChartDrawing, Dot, DrawnBar, Head, MarksDrawing

STEPS = (1.0, 2.0, 5.0, 10.0)
MOST_TICKS = 5
MOST_DOTS = 24
"""Points of a chart that is not in the order of time: those farthest over their limit (a choice)."""
TENTHS = 10
"""Parts of a lumen in which findings heap up; a heap is named from three on, and beyond chance (choices)."""
HEAP, RARE = 3, 0.05


def day_words(g: Glance, day: str) -> str:
    """ "29 Mar"."""
    when = date.fromisoformat(day)
    return g.words.say("numbers.day", day=when.day, month=g.words.lines("numbers.months")[when.month - 1])


def desk_head(g: Glance, name: str, span: str) -> Head:
    """The head rail of a page about some days: its name and the days; the small screen has one line, for the days."""
    return head(g, title=span if g.small else name, sub=span)


def label_words(g: Glance, by: By, label: str) -> str:
    """What a point is called: a day, a shift of a day, a load, an item type, a check, a scope, a lot."""
    if by is By.TYPE:
        return type_name(g, label)
    if by is By.METHOD:
        return g.words.some(f"numbers.method.{label}") or label
    if by in IN_TIME:
        day, _, rest = label.partition(" ")
        named = g.words.some(f"summary.shift.{rest}") or rest
        return f"{day_words(g, day)} {named}".strip()
    return label


def spot_words(g: Glance, figures: Figures, spot: Spot) -> str:
    """ "10 of 76", or "24 lumens" between two finds."""
    by = figures.asked.by
    if by is By.BETWEEN:
        return g.words.say("numbers.between", n=spot.found)
    if by in OF_FINDINGS:
        return g.words.say(f"numbers.findings.{'one' if spot.found == 1 else 'many'}.{by}", n=spot.found, of=spot.of)
    return g.words.say("numbers.of", n=spot.found, of=spot.of)


def reached(spot: Spot) -> str:
    """How far a running average or the larger of two running sums has come, with its sign; "" of other charts."""
    if spot.value is None:
        return ""
    return f"{spot.value if spot.second is None or spot.value >= -spot.second else spot.second:+.1f}"


def state_words(g: Glance, figures: Figures, spot: Spot) -> str:
    """What stands out about a point, in words; "" where nothing does."""
    rare = figures.asked.by is By.BETWEEN
    key = "above" if spot.above else "below" if spot.below else "run" if spot.run else ""
    return g.words.say(f"numbers.state.{key}{'_rare' if rare and key != 'run' else ''}") if key else ""


def share_words(g: Glance, share: float) -> str:
    """A share as a percentage with as many figures as say something."""
    percent = 100 * share
    return g.words.say("numbers.percent", n=f"{percent:.0f}" if percent >= 10 or not percent else f"{percent:.1f}")


def usual_words(g: Glance, figures: Figures) -> str:
    """What is usual, in words with both numbers."""
    by = figures.asked.by
    if by is By.BETWEEN:
        return g.words.say("numbers.usual.between", n=f"{figures.center:.0f}")
    found, of = (figures.fixed.found, figures.fixed.of) if figures.fixed else (figures.found, figures.of)
    key = "fixed" if figures.fixed else "own"
    since = figures.fixed.since.isoformat() if figures.fixed else ""
    until = figures.fixed.until.isoformat() if figures.fixed else ""
    names = {"found": found, "of": of, "since": since, "until": until}
    if by in OF_FINDINGS:
        return g.words.say(f"numbers.usual.{by}.{key}", **names)
    return g.words.say(f"numbers.usual.{key}", **names)


def rate_words(g: Glance, found: int, of: int, *, short: bool = False) -> str:
    """What share `found` of `of` is, and between which shares the true one lies; under 50 that no share is told."""
    if of < FEW or g.desk.numbers is None:
        return g.words.say("numbers.rate.few", few=FEW)
    low, high = (share_words(g, share) for share in g.desk.numbers.limits(found, of))
    return g.words.say(
        f"numbers.rate.{'short' if short else 'share'}", share=share_words(g, found / of), low=low, high=high
    )


def answer_words(g: Glance, figures: Figures) -> str:
    """The answer in words, with both numbers."""
    words = {"found": figures.found, "of": figures.of, "many": len(figures.spots) + 1}
    return g.words.say(f"numbers.answer.{unit_key(figures.asked.by)}", **words)


def drawn_spots(figures: Figures) -> Sequence[Spot]:
    """The points that are drawn: in the order of time all of them, else those farthest over their limit."""
    if figures.asked.by in IN_TIME:
        return figures.spots
    return sorted(figures.spots, key=farthest_over, reverse=True)[:MOST_DOTS]


def chart_drawing(g: Glance, figures: Figures) -> ChartDrawing:
    """The points with their limits, in percent, or in counts where so few are looked at."""
    by = figures.asked.by
    spots = drawn_spots(figures)
    labeled = _labeled(len(spots), by)
    named = _named(g, figures, spots)
    plain = by in REMEMBERING | OF_FINDINGS | UNIT_IS_ONE
    dots = []
    for n, spot in enumerate(spots):
        times = 1.0 if plain else float(spot.of) if figures.counts else 100.0
        value = spot.found / spot.of * times if spot.value is None else spot.value
        middle = figures.center * times
        dots.append(
            Dot(
                value=value,
                middle=middle,
                lower=spot.lower * times,
                upper=spot.upper * times,
                label=_short(g, by, spot.label) if n in labeled else "",
                out=spot.out if spot.second is None else spot.above,
                words=named.get(n, ""),
                second=spot.second,
                second_out=spot.below,
            )
        )
    most = max((max(dot.value, dot.upper) for dot in dots), default=1.0)
    least = min((min(dot.value, dot.lower, dot.second or 0.0) for dot in dots), default=0.0)
    whole = figures.counts or by in UNIT_IS_ONE
    unit = "" if whole or plain else " %"
    return ChartDrawing(
        dots=tuple(dots),
        ticks=tuple((height, f"{height:g}{unit}") for height in _ticks(most, least=least, whole=whole)),
        usual=" ".join(filter(None, (g.words.say("numbers.line.usual"), _usual_figure(g, figures)))),
        limit=g.words.say("numbers.line.limit"),
        joined=by in IN_TIME,
    )


def _usual_figure(g: Glance, figures: Figures) -> str:
    """What is usual as a number at its line; "" where it steps with the counts, or is none."""
    by, center = figures.asked.by, figures.center
    if by in REMEMBERING or (figures.counts and by not in UNIT_IS_ONE):
        return ""
    if by in OF_FINDINGS:
        return f"{center:.2f}" if center < 1 else f"{center:.1f}"
    return f"{center:.0f}" if by is By.BETWEEN else share_words(g, center)


def _named(g: Glance, figures: Figures, spots: Sequence[Spot]) -> dict[int, str]:
    """The words beside points: the farthest over its limit; of item types each that stands out, on little room short.

    Running averages and sums have none: their points are days, which the axis names.
    """
    by = figures.asked.by
    if by in REMEMBERING:
        return {}
    if by is By.TYPE:
        at = [n for n, spot in enumerate(spots) if spot.out]
    else:
        at = sorted((n for n, spot in enumerate(spots) if spot.above), key=lambda n: -farthest_over(spots[n]))[:1]
    short = [re.split(r"[,(]", label_words(g, by, spots[n].label))[0].strip() for n in at]
    if g.small and by is By.TYPE and 1 < len(at) == len(set(short)):
        return dict(zip(at, short, strict=True))
    return {n: f"{label_words(g, by, spots[n].label)}: {spot_words(g, figures, spots[n])}" for n in at}


def _short(g: Glance, by: By, label: str) -> str:
    """Under the axis: the day alone, or the code."""
    return day_words(g, label.partition(" ")[0]) if by in IN_TIME else label_words(g, by, label)


def _labeled(many: int, by: By) -> set[int]:
    """Which points have a label under the axis; names of item types are too long for one."""
    if not many or by is By.TYPE:
        return set()
    most = 5 if by in IN_TIME else 8
    if many <= most:
        return set(range(many))
    return {round(n * (many - 1) / (most - 1)) for n in range(most)}


def farthest_over(spot: Spot) -> float:
    """How far a point lies over its limit; the one farthest over it is named."""
    return spot.found / spot.of - spot.upper


def _ticks(most: float, *, least: float, whole: bool) -> list[float]:
    """Round heights from 0, or from `least` and lower where that is under 0, to at least `most`."""
    smallest = max(most - least, 1e-9) / MOST_TICKS
    size = 10.0 ** math.floor(math.log10(smallest))
    step = next(size * each for each in STEPS if size * each >= smallest - 1e-12)
    step = max(step, 1.0) if whole else step
    return [round(step * n, 10) for n in range(math.floor(least / step + 1e-9), math.ceil(most / step - 1e-9) + 1)]


def code_bars(g: Glance, bars: Sequence[Bar], most: int) -> BarsDrawing:
    """What it was: the findings in words, the rest in one bar."""
    named = [(g.desk.findings[bar.what].say if bar.what in g.desk.findings.kinds else bar.what, bar.n) for bar in bars]
    return _bars(g, named, most)


def type_bars(g: Glance, bars: Sequence[Bar], most: int) -> BarsDrawing:
    """Which kinds of item."""
    return _bars(g, [(type_name(g, bar.what) or "-", bar.n) for bar in bars], most)


def _bars(g: Glance, named: list[tuple[str, int]], most: int) -> BarsDrawing:
    few = named if len(named) <= most else named[: most - 1]
    rest = named[len(few) :]
    bars = [DrawnBar(words=words, n=n) for words, n in few]
    if rest:
        bars.append(DrawnBar(words=g.words.say("numbers.rest", n=len(rest)), n=0, told=str(sum(n for _, n in rest))))
    return BarsDrawing(bars=tuple(bars))


def marks_drawing(g: Glance, marks: Marks) -> MarksDrawing:
    """Findings along one stretched lumen; the tenth with most of them is named where it is a heap."""
    say, shares = g.words.say, marks.shares
    tenths = [min(int(share * TENTHS), TENTHS - 1) for share in shares]
    heap = max(set(tenths), key=tenths.count, default=0)
    many = tenths.count(heap)
    words = ""
    if many >= HEAP and _chance_of_heap(many, len(shares)) < RARE:
        place = "first" if heap == 0 else "last" if heap == TENTHS - 1 else "some"
        words = say(f"numbers.heap.{place}", n=many, of=len(shares), tenth=heap + 1)
    return MarksDrawing(
        shares=shares, entry=say("band.entry"), tip=say("band.tip"), end=say("numbers.end"), words=words,
        heap=(heap + 0.5) / TENTHS,
    )  # fmt: skip


def _chance_of_heap(many: int, of: int) -> float:
    """How often some tenth holds so many or more where every place is alike: ten times the binomial tail, at most."""
    here, elsewhere = math.log(1 / TENTHS), math.log(1 - 1 / TENTHS)  # by logarithms: a department has thousands
    each = (
        math.lgamma(of + 1) - math.lgamma(n + 1) - math.lgamma(of - n + 1) + n * here + (of - n) * elsewhere
        for n in range(many, of + 1)
    )
    return min(1.0, TENTHS * sum(map(math.exp, each)))


def unit_key(by: By) -> str:
    """What is counted: lumens, answers, findings, or lumens between finds."""
    if by in OF_FINDINGS:
        return by
    return "between" if by is By.BETWEEN else "answers" if by in OF_ANSWERS else "lumens"


def baseline_of(g: Glance, asked: Asked) -> Baseline | None:
    """The newest baseline that was fixed for this counting, at whichever station."""
    about = asked.held_against
    told = [kept for _, kept in g.desk.records.kept("baseline_fixed", holding=about)]
    for kept in reversed(told):
        event = kept.event
        if not isinstance(event, e.BaselineFixed) or event.about != about or not 0 <= event.found <= LARGEST:
            continue
        if not 0 < event.of <= LARGEST or (event.found > event.of and asked.by not in OF_FINDINGS):
            continue
        try:
            since, until = date.fromisoformat(event.since), date.fromisoformat(event.until)
        except ValueError:
            continue
        return Baseline(since=since, until=until, found=event.found, of=event.of)
    return None


def figures_of(g: Glance, numbers: Numbers, asked: Asked) -> Figures:
    """The chart with the baseline that holds for it."""
    return numbers.figures(asked, g.desk.policy.shifts, baseline_of(g, asked))


def chart_title(g: Glance, asked: Asked) -> str:
    """ "Not clear, each day", with its group and item type."""
    say = g.words.say
    group = say(f"numbers.group.{asked.group}") if asked.group else ""
    kind = type_name(g, asked.type) if asked.type else ""
    return " · ".join(filter(None, (say(f"numbers.by.{asked.by}"), group, kind)))
