"""What a chart says in words: what to do next, what is usual, how it is counted, what its method can not say."""

from kiosk.core.composing.charted import (
    MOST_DOTS,
    farthest_over,
    label_words,
    rate_words,
    spot_words,
    unit_key,
    usual_words,
)
from kiosk.core.figures import EVEN, FEW, IN_TIME, OF_FINDINGS, REMEMBERING, By, Figures, Spot
from kiosk.core.glance import Glance


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


def _lasting(g: Glance, figures: Figures) -> str:
    """Of charts that remember the newest signal counts: since when, and in which direction."""
    say, by = g.words.say, figures.asked.by
    places = [n for n, spot in enumerate(figures.spots) if spot.out]
    if not places:
        return say("numbers.next.still_lasting")
    newest = figures.spots[places[-1]]
    since = newest.since or _first_of(figures, places[-1])
    over = places[-1] != len(figures.spots) - 1
    key = f"{'above' if newest.above else 'below'}_{by}"
    said = say(f"numbers.next.{key}", since=label_words(g, by, since))
    return f"{say('numbers.next.over', last=label_words(g, by, newest.label))} {said}" if over else said


def _first_of(figures: Figures, place: int) -> str:
    """Where the unbroken row of signals to one side began that ends at this point."""
    spots = figures.spots
    while place and spots[place - 1].above == spots[place].above and spots[place - 1].out:
        place -= 1
    return spots[place].label


def axis_words(g: Glance, by: By) -> str:
    """What the heights of a chart are, where it is neither a share nor a plain count."""
    return g.words.say(f"numbers.axis.{by}") if by in OF_FINDINGS | REMEMBERING else ""


def standing_out(g: Glance, figures: Figures) -> str:
    """Every item type that stands out, by its name with both numbers; "" of other charts, or where at most one does."""
    by = figures.asked.by
    out = sorted((spot for spot in figures.spots if spot.out), key=farthest_over, reverse=True)
    if by is not By.TYPE or len(out) < 2:
        return ""
    names = "; ".join(f"{label_words(g, by, spot.label)} {spot_words(g, figures, spot)}" for spot in out)
    return g.words.say("numbers.out", names=names)


def limits_lines(g: Glance, figures: Figures) -> tuple[str, ...]:
    """What is usual, what stands out, how it is counted, and what the method can not say."""
    say, by = g.words.say, figures.asked.by
    lines = [*((_usual_line(g, figures),) if figures.spots else ()), standing_out(g, figures)]
    counted = [say(f"numbers.counted.{unit_key(by)}")]
    if by not in IN_TIME and len(figures.spots) > MOST_DOTS:
        counted.append(say("numbers.farthest", n=MOST_DOTS, of=len(figures.spots)))
    return tuple(filter(None, (*lines, *counted, *_method(g, figures))))


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
        also = say("numbers.limits.even", percent=f"{100 * EVEN:.0f}") if by is By.A_DAY else ""
        said = say(f"numbers.limits.{'exact_findings' if figures.small else by}")
        return said, also or say("numbers.limits.findings")
    method = "between" if by is By.BETWEEN else "time" if by in IN_TIME else "groups"
    return (say(f"numbers.limits.exact_{method}" if figures.small else f"numbers.limits.{method}"),)


def point_words(g: Glance, figures: Figures, spot: Spot) -> str:
    """Of a point that is a rate its share with its limits; the small screen has no room for why there is none."""
    by = figures.asked.by
    if by is By.BETWEEN or by in OF_FINDINGS or (g.small and spot.of < FEW):
        return ""
    return rate_words(g, spot.found, spot.of, short=g.small)
