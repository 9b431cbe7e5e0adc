"""The lookback report: what met what was asked for, by which rule, what is known of each trip, and what is not."""

from collections import Counter
from collections.abc import Iterator, Sequence

from kiosk.core import events as e
from kiosk.core.composing.kept_pictures import pictures_section
from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.past import lookback
from kiosk.core.past.chains import Chained, Chains

OUT = ("packed", "packed_short")


def report(g: Glance, order: ReportOrder) -> Report:
    """The report under this number: its trips are those that were found when it was run."""
    run, at_ms = next(
        (k.event, k.stamp.at_ms)
        for _, k in g.desk.records.kept("lookback_run", holding=order.number)
        if isinstance(k.event, e.LookbackRun) and k.event.number == order.number
    )
    question = lookback.Question(kind=run.kind, value=run.value, since_ms=run.since_ms, until_ms=run.until_ms)
    found = lookback.trace(g.desk.records, run.trips, g.desk.policy)
    chains = lookback.chained(g.desk.records, question, until_ms=at_ms)
    return paper_of(g, question, found, chains, order=order, why=run.why)


def paper_of(
    g: Glance,
    question: lookback.Question,
    found: list[lookback.Traced],
    chains: Chains,
    *,
    order: ReportOrder | None = None,
    why: str = "",
) -> Report:
    """The report on these trips; without an order it has no number, and no run was kept."""
    say = g.words.say
    order = order or ReportOrder(doc="lookback_report", number="")
    states = Counter(one.state for one in found)
    count = "lookback.aloud.one" if len(found) == 1 else "lookback.aloud.many"
    headline = [f"{say(count, n=len(found), what=asked_words(g, question))}."]
    headline += [say(f"lookback.state_n.{state}", n=n) for state, n in states.most_common()]
    headline += [more_words(g, chains)] if chains.trips else []
    reason = (say("lookback.why", why=say(f"lookback.reason.{why}")),) if why else ()
    rule = Section(title=say("lookback.section.rule"), paragraphs=(rule_words(g, question), *reason))
    fresh = tuple(
        SheetLine(label=say("waiting.known", station=name), value=moment(g, one.at_ms))
        for name, one in g.desk.records.fresh().items()
    )
    trips = tuple(_line(g, one) for one in found) or (SheetLine(label=say("summary.none")),)
    return Report(
        doc=order.doc,
        title=say("lookback.paper_title"),
        number=order.number,
        about=say("lookback.paper_about", what=asked_words(g, question), time=moment(g, g.now.at_ms)),
        headline=tuple(headline),
        sections=(
            rule,
            Section(title=say("lookback.section.fresh"), lines=fresh),
            Section(title=say("lookback.section.trips"), lines=trips),
            *pictures_section(g, [one.trip for one in found], question.value if question.kind == "item" else ""),
            *((_chain_section(g, chains),) if question.kind != "person" else ()),
            *_look_again(g, found),
            Section(title=say("lookback.section.odd"), lines=_odd(g, found)),
            Section(title=say("lookback.section.unknown"), paragraphs=g.words.lines("lookback.unknown")),
            Section(title=say("lookback.section.actions"), paragraphs=g.words.lines("lookback.actions")),
        ),
        signature=g.words.lines("lookback.signature"),
        foot=report_foot(g, order),
    )


SHARES = (100, 20, 10)
"""Of so many packages one may be wrong, where a sample is looked at again: 1, 5 and 10 in a hundred (a choice)."""


