"""What a chart says in words: what to do next, what is usual, how it is counted, what its method can not say."""

from collections.abc import Sequence

from kiosk.core.composing.charted import (
    MOST_DOTS,
    farthest_over,
    label_words,
    rate_words,
    spot_words,
    unit_key,
    usual_words,
)
from kiosk.core.glance import Glance
from kiosk.core.past.figures import EVEN, FEW, IN_TIME, OF_FINDINGS, REMEMBERING, By, Figures, Spot

LETTERS, LETTERS_SMALL = 150, 75
"""What the line under a title holds."""


def next_words(g: Glance, figures: Figures) -> str:
    """What to do next: which point to open, or that nothing stands out."""
    say, by = g.words.say, figures.asked.by
    if not figures.spots:
        return say("numbers.next.flat" if figures.flat else "numbers.next.nothing_yet")
    if figures.uneven:
        return say("numbers.next.uneven", least=min(figures.looked), most=max(figures.looked))
    if by in REMEMBERING:
        return _lasting(g, figures)
    over = [spot for spot in figures.spots if spot.above]
    if over:
        worst = max(over, key=farthest_over)
        if by is By.TYPE and (said := _types_over(g, figures, over)):
            return said
        words = label_words(g, by, worst.label), spot_words(g, figures, worst)
        key = "above_rare" if by is By.BETWEEN else "above" if len(over) == 1 else "above_many"
        return say(f"numbers.next.{key}", label=words[0], what=words[1], n=len(over))
    if any(spot.run for spot in figures.spots):
        return say("numbers.next.run")
    if figures.few:
        return say("numbers.next.few")
    under = [spot for spot in figures.spots if spot.below]
    if under and by is not By.BETWEEN:
        best = min(under, key=lambda spot: spot.found / spot.of - spot.lower)
        return say("numbers.next.below", label=label_words(g, by, best.label), what=spot_words(g, figures, best))
    key = "still_rare" if by is By.BETWEEN else "still" if by in IN_TIME else "alike"
    return say(f"numbers.next.{key}")


def _types_over(g: Glance, figures: Figures, over: Sequence[Spot]) -> str:
    """Every item type over its limit by name, the farthest first; "" of one, or where a line does not hold them."""
    by = figures.asked.by
    out = sorted(over, key=farthest_over, reverse=True)
    names = "; ".join(f"{label_words(g, by, spot.label)}, {spot_words(g, figures, spot)}" for spot in out)
    said = g.words.say("numbers.next.above_types", names=names)
    return said if len(out) > 1 and len(said) <= (LETTERS_SMALL if g.small else LETTERS) else ""


def _lasting(g: Glance, figures: Figures) -> str:
    """Of charts that remember the newest signal counts: since when, and in which direction."""
    say, by = g.words.say, figures.asked.by
    places = [n for n, spot in enumerate(figures.spots) if spot.out]
    if not places:
        return say("numbers.next.still_lasting")
    newest = figures.spots[places[-1]]
    since = newest.since or _first_of(figures, places[-1])
    side, first = "above" if newest.above else "below", label_words(g, by, since)
    if places[-1] == len(figures.spots) - 1:
        return say(f"numbers.next.{side}_{by}", since=first)
    last = label_words(g, by, newest.label)
    if by is By.SUMS:
        return say(f"numbers.next.over_{side}_sums", since=first, last=last)
    days = first if since == newest.label else say("numbers.span", since=first, until=last)
    return say(f"numbers.next.over_{side}", days=days)


def _first_of(figures: Figures, place: int) -> str:
    """Where the unbroken row of signals to one side began that ends at this point."""
    spots = figures.spots
    while place and spots[place - 1].above == spots[place].above and spots[place - 1].out:
        place -= 1
    return spots[place].label


def axis_words(g: Glance, by: By) -> str:
    """What the heights of a chart are, where it is neither a share nor a plain count."""
    return g.words.say(f"numbers.axis.{by}") if by in OF_FINDINGS | REMEMBERING else ""


def limits_lines(g: Glance, figures: Figures) -> tuple[str, ...]:
    """What is usual, how it is counted, and what the method can not say."""
    say, by = g.words.say, figures.asked.by
    lines = [_usual_line(g, figures)] if figures.spots else []
    lines.append(say(f"numbers.counted.{unit_key(by)}"))
    if by not in IN_TIME and len(figures.spots) > MOST_DOTS:
        lines.append(say("numbers.farthest", n=MOST_DOTS, of=len(figures.spots)))
    return tuple(filter(None, (*lines, *_method(g, figures))))


def _usual_line(g: Glance, figures: Figures) -> str:
    """What is usual with both its numbers, then the whole period's rate with its limits, of what is a rate."""
    by, said = figures.asked.by, [usual_words(g, figures)]
    if by is By.BETWEEN or by in OF_FINDINGS:
        return said[0]
    if figures.fixed:
        said.append(g.words.say("numbers.rate.period", found=figures.found, of=figures.of))
    return " ".join((*said, rate_words(g, figures.found, figures.of)))


def _method(g: Glance, figures: Figures) -> tuple[str, ...]:
    """The method by name, its choices with their source, and what it can not say."""
    say, by = g.words.say, figures.asked.by
    if by in REMEMBERING:
        first, second = figures.tuned
        rough = say("numbers.limits.rough") if figures.small else ""
        said = say(f"numbers.limits.{by}", first=f"{first:g}", second=f"{second:g}")
        return said, " ".join(filter(None, (say(f"numbers.limits.{by}_says"), rough)))
    if by in OF_FINDINGS:
        even = "even_fixed" if figures.fixed else "even"
        also = say(f"numbers.limits.{even}", percent=f"{100 * EVEN:.0f}") if by is By.A_DAY else ""
        said = say(f"numbers.limits.{'exact_findings' if figures.small else by}")
        return said, also, say("numbers.limits.findings")
    method = "between" if by is By.BETWEEN else "time" if by in IN_TIME else "groups"
    return (say(f"numbers.limits.exact_{method}" if figures.small else f"numbers.limits.{method}"),)


def point_words(g: Glance, figures: Figures, spot: Spot) -> str:
    """Of a point that is a rate its share with its limits; the small screen has no room for why there is none."""
    by = figures.asked.by
    if by is By.BETWEEN or by in OF_FINDINGS or (g.small and spot.of < FEW):
        return ""
    return rate_words(g, spot.found, spot.of, short=g.small)
