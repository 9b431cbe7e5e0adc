"""What waits, on the screen: what needs a ruling now, the handover list, item records that nobody confirmed."""

from collections.abc import Callable

from kiosk.core import waiting
from kiosk.core.commands import Page, PrintReport, SeeIncarnation, Send, TakeHandover, Turn
from kiosk.core.composing.handover import age_of, line_words, step_words, taken_words
from kiosk.core.composing.summary import age_words
from kiosk.core.glance import Glance
from kiosk.core.together.returns import at_decontam
from kiosk.core.viewing import conflicts
from kiosk.core.viewing.intake import dirty_hand
from kiosk.core.viewing.rows import listed, record_of
from kiosk.core.views import Key, ListRow, ListView, View


def needs_offer(g: Glance) -> Key | None:
    """The desk's key to what needs a ruling, with how many."""
    found = waiting.some(waiting.lines(g.bench, g.desk, g.now), waiting.RULED)
    return g.key("waiting.needs_key", Turn(page=Page.NEEDS), icon="warning", name="needs you", n=len(found))


def handover_offer(g: Glance) -> Key | None:
    """The desk's key to the handover list."""
    return g.key("waiting.handover_key", Turn(page=Page.HANDOVER), icon="arrow_right", name="handover list")


def needs(g: Glance) -> ListView:
    """What needs a ruling now, in one list; each row leads to the thing."""
    say = g.words.say
    found = waiting.some(waiting.lines(g.bench, g.desk, g.now), waiting.RULED)
    return listed(
        g,
        [_row(g, line) for line in found],
        page=Page.NEEDS,
        title=say("waiting.needs_title", n=len(found)),
        help_=_with_backup(g, say("waiting.needs_help")),
        nothing=say("waiting.needs_nothing"),
        back=Turn(page=Page.DESK),
    )


def _with_backup(g: Glance, words: str) -> str:
    """How old the last backup is, where this station writes any."""
    last = g.bench.keeping.backed_up_ms
    if not g.desk.backups or not last:
        return words
    return g.words.say("keeping.last", help=words, age=age_words(g, (g.now.at_ms - last) // 60_000))


def handover(g: Glance) -> ListView:
    """What the next one takes over: a line leaves only when the thing is done."""
    say = g.words.say
    found = waiting.handed(g.bench, g.desk, g.now)
    dirty = at_decontam(g.bench, g.desk)
    return listed(
        g,
        [_row(g, line) for line in found],
        page=Page.HANDOVER,
        title=say("waiting.handover_title"),
        help_=taken_words(g) or say("waiting.handover_help"),
        nothing=say("waiting.handover_nothing"),
        main=g.key(
            "waiting.print", PrintReport(doc="handover_list"), kind="main", icon="printer", name="print handover"
        ),
        others=(g.key("waiting.take", TakeHandover(), name="take over"),),
        hand=dirty_hand(g) if dirty else None,
        back=Turn(page=Page.DESK),
    )


def _row(g: Glance, line: waiting.Line) -> ListRow:
    title, state = line_words(g, line)
    return ListRow(
        title=f"{title}: {state}" if title else state,
        sub=step_words(g, line),
        value=age_of(g, line),
        icon="arrow_right" if _leads_to(g, line) else "",
        send=_leads_to(g, line),
        name=f"{line.kind} {line.about}".strip(),
    )


def _leads_to(g: Glance, line: waiting.Line) -> Send | None:
    if line.kind in waiting.HANDED_DIRTY:
        return Turn(page=Page.INTAKE, subject=line.about)
    match line.kind:
        case "log":  # of another station: read there
            own = any(began.origin == line.about for began in g.bench.keeping.began)
            return SeeIncarnation(origin=line.about) if own else None
        case "typical":
            return Turn(page=Page.TYPICAL)
        case "load":
            return Turn(page=Page.LOOKBACK, subject=f"load={line.about}")
        case "test":
            return Turn(page=Page.CLEANING_TEST, subject=line.about)
        case "conflict":
            return Turn(page=Page.CONFLICT, subject=line.about)
        case _:
            return record_of(g, line.about) if line.about else None


def typical(g: Glance) -> ListView:
    """Item records with a size that is typical, not confirmed."""
    say = g.words.say
    rows = [
        ListRow(title=name, sub=say("waiting.typical_sub", tray=tray, item=item), name=f"typical {item}")
        for tray, item, name in waiting.typical_items(g.desk)
    ]
    return listed(
        g, rows, page=Page.TYPICAL, title=say("waiting.typical_title"), help_=say("waiting.typical_help"),
        nothing=say("summary.none"), back=Turn(page=Page.NEEDS),
    )  # fmt: skip


PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.NEEDS: needs,
    Page.HANDOVER: handover,
    Page.TYPICAL: typical,
    Page.CONFLICT: conflicts.conflict,
}
