"""The handover list: what is open, held, waiting, out of use, in the order in which it is to be picked up."""

from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.composing.cleaning_tests import about_words
from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.composing.summary import age_words
from kiosk.core.glance import Glance, held_words, record_what
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.together.returns import at_decontam

TAKEN_MS = 16 * 3_600_000
"""So long it is said who took over last: a shift and the next."""


def handover_list(g: Glance, order: ReportOrder) -> Report:
    """The list as it stands now."""
    say = g.words.say
    found = waiting.handed(g.bench, g.desk, g.now)
    kinds = waiting.handed_kinds(g.bench, g.desk)
    dirty = at_decontam(g.bench, g.desk)
    counts = {kind: len(waiting.some(found, (kind,))) for kind in kinds}
    headline = [say(f"waiting.aloud.{kind}.{_form(n)}", n=n) for kind, n in counts.items() if n and kind in _ALOUD]
    promised = [line for line in found if line.wanted]
    found = [line for line in found if not line.wanted]
    first = Section(title=say("waiting.section.wanted"), lines=tuple(_line(g, line) for line in promised))
    sections = [first] if promised else []
    sections += [
        Section(
            title=say(f"waiting.section.{kind}"),
            lines=tuple(_line(g, line) for line in waiting.some(found, (kind,))),
        )
        for kind in kinds
        if waiting.some(found, (kind,))
    ]
    return Report(
        doc=order.doc,
        title=say("waiting.paper_title"),
        number=order.number,
        about=say("waiting.paper_about_dirty" if dirty else "waiting.paper_about", time=f"{g.clock(g.now.at_ms)}"),
        headline=tuple(headline) or (say("waiting.handover_nothing"),),
        sections=(*sections, _known(g)),
        signature=g.words.lines("waiting.signature"),
        foot=report_foot(g, order),
    )


_ALOUD = ("hold", "open", "ticket", "kit", *waiting.HANDED_DIRTY)


def _form(n: int) -> str:
    return "one" if n == 1 else "many"


def _line(g: Glance, line: waiting.Line) -> SheetLine:
    title, state = line_words(g, line)
    return SheetLine(
        label=title or state,
        value=age_of(g, line),
        note=f"{state}. {step_words(g, line)}" if title else step_words(g, line),
    )


def line_words(g: Glance, line: waiting.Line) -> tuple[str, str]:
    """What it is, and how it stands, in words."""
    names = dict(line.names)
    if line.kind in {"asked", "cosign"}:
        names["what"] = g.words.some(f"summary.let_go.{names['what']}") or names["what"]
    if line.kind == "hold" and not names["what"]:
        names["what"] = held_words(g, str(names["what"]), line.whole)
    if line.kind == "conflict":
        return conflict_title(g, line), g.words.say(f"waiting.state.{line.state}", **names)
    if line.kind == "test":
        names["kind"] = names["what"] or g.words.say(f"cleaning.kind.{names['kind']}")
        names["of"] = about_words(g, str(names["of"]))
    state = g.words.say(f"waiting.state.{line.state}", **names)
    if line.wanted:
        state = g.words.say("waiting.wanted", at=line.wanted, state=state)
    if line.kind == "kit":
        named = g.words.some(f"waiting.kit.{line.title}") or line.title
        return (named if line.state != "kit_printer" else g.words.say("waiting.kit.printer")), state
    return line.title, state


def conflict_title(g: Glance, line: waiting.Line) -> str:
    """What two records are about: a tray, a ticket, a version of the policy, a record."""
    if line.state == "policy":
        return g.words.say("conflict.policy_what", version=line.title)
    if line.state == "record":
        return record_what(g, line.title)
    return line.title


def step_words(g: Glance, line: waiting.Line) -> str:
    """Where it is, what comes next and by whom."""
    step = g.words.say(f"waiting.step.{line.state}", **line.names)
    named = line.kind == "log"  # its title is the station
    return g.words.say("waiting.at", station=line.station, step=step) if line.station and not named else step


def age_of(g: Glance, line: waiting.Line) -> str:
    """How long it waits."""
    return age_words(g, (g.now.at_ms - line.since_ms) // 60_000) if line.since_ms else ""


def taken_words(g: Glance) -> str:
    """Who took over last on this side, and when; "" where nobody did lately."""
    dirty = at_decontam(g.bench, g.desk)
    told = g.desk.records.kept("handover_taken", since_ms=g.now.at_ms - TAKEN_MS)
    taken = [kept for station, kept in told if station.startswith("D") == dirty]
    if not taken or not isinstance(taken[-1].event, e.HandoverTaken):
        return ""
    stamp = taken[-1].stamp
    return g.words.say("waiting.taken", name=g.name_of(stamp.who or ""), time=g.since(stamp.at_ms))


def _known(g: Glance) -> Section:
    """Up to when each station is known, and who took over."""
    lines = [
        SheetLine(label=g.words.say("waiting.known", station=name), value=g.since(fresh.at_ms))
        for name, fresh in g.desk.records.fresh().items()
    ]
    return Section(title=g.words.say("waiting.section.known"), lines=tuple(lines), note=taken_words(g))


REPORTS = {"handover_list": handover_list}
