"""What we never see on one page: the answer read aloud, bars, the not-seen list with reasons, what kit would change."""

from collections.abc import Callable, Iterator

from kiosk.core.composing import unseen as told
from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.unseen import KitChanges, NeverSeen
from kiosk.core.words import capital

BARS, BARS_TOLD = 5, 4
"""Item types of the bars, and of the words under them; the last is all the others."""
MOST_LUMENS = 8
"""Lumens that the page names; the others are counted with their wall. All stand at the desk."""
MOST_GAINS = 3
"""Of one part alone, and of two together."""
LUMENS_PRICED, GAINS_PRICED = 6, 2
"""The same where prices are named, and room is wanted for what they buy."""


def unseen_report(g: Glance, order: ReportOrder) -> Report:
    """The page, as reckoned now."""
    say, found, changes = g.words.say, told.never_seen_of(g), told.changes_of(g)
    return Report(
        doc=order.doc,
        title=say("unseen.report.title"),
        number=order.number,
        about=say("unseen.report.about", time=moment(g, g.now.at_ms), policy=g.desk.policy.version, bench=g.bench_name),
        headline=tuple(_aloud(g, found)) if found else (say("unseen.report.none"),),
        sections=tuple(_sections(g, found, changes)) if found and changes else (),
        columns=2,
        foot=report_foot(g, order),
    )


def _aloud(g: Glance, found: NeverSeen) -> Iterator[str]:
    yield told.answer_words(g, found.whole)
    if areas := told.areas_words(g, found.whole):
        yield areas


def _sections(g: Glance, found: NeverSeen, changes: KitChanges) -> Iterator[Section]:
    say = g.words.say
    bars = told.wall_bars(g, found.by_type, BARS, below=True)
    if bars is not None:
        yield Section(title=say("unseen.report.bars"), drawing=bars, note=_touched(g, found))
    priced = changes.for_the_price
    yield _list(g, found, LUMENS_PRICED if priced else MOST_LUMENS)
    for which, gains in (("one", changes.singles), ("two", changes.pairs)):
        if gains:
            lines = tuple(
                SheetLine(
                    label=say("unseen.report.kit_line", n=n, what=capital(told.gain_words(g, gain))),
                    value=told.area_words(g, gain.area_mm2),
                    note=" ".join(
                        filter(None, (told.opens_words(g, gain), told.price_words(g, gain, changes.currency)))
                    ),
                )
                for n, gain in enumerate(gains[: GAINS_PRICED if priced else MOST_GAINS], 1)
            )
            yield Section(title=say(f"unseen.report.{which}"), lines=lines)
    if priced:
        yield _for_the_price(g, changes)
    if not changes.singles:
        yield Section(title=say("unseen.report.one"), paragraphs=(say("unseen.kit.none"),))
    how = (*told.how_walls(g), say("unseen.kit.caution"), *told.how_changes(g, changes))
    yield Section(title=say("unseen.report.how"), paragraphs=how)


def _for_the_price(g: Glance, changes: KitChanges) -> Section:
    """What has a price, the most wall for each unit of it first."""
    lines = tuple(
        SheetLine(
            label=g.words.say("unseen.report.kit_line", n=n, what=capital(told.gain_words(g, gain))),
            value=told.small_area_words(g, gain.per_price_mm2 or gain.area_mm2),
            note=told.price_words(g, gain, changes.currency),
        )
        for n, gain in enumerate(changes.for_the_price[:MOST_GAINS], 1)
    )
    return Section(title=g.words.say("unseen.report.price", currency=changes.currency), lines=lines)


def _touched(g: Glance, found: NeverSeen) -> str:
    """Not touched by item type, in words; "" where all is touched."""
    told_of = [
        g.words.say(
            "unseen.report.touched_one",
            type=name,
            area=told.of_words(g, lack, wall),
            share=told.part_share(g, lack, wall),
        )
        for name, lack, wall in told.lacking_walls(g, found.by_type, BARS_TOLD, "touched")
    ]
    return g.words.say("unseen.report.touched", told="; ".join(told_of)) if told_of else ""


def _list(g: Glance, found: NeverSeen, most: int) -> Section:
    """Those with the most wall a week, then a line that counts the rest."""
    say, rows = g.words.say, found.not_seen
    lines = tuple(
        SheetLine(
            label=told.lumen_words(g, row),
            value=told.lacking_words(g, row),
            note=" ".join(told.reason_words(g, row)),
        )
        for row in rows[:most]
    )
    rest = rows[most:]
    note = ""
    if rest:
        area = told.area_words(g, sum((row.unseen_a_week_mm2 for row in rest), start=found.whole.unseen_mm2 * 0))
        note = say(f"unseen.count.more.{'one' if len(rest) == 1 else 'many'}", n=len(rest), area=area)
    nothing = () if rows else (say("unseen.list.nothing"),)
    return Section(title=say("unseen.report.list"), paragraphs=nothing, lines=lines, note=note)


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"unseen_report": unseen_report}
