"""What `throughlight hours` found, as lines of text: four tables, each with the limits of its method under it."""

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from kiosk.core.past.hours import CAP_S, LEAST

if TYPE_CHECKING:
    from kiosk.cli.hours import Hours
    from kiosk.core.past.hours import Minutes, Took
    from kiosk.quality.bench_need import Hour
    from kiosk.quality.policy_replay import Replay, WayChange

MOST_LUMENS = 20
"""Lumens listed at most; --json has all."""

OF_TIMES = f"""\
A time is how long the question stood on the screen, of one end where both are asked: what was done before it came up,
such as gloves, walking or cleaning a scope, is not in it. Answers without a time, and those over {CAP_S // 60} minutes,
are counted beside and are in no figure. Under {LEAST} timed answers only the count is told. Percentiles: linear between
the two nearest values (Hyndman and Fan, definition 7). A shift here is all benches of one shift together.
No figure is by person, and none is a norm for anyone."""

OF_EVERY = """\
Planned from the set records as they were opened, with this bench's kit whole, at what each check takes here by method.
In force is what the policy asks of every lumen now. Every check is any that size may ask and the department uses; what
the IFU forbids, what does not fit and what the shape does not allow stays out.
25th and 75th percentile hold for every check at once: a whole shift varies less. Times lean to the long side, so the
mean gives the likelier total. Asked again after a NO, a pause or a return, spares and scope cleaning are not in it.
More checks are not more found: that no figure here says."""

OF_BENCHES = """\
Erlang C (M/M/c): trays come by chance, one bench a tray, no tray leaves the line, times lean as the exponential does.
Trays of one washer load come together, so real waits are longer. A tray counts as come when it was opened, for the log
does not know how long it stood before: where trays wait, more come at the peak than is shown. The rate of an hour is
the mean over days on which any tray was opened, quiet days with busy ones. Load is trays an hour times mean minutes,
from opened to packed or sent back, without pauses; a short absence without a pause counts as work."""

OF_REPLAY = """\
The same trays, planned under both policies by the real planner with this bench's kit whole: scopes out of use and a NO
at the bench start are not played again. It tells what is asked, not what would have been found, nor what is done again
after a NO, a pause or a return. 25th and 75th percentile hold for every check at once. Seen is what a plan can see."""


def table(found: "Hours") -> list[str]:
    """The lines to print."""
    parts = [_head(found), _times(found), [*OF_TIMES.splitlines()], _every(found), [*OF_EVERY.splitlines()]]
    parts += [_benches(found), [*OF_BENCHES.splitlines()]]
    if found.replay is not None:
        parts += [_replay(found, found.replay), [*OF_REPLAY.splitlines()]]
    return "\n\n".join("\n".join(part) for part in parts).splitlines()


def limits(found: "Hours") -> Iterator[str]:
    """The limits of each method that was used, a sentence or several each."""
    for words in (OF_TIMES, OF_EVERY, OF_BENCHES, *((OF_REPLAY,) if found.replay is not None else ())):
        yield words.replace("\n", " ")


def _head(found: "Hours") -> list[str]:
    of = found.opened
    more = [f"{of.let_go} opened by mistake and let go are left out"] if of.let_go else []
    more += [f"{of.unreadable} cannot be read here"] if of.unreadable else []
    words = (
        f"{found.span.first} to {found.span.last}: {_many(len(of.trays), 'tray')} opened, {found.times.whole.answers:,}"
    )
    lines = [f"{words} answers{'; ' if more else ''}{', '.join(more)}."]
    return ["PRACTICE: nothing here counts.", *lines] if found.practice else lines


