"""The shift summary on the screen: shifts, figures, the trips behind a figure, the record of one trip."""

from collections.abc import Callable
from datetime import timedelta

from kiosk.core import events as e
from kiosk.core.commands import Page, PrintReport, Scanned, Turn
from kiosk.core.composing.parts import standing
from kiosk.core.composing.summary import FLOW, HYGIENE, LOOKS, RECORD, RETURNS, figure_words, load_words, shift_words
from kiosk.core.glance import Glance, finding_place, held_words, piece_name
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.past.counters import Entry, Shift
from kiosk.core.past.records import Told, shift_named, shift_text, told_trip
from kiosk.core.past.summing import GROUPS, Summary, summary_of
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.state.trip import Trip
from kiosk.core.viewing import kept_pictures
from kiosk.core.viewing.cleaning_tests import trip_rows
from kiosk.core.viewing.rows import ROWS, ROWS_SMALL, listed, record_of, whose_record
from kiosk.core.views import Key, ListRow, ListView, View
from kiosk.core.waiting import waited_as_a_whole, waited_for

SHIFTS = 9
"""Shifts on offer: three days of three."""

HOW_SMALL = 95
"""So many letters of how a figure is counted stand under its title on the small screen."""
REST_LETTERS = 90
"""So many letters of names stand in one row (a choice: two lines on the small screen)."""

ORDER = (
    "trays_opened", *FLOW, *GROUPS, "lumens_not_seen", *LOOKS, *RETURNS, "holds_open", "tickets_waiting", *HYGIENE,
    "exposures", *RECORD,
)  # fmt: skip
"""The figures in the order in which they are read."""


def offer(g: Glance) -> Key | None:
    """The desk's key to the summaries."""
    return g.key("summary.key", Turn(page=Page.SHIFTS), icon="tray", name="shift summary")


def last_shifts(g: Glance) -> list[Shift]:
    """The shift that runs and those before it, the newest first."""
    at = local_time(g.now.at_ms, g.now.offset_min)
    names = g.desk.policy.shifts
    out: list[Shift] = []
    for _ in range(SHIFTS * 12):
        shift = shift_of(at, names)
        if shift[0] and shift not in out:
            out.append(shift)
        if len(out) == SHIFTS:
            break
        at -= timedelta(hours=1)
    return out


def shifts(g: Glance) -> ListView:
    """Which shift? The one that runs first."""
    say = g.words.say
    rows = []
    for number, shift in enumerate(last_shifts(g)):
        begins, ends = g.desk.policy.shifts[shift[0]]
        name = g.words.some(f"summary.shift.{shift[0]}") or shift[0]
        state = say("summary.runs") if number == 0 else ""
        rows.append(
            ListRow(
                title=f"{name} {shift[1].isoformat()}",
                sub=say("summary.hours", begins=begins, ends=ends),
                value=state,
                icon="arrow_right",
                send=Turn(page=Page.SUMMARY, subject=shift_text(shift)),
                name=f"summary {shift_text(shift)}",
            )
        )
    return listed(
        g, rows, page=Page.SHIFTS, title=say("summary.shifts_title"), nothing=say("summary.none"),
        back=Turn(page=Page.DESK),
    )  # fmt: skip


def summary(g: Glance) -> ListView:
    """The figures of a shift; each opens the trips behind it."""
    say = g.words.say
    shift = shift_named(g.turn.subject if g.turn else "")
    whole = summary_of(shift, g.desk, g.bench, g.now)
    subject = shift_text(shift)
    some = [name for name in dict.fromkeys(ORDER) if whole.figures[name]]
    rows = [
        ListRow(
            title=figure_words(g, whole, name),
            sub=say(f"summary.how.{name}"),
            icon="arrow_right",
            send=Turn(page=Page.FIGURE, subject=f"{subject}/{name}"),
            name=f"figure {name}",
        )
        for name in some
    ]
    rows += [ListRow(title=load_words(g, row)) for row in whole.of("load")]
    none = [say(f"summary.name.{name}") for name in dict.fromkeys(ORDER) if not whole.figures[name]]
    if some:
        rows += [ListRow(title=say("summary.rest"), sub=names) for names in _in_rows(none)]
    words = "summary.print_again" if whole.number else "summary.print"
    return listed(
        g,
        rows,
        page=Page.SUMMARY,
        subject=subject,
        title=shift_words(g, whole),
        help_=_state(g, whole),
        nothing=say("summary.nothing_yet"),
        main=g.key(
            words, PrintReport(doc="shift_summary", about=subject), kind="main", icon="printer", name="print summary"
        ),
        back=Turn(page=Page.SHIFTS),
    )


def _in_rows(names: list[str]) -> list[str]:
    """Names with commas, as many in a row as stand in it."""
    rows: list[str] = []
    for name in names:
        if rows and len(rows[-1]) + len(name) < REST_LETTERS:
            rows[-1] += f", {name}"
        else:
            rows.append(name)
    return rows


def _state(g: Glance, whole: Summary) -> str:
    say = g.words.say
    data = g.clock(whole.until_ms)
    if not whole.number:
        return say("summary.counted_to", data=data)
    since = "".join(f" {say(f'summary.name.{name}')} {more:+d}." for name, more in whole.since.items())
    text = say("summary.as_printed", time=g.since(whole.printed_ms), data=data)
    return f"{text} {say('summary.heard_since')}{since}" if since else text