def _look_again(g: Glance, found: Sequence[lookback.Traced]) -> Iterator[Section]:
    """How many of the packages to open and look at, where not all are."""
    out = [one for one in found if one.state in OUT]
    lot, numbers = sum(not one.later for one in out), g.desk.numbers
    allowed = sorted({max(1, lot // share) for share in SHARES})
    if numbers is None or lot < 2:
        return
    say = g.words.say
    lines = [SheetLine(label=say("lookback.sample.all", lot=lot), value=say("lookback.sample.n", n=lot))]
    lines += [
        SheetLine(
            label=say("lookback.sample.line.one" if allow == 1 else "lookback.sample.line.many", allow=allow, lot=lot),
            value=say("lookback.sample.n", n=numbers.look_again(lot, allow)),
        )
        for allow in allowed
    ]
    yield Section(
        title=say("lookback.section.sample"),
        paragraphs=(say("lookback.sample.rule"), say("lookback.sample.lot", lot=lot, gone=len(out) - lot)),
        lines=tuple(lines),
        note=say("lookback.sample.limits"),
    )


def more_words(g: Glance, chains: Chains) -> str:
    """How many more trips may have been touched since."""
    many = len(chains.trips)
    return g.words.say("lookback.chain.more.one" if many == 1 else "lookback.chain.more.many", n=many)


def way_words(g: Glance, one: Chained) -> str:
    """By which way a trip may have been touched."""
    return g.words.say(
        f"lookback.chain.{one.kind}", thing=one.thing, piece=one.piece, time=moment(g, one.at_ms), before=one.before,
        tray=one.tray, since=moment(g, one.since_ms),
    )  # fmt: skip


def row_words(g: Glance, one: Chained) -> str:
    """The same in the room of a row."""
    return g.words.say(f"lookback.chain.row.{one.kind}", thing=one.thing, time=moment(g, one.at_ms), tray=one.tray)


def steps_words(g: Glance, one: Chained) -> str:
    """How many steps a trip lies from those that met it."""
    return g.words.say("lookback.chain.steps.one" if one.steps == 1 else "lookback.chain.steps.many", n=one.steps)


def chain_unknown(g: Glance, chains: Chains) -> tuple[str, ...]:
    """What is not known of the chains."""
    say = g.words.say
    lines = [say("lookback.chain.judges")]
    lines += [say("lookback.chain.further", n=chains.further)] if chains.further else []
    lines += [say("lookback.chain.unclear", items=", ".join(chains.unclear))] if chains.unclear else []
    lines += [say("lookback.chain.nameless", n=chains.nameless)] if chains.nameless else []
    return (*lines, say("lookback.chain.others"))


def _chain_section(g: Glance, chains: Chains) -> Section:
    say = g.words.say
    known = lookback.trace(g.desk.records, [one.trip for one in chains.trips], g.desk.policy)
    ways = {one.trip: one for one in chains.trips}
    lines = tuple(
        SheetLine(
            label=f"{one.name} · {one.tray} · {say('lookback.trip', trip=one.trip)}",
            note=f"{way_words(g, ways[one.trip])} {steps_words(g, ways[one.trip])} {state_words(g, one)}",
        )
        for one in known
    )
    return Section(
        title=say("lookback.section.chain"),
        paragraphs=(say("lookback.chain.rule", most=chains.most), *chain_unknown(g, chains)),
        lines=lines or (SheetLine(label=say("lookback.chain.none")),),
    )


def asked_words(g: Glance, question: lookback.Question) -> str:
    """What was asked for, in words. A person's id stands in no words of ours."""
    value = question.value if question.kind != "person" else g.words.say("lookback.one_person")
    return g.words.say(f"lookback.kind.{question.kind}", value=value)


def rule_words(g: Glance, question: lookback.Question, *, span: bool = True) -> str:
    """The rule that chose the trips, with its time; without it where no time was asked for and room is short."""
    say = g.words.say
    if not (span or question.since_ms or question.until_ms):
        return say(f"lookback.rule.{question.kind}", value=question.value)
    since = moment(g, question.since_ms) if question.since_ms else say("lookback.beginning")
    until = moment(g, question.until_ms) if question.until_ms else say("lookback.now")
    rule = say(f"lookback.rule.{question.kind}", value=question.value)
    return f"{rule} {say('lookback.span', since=since, until=until)}"


def state_words(g: Glance, one: lookback.Traced) -> str:
    """The last known place, how it is known, how old."""
    return g.words.say(
        f"lookback.state.{one.state}", package=one.package, station=one.station, time=moment(g, one.at_ms)
    )


def done_words(g: Glance, one: lookback.Traced) -> str:
    """What was done and found on the trip, and what came after it."""
    say = g.words.say
    parts = [say("lookback.opened", time=moment(g, one.opened_ms), loads=", ".join(one.loads) or "-")]
    if one.lumens:
        parts.append(say("lookback.checked", lumens=one.lumens, checks=one.checks))
    found = [g.desk.findings[code].say for code in one.found if code in g.desk.findings.kinds]
    parts.append(
        say("lookback.found", what=", ".join(dict.fromkeys(found))) if found else say("lookback.nothing_found")
    )
    if one.not_seen:
        parts.append(say("lookback.not_seen", n=one.not_seen))
    if one.overrides:
        parts.append(say("lookback.overrides", n=one.overrides))
    if one.tickets:
        parts.append(say("lookback.tickets", numbers=", ".join(one.tickets)))
    parts.append(say("lookback.later", n=one.later) if one.later else say("lookback.not_later"))
    return " ".join(parts)


def _odd(g: Glance, found: list[lookback.Traced]) -> tuple[SheetLine, ...]:
    """Answers that could not be so, by trip. They are asked about, and judged by nobody here."""
    say = g.words.say
    lines = []
    for one in found:
        said = [say(f"lookback.odd.{key}", n=n) for key, n in (("fast", one.fast), ("out", one.out_of_use)) if n]
        if said:
            trip = say("lookback.trip", trip=one.trip)
            lines.append(SheetLine(label=f"{one.name} · {one.tray} · {trip}", note=" ".join(said)))
    return tuple(lines) or (SheetLine(label=say("lookback.odd.none")),)


def _line(g: Glance, one: lookback.Traced) -> SheetLine:
    return SheetLine(
        label=f"{one.name} · {one.tray} · {g.words.say('lookback.trip', trip=one.trip)}",
        note=f"{state_words(g, one)} {done_words(g, one)}",
    )


REPORTS = {"lookback_report": report}