def _times(found: "Hours") -> list[str]:
    took = found.times
    if not took.whole.answers:
        return ["Seconds a check: no answer in these days."]
    lines = [f"Seconds a check, in {_many(took.shifts, 'shift')}:"]
    by_method = [(row.method, row) for row in took.by_method]
    by_type = [(row.type or "the tray's own", row) for row in took.by_type]
    for title, rows in (("by method", by_method), ("by type of item", [*by_type, ("all together", took.whole)])):
        cells = [[title, "answers", "no time", "too long", "median", "90th", "minutes a shift"]]
        cells += [[name, *_counts(row), *_seconds(row)] for name, row in rows]
        lines += [*_aligned(cells), ""]
    return lines[:-1]


def _counts(row: "Took") -> list[str]:
    return [f"{row.answers:,}", f"{row.not_timed:,}", f"{row.interrupted:,}"]


def _seconds(row: "Took") -> list[str]:
    if row.spread is None:
        return ["-", "-", "-"]
    minutes = "-" if row.minutes_a_shift is None else f"{row.minutes_a_shift:.1f}"
    return [f"{row.spread.median_s:.1f}", f"{row.spread.p90_s:.1f}", minutes]


def _every(found: "Hours") -> list[str]:
    every = found.every
    if not every.shifts:
        return ["Checking every lumen: no tray was opened in these days."]
    of = f"{_many(every.trays, 'tray')} with {_many(every.lumens, 'lumen')} in {_many(every.shifts, 'shift')}"
    lines = [f"Checking every lumen, minutes a shift, of {of}:"]
    rows = [["", "median", "25th to 75th", "mean"]]
    rows += [["as the policy in force asks", *_figures(every.now)], ["every check there is", *_figures(every.every)]]
    lines += _aligned(rows)
    lines += _not_measured("In force", every.now) + _not_measured("Every check", every.every)
    held = every.replay.now.holds.get("unknown_lumen", 0)
    return lines + (
        [f"   {held:,} pieces wait for the size of a lumen: those lumens have no check in it."] if held else []
    )


def _figures(minutes: "Minutes") -> list[str]:
    return [f"{minutes.middle:,.1f}", f"{minutes.low:,.1f} to {minutes.high:,.1f}", f"{minutes.mean:,.1f}"]


def _not_measured(whose: str, minutes: "Minutes") -> list[str]:
    if not minutes.unknown:
        return []
    which = ", ".join(
        f"{method} {n:+,}" if n < 0 else f"{method} {n:,}" for method, n in sorted(minutes.unknown.items())
    )
    return [f"   {whose}: no time is known here for {which} checks of the span: they are in no figure."]


def _benches(found: "Hours") -> list[str]:
    need = found.need
    stays = need.stays
    told = f"{_many(stays.packed, 'tray')} packed and {stays.back:,} sent back"
    beside = f"{stays.left_lying} left lying, {stays.not_ended} not ended"
    if stays.mean_min is None:
        return [f"Benches: {told}, {beside}: too few for minutes a tray (under {LEAST})."]
    times = f"median {stays.median_min:.1f}, 90th percentile {stays.p90_min:.1f}, mean {stays.mean_min:.1f}"
    wait = f"{need.share:.0%} of the trays wait no longer than {need.wait_min:g} minutes"
    lines = [
        f"Minutes a tray at the bench: {times}, of {told}; {beside}, not counted.",
        f"Benches so that {wait}, over {_many(need.days, 'day')}:",
    ]
    rows = [["hour", "trays", "an hour", "load", "benches", "mean wait", "most at work"]]
    lines += _aligned([*rows, *(_hour(each) for each in need.hours)])
    grows = [f"{each.hour:02}" for each in need.hours if each.as_now is not None and each.as_now.grows]
    if grows:
        lines.append(
            f"   WARNING: at hour {', '.join(grows)} more comes in than the benches seen at work then can pack: "
            "the line only grows, and no wait can be told for them."
        )
    return lines


def _hour(each: "Hour") -> list[str]:
    told = [f"{each.hour:02}", f"{each.trays:,}", f"{each.an_hour:.2f}"]
    if each.needs is None:
        return [*told, "-", "-", "-", str(each.at_work)]
    return [*told, f"{each.needs.load:.2f}", str(each.needs.people), f"{each.needs.wait_min:.1f}", str(each.at_work)]


