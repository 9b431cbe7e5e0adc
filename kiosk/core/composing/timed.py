"""Time and people as words, lines and bars: the same on the glass and on paper. Never by person."""

from collections.abc import Iterator, Mapping
from datetime import date, timedelta

from kiosk.core.composing.charted import day_words
from kiosk.core.composing.summary import type_name
from kiosk.core.glance import Glance
from kiosk.core.papers import SheetLine
from kiosk.core.past.hours import (
    CAP_S,
    DAYS,
    LEAST,
    LEAST_DAYS,
    EveryLumen,
    Hour,
    Hours,
    Minutes,
    Need,
    Times,
    Took,
)
from kiosk.core.stamp import local_time
from kiosk.core.views import BarsDrawing, DrawnBar


def today(g: Glance) -> date:
    """The station's local day."""
    return local_time(g.now.at_ms, g.now.offset_min).date()


def span(until: date) -> tuple[date, date]:
    """The four weeks that end on this day."""
    return until - timedelta(days=DAYS - 1), until


def span_words(g: Glance, until: date) -> str:
    """ "7 Mar to 3 Apr"."""
    first, last = (day_words(g, day.isoformat()) for day in span(until))
    return g.words.say("numbers.span", since=first, until=last)


def number(value: float) -> str:
    """Minutes: whole from ten on, else to a tenth; no zero has a sign."""
    text = f"{value:.0f}" if abs(value) >= 10 else f"{value:.1f}"
    return "0" if float(text) == 0 else text


def times_of(g: Glance, hours: Hours, until: date) -> Times:
    """The checks of the four weeks."""
    return hours.times(*span(until), g.desk.policy.shifts)


def lacking(g: Glance, times: Times | None) -> str:
    """Why no figure of time is told, in one sentence; "" where they are."""
    if times is None or not times.whole.answers:
        return g.words.say("hours.none", days=DAYS)
    if times.short:
        return g.words.say("hours.short.one" if times.days == 1 else "hours.short.many", n=times.days, least=LEAST_DAYS)
    if times.whole.minutes_a_shift is None:
        return g.words.say("hours.few", n=times.whole.timed, least=LEAST)
    return ""


def answer_words(g: Glance, times: Times) -> str:
    """The answer: minutes of checks a shift."""
    return g.words.say("hours.answer", n=number(times.whole.minutes_a_shift or 0.0))


def of_words(g: Glance, times: Times) -> str:
    """What the answer was taken from."""
    return g.words.say("hours.of", answers=times.whole.answers, shifts=times.shifts)


def method_words(g: Glance, method: str) -> str:
    """A check by its name."""
    return g.words.some(f"name.{method}") or method


def method_bars(g: Glance, times: Times, most: int) -> BarsDrawing | None:
    """Median seconds by check, the slowest first, the 90th percentile in words; the checks that take most time."""
    told = [(took.method, took.spread, took.minutes_a_shift or 0.0) for took in times.by_method if took.spread]
    told = sorted(told, key=lambda row: -row[2])[:most]
    bars = [
        DrawnBar(
            words=g.words.say("hours.bar", check=method_words(g, method), p90=f"{spread.p90_s:.0f}"),
            n=round(spread.median_s),
        )
        for method, spread, _ in sorted(told, key=lambda row: -row[1].median_s)
    ]
    return _drawn(bars)


def _drawn(bars: list[DrawnBar]) -> BarsDrawing | None:
    return BarsDrawing(bars=tuple(bars)) if any(bar.n for bar in bars) else None


def unshown_words(g: Glance, times: Times, most: int) -> str:
    """How many checks have no bar; ""."""
    told = sum(took.spread is not None for took in times.by_method)
    left = len(times.by_method) - min(told, most)
    return g.words.say("hours.unshown.one" if left == 1 else "hours.unshown.many", n=left) if left else ""


def type_lines(g: Glance, times: Times) -> Iterator[SheetLine]:
    """Each item type, most answers first: median and 90th percentile, or the count alone."""
    for took in times.by_type:
        name = type_name(g, took.type) if took.type else g.words.say("hours.of_tray")
        counted = g.words.say("hours.answers", n=took.answers) if took.spread else ""
        note = ", ".join(filter(None, (counted, left_out(g, took))))
        yield SheetLine(label=name, value=took_words(g, took), note=note)


def method_lines(g: Glance, times: Times) -> Iterator[SheetLine]:
    """Each check, most answers first: answers and minutes a shift."""
    for took in times.by_method:
        minutes = took.minutes_a_shift
        value = f"{took.answers} / {'-' if minutes is None else number(minutes)}"
        yield SheetLine(label=method_words(g, took.method), value=value, note=left_out(g, took))


def took_words(g: Glance, took: Took) -> str:
    """ "13 s / 31 s", or under LEAST answers how many there are."""
    if took.spread is None:
        return g.words.say("hours.answers", n=took.answers)
    return f"{took.spread.median_s:.0f} s / {took.spread.p90_s:.0f} s"