def figure(g: Glance) -> ListView:
    """What stands behind a figure, one row each; a row opens the record of its trip."""
    subject = g.turn.subject if g.turn else ""
    name = subject.rpartition("/")[2]
    shift = shift_named(subject.rpartition("/")[0])
    whole = summary_of(shift, g.desk, g.bench, g.now)
    book = g.desk.records.book(shift, g.desk.policy, g.now.at_ms)
    entries = book.of(name) or tuple(_composed(g, whole, name))
    rows = [entry_row(g, entry) for entry in entries] if name != "exposures" else []
    nothing = "summary.kept_apart" if name == "exposures" else "summary.none"
    size = ROWS_SMALL if g.small else ROWS
    told = [each for each in dict.fromkeys(ORDER) if whole.figures[each]]
    at = told.index(name) // size if name in told else 0
    how = g.words.say(f"summary.how.{name}")
    if g.small and len(how) > HOW_SMALL:  # the summary's own row says the rest
        how = how.partition(". ")[0] + "."
    return listed(
        g,
        rows,
        page=Page.FIGURE,
        subject=subject,
        title=figure_words(g, whole, name),
        help_=how,
        nothing=g.words.say(nothing),
        back=Turn(page=Page.SUMMARY, subject=shift_text(shift), number=at),
    )


def _composed(g: Glance, whole: Summary, name: str) -> list[Entry]:
    """What stands behind a sum that is no counter: pieces with nothing found."""
    book = g.desk.records.book(whole.shift, g.desk.policy, g.now.at_ms)
    if name != "first_pass":
        return []
    found = {(entry.trip, entry.piece) for group in GROUPS for entry in book.of(group)}
    return [entry for entry in book.of("pieces_checked") if (entry.trip, entry.piece) not in found]


def entry_row(g: Glance, entry: Entry) -> ListRow:
    """One thing counted: which tray and piece, what and where, when, at which station."""
    tray = g.desk.catalogue.trays.get(entry.tray)
    title = f"{tray.name} · {entry.tray}" if tray else entry.tray or entry.what or entry.station
    found = g.desk.findings.kinds.get(entry.what)
    said = found.say if found else g.words.some(f"summary.what.{entry.what}") or entry.what
    parts = (entry.piece, said if said != title else "", entry.where, entry.load)
    return ListRow(
        title=title,
        sub=" · ".join(filter(None, parts)),
        value=f"{entry.station} {g.since(entry.at_ms)}",
        icon="arrow_right" if entry.trip else "",
        send=record_of(g, entry.trip) if entry.trip else None,
        name=f"trip {entry.trip} {entry.piece}".strip(),
    )


def trip(g: Glance) -> ListView:
    """The record of one trip: what was done, what was found, what was not seen, where it went. No names."""
    say = g.words.say
    number, back = whose_record(g)
    told = list(g.desk.records.of_trip(number))
    one = told_trip(told)
    rows = _trip_rows(g, one, told) if one else []
    return listed(
        g,
        rows,
        page=Page.TRIP,
        subject=g.turn.subject if g.turn else "",
        title=f"{one.tray.name} · {one.tray.code}" if one else number,
        help_=say("trip.help", trip=number, station=told[0][0], load=one.load or "-") if one else "",
        nothing=say("trip.unknown"),
        main=_to_tray(g, number),
        others=kept_pictures.trip_key(g, number),
        back=back,
    )


def _to_tray(g: Glance, trip_id: str) -> Key | None:
    """The key from a trip's record to the tray itself, where it is open at this bench and no other lies there."""
    trip, here = g.bench.trips.get(trip_id), g.bench.trip
    if trip is None or trip.ended or (here is not None and not here.ended):
        return None
    scan = Scanned(meaning=Meaning(kind=Kind.TRAY, text=trip.tray.code))
    return g.key("waiting.to_tray", scan, kind="main", icon="arrow_right", name="go to the tray")


def _trip_rows(g: Glance, one: Trip, told: list[Told]) -> list[ListRow]:
    say = g.words.say
    rows = [ListRow(title=trip_state(g, one), sub=say("trip.opened", time=g.since(one.opened_ms)))]
    for line, want, have in one.differences:
        rows.append(ListRow(title=say("trip.differs", line=line, want=want, have=have)))
    for piece in (p for p in one.pieces.values() if p.item):
        found = standing(one, piece.name)
        result = ", ".join(f"{g.desk.findings[f.code].say}: {finding_place(g, one, f)}".rstrip(": ") for f in found)
        ways = [way.name for way in piece.item.lumens] if piece.item else []
        hidden = [way for way in ways if f"{piece.name}.{way}" in one.not_seen]
        done = say("trip.done") if piece.all_yes else say("trip.not_all")
        seen = say("trip.not_seen", ways=", ".join(hidden)) if hidden else say("trip.seen") if piece.all_yes else ""
        rows.append(ListRow(title=piece_name(g, piece), sub=" · ".join(filter(None, (result or done, seen)))))
    for _, kept in told:
        if isinstance(kept.event, e.OverrideDone):
            what = g.words.some(f"summary.let_go.{kept.event.what}") or kept.event.what
            rows.append(ListRow(title=say("summary.override", what=what), sub=kept.event.words))
    rows += trip_rows(g, one)
    rows += [ListRow(title=say("trip.ticket", number=t.number), sub=g.since(t.at_ms)) for t in one.tickets]
    return rows


def trip_state(g: Glance, one: Trip) -> str:
    """Where the tray stands, in words: packed under a number, back, held and for what, open."""
    say = g.words.say
    if one.packed_ms is not None:
        return say("trip.packed", number=one.package, time=g.since(one.packed_ms))
    if one.back_ms is not None:
        return say("trip.back", time=g.since(one.back_ms))
    if one.let_go_ms is not None:
        return say("trip.let_go")
    if one.holds:
        what = held_words(g, waited_for(one), waited_as_a_whole(one))
        return say("trip.held", what=what, time=g.since(one.holds[0].at_ms))
    return say("trip.open")


PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.SHIFTS: shifts,
    Page.SUMMARY: summary,
    Page.FIGURE: figure,
    Page.TRIP: trip,
}