def _replay(found: "Hours", both: "Replay") -> list[str]:
    lines = [f"Under {found.under} in place of the policy in force, of {_many(both.trays, 'tray')}:"]
    if both.more:
        lines += _aligned([["check", "now", "then", "more"], *_methods(both)])
    else:
        lines.append("   every check is the same")
    if found.minutes is not None and both.more:
        lines.append(f"   minutes more in the span: {_more(found.minutes)}")
        lines += _not_measured("Of these", found.minutes)
    lines.append(f"   trays held by their plan: {both.now.trays_held:,} now, {both.then.trays_held:,} then")
    lines += [f"   pieces held, {code}: {now:,} now, {then:,} then" for code, now, then in _holds(both)]
    lines += _lumens(both.ways)
    lines.append(
        f"   Of {_many(both.compared, 'tray')} whose own plan is in the log, {both.alike:,} were asked just what the "
        "policy in force asks here."
    )
    if found.elsewhere:
        lines.append(
            f"   {_many(found.elsewhere, 'tray')} opened at other stations stand here as if with this bench's kit."
        )
    if found.other:
        lines.append(f"   The policies differ in these too, which is in no figure: {', '.join(found.other)}.")
    return lines


def _methods(both: "Replay") -> Iterator[list[str]]:
    for method, more in both.more.items():
        yield [method, f"{both.now.asked.get(method, 0):,}", f"{both.then.asked.get(method, 0):,}", f"{more:+,}"]


def _more(minutes: "Minutes") -> str:
    ends = f"{minutes.low:+,.0f} to {minutes.high:+,.0f}"
    return f"median {minutes.middle:+,.0f}, 25th to 75th {ends}, mean {minutes.mean:+,.0f}"


def _holds(both: "Replay") -> list[tuple[str, int, int]]:
    codes = sorted({*both.now.holds, *both.then.holds})
    return [(code, both.now.holds.get(code, 0), both.then.holds.get(code, 0)) for code in codes]


def _lumens(ways: "Sequence[WayChange]") -> Iterator[str]:
    if not ways:
        yield "   no lumen is seen, touched, proven or held otherwise"
    for way in ways[:MOST_LUMENS]:
        which = f"{way.tray} {way.item} {way.name}, {way.lumen}"
        yield f"   {_many(way.times, 'time')}: {which}: {', '.join(_changes(way))}"
    if len(ways) > MOST_LUMENS:
        yield f"   and {len(ways) - MOST_LUMENS} lumens more: --json has them all"


def _changes(way: "WayChange") -> Iterator[str]:
    if way.sight:
        yield way.sight
    before, after = way.now.touched_mm2 or 0, way.then.touched_mm2 or 0
    if before != after:
        yield "touched further" if after > before else "touched less"
    if way.now.proof != way.then.proof:
        yield "something says whether it is clear" if way.then.proof else "nothing says any more whether it is clear"
    if way.now.hold != way.then.hold:
        yield f"holds: {way.then.hold}" if way.then.hold else f"holds no longer: {way.now.hold}"
    if (way.now.seen_mm2 is None) != (way.then.seen_mm2 is None):
        yield "its size counts as known" if way.then.seen_mm2 is not None else "its size counts as not known"


def _many(n: int, what: str) -> str:
    return f"{n:,} {what}" if n == 1 else f"{n:,} {what}s"


def _aligned(rows: Iterable[Sequence[str]]) -> list[str]:
    """The first column to the left, figures to the right."""
    kept = list(rows)
    widths = [max(map(len, column)) for column in zip(*kept, strict=True)]
    return [
        "   " + "  ".join(c.rjust(w) if n else c.ljust(w) for n, (c, w) in enumerate(zip(row, widths, strict=True)))
        for row in kept
    ]