def left_out(g: Glance, took: Took) -> str:
    """Answers that are in no figure; ""."""
    counts = (("not_timed", took.not_timed), ("interrupted", took.interrupted))
    return ", ".join(g.words.say(f"hours.{name}", n=n, minutes=CAP_S // 60) for name, n in counts if n)


def every_words(g: Glance, every: EveryLumen) -> str:
    """What checking every lumen every time costs a shift; where nothing was opened, that."""
    if not every.shifts:
        return g.words.say("hours.every.none")
    more = every.every.middle - every.now.middle
    return g.words.say("hours.every.more" if number(more) != "0" else "hours.every.same", n=number(more))


def every_of(g: Glance, every: EveryLumen) -> str:
    """Both in minutes, and of how much."""
    now, all_ = (number(side.middle) for side in (every.now, every.every))
    of = {"lumens": every.lumens, "trays": every.trays, "shifts": every.shifts}
    return g.words.say("hours.every.of", now=now, every=all_, **of) if every.shifts else ""


def every_bars(g: Glance, every: EveryLumen) -> BarsDrawing | None:
    """Minutes a shift both ways; low and high in words."""
    return _drawn(
        [
            DrawnBar(words=between_words(g, f"hours.every.{key}", side), n=round(side.middle))
            for key, side in (("all", every.every), ("now", every.now))
        ]
    )


def between_words(g: Glance, key: str, minutes: Minutes) -> str:
    """A sentence with low and high."""
    return g.words.say(key, low=number(minutes.low), high=number(minutes.high))


def unknown_words(g: Glance, minutes: Minutes) -> str:
    """Checks without a measured time, which are in no figure; ""."""
    parts = [f"{method_words(g, method)} {n}" for method, n in sorted(minutes.unknown.items())]
    return g.words.say("hours.unknown", checks=", ".join(parts)) if parts else ""


def every_notes(g: Glance, every: EveryLumen) -> tuple[str, ...]:
    """What is in no figure."""
    key = "one" if every.no_size == 1 else "many"
    size = g.words.say(f"hours.no_size.{key}", n=every.no_size) if every.no_size else ""
    return tuple(filter(None, (unknown_words(g, every.every), size)))


def asked_lines(g: Glance, now: Mapping[str, int], then: Mapping[str, int]) -> Iterator[SheetLine]:
    """Answers by check under both, those that change most first."""
    methods = sorted({*now, *then}, key=lambda one: (-abs(then.get(one, 0) - now.get(one, 0)), one))
    for method in methods:
        before, after = now.get(method, 0), then.get(method, 0)
        note = g.words.say("hours.now_then", now=before, then=after)
        yield SheetLine(label=method_words(g, method), value=signed(after - before), note=note)


def signed(n: int) -> str:
    return f"+{n}" if n > 0 else f"−{-n}" if n < 0 else "0"


def need_words(g: Glance, need: Need) -> str:
    """The most benches that a wait takes, and when; or that there are too few trays."""
    told = [hour for hour in need.hours if hour.benches is not None]
    if not told:
        return g.words.say("hours.benches.few", least=LEAST)
    worst = max(told, key=lambda hour: (hour.benches or 0, hour.load or 0.0))
    key = "one" if worst.benches == 1 else "many"
    return g.words.say(f"hours.benches.answer.{key}", n=worst.benches, at=hour_words(worst), wait=number(need.wait_min))


def need_of(g: Glance, need: Need) -> str:
    """Minutes a tray at the bench, which the need rests on."""
    if need.mean_min is None or need.median_min is None or need.p90_min is None:
        return g.words.say("hours.benches.trays", packed=need.packed, back=need.back)
    figures = {"mean": need.mean_min, "median": need.median_min, "p90": need.p90_min}
    return g.words.say("hours.benches.stay", **{name: number(value) for name, value in figures.items()})


def hour_words(hour: Hour) -> str:
    """ "07:00–08:00"."""
    return f"{hour.hour:02}:00–{(hour.hour + 1) % 24:02}:00"


def hour_line(g: Glance, hour: Hour, *others: Hour) -> SheetLine:
    """Benches of one hour; of others beside it (longer waits) their benches too."""
    say = g.words.say
    each = [str(one.benches) for one in (hour, *others) if one.benches is not None]
    key = "one" if each == ["1"] else "many"
    value = (
        say(f"hours.benches.value.{key}", n=" / ".join(each)) if each else say("hours.benches.trays_n", n=hour.trays)
    )
    told = [say("hours.benches.an_hour", an_hour=f"{hour.an_hour:.1f}", trays=hour.trays, most=hour.at_work)]
    if hour.grows:
        told.append(say("hours.benches.grows"))
    elif hour.wait_min is not None and not others:
        told.append(say("hours.benches.mean_wait", n=number(hour.wait_min)))
    return SheetLine(label=hour_words(hour), value=value, note=" ".join(told))


def need_notes(g: Glance, need: Need) -> tuple[str, ...]:
    """Trays that are in no figure."""
    if not need.left_lying and not need.not_ended:
        return ()
    return (g.words.say("hours.benches.beside", lying=need.left_lying, open=need.not_ended),)
