"""What waits in the department, and for whom: the one list behind the ruling page and the handover. Pure.

A line leaves only when the thing itself is done. It is made anew from the benches and the logs each time it is shown.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from kiosk.core import events as e
from kiosk.core.desk import Desk, Now
from kiosk.core.past.counters import Shift
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.startup import startup_answered, startup_questions
from kiosk.core.state.bench import Bench
from kiosk.core.state.keeping import OLD_MS, SKIPPED
from kiosk.core.state.piece import TRAY, is_missing
from kiosk.core.state.trip import Trip
from kiosk.core.together.answers import CANNOT_SHIFT
from kiosk.core.together.conflicts import open_conflicts
from kiosk.core.together.kept_tests import unanswered
from kiosk.core.together.returns import OpenReturn, at_decontam, open_returns
from kiosk.core.together.rush import rush_of
from kiosk.core.together.stations import stations
from kiosk.core.together.stop_list import progress, stops
from kiosk.core.vocabulary import Disposition, Learnt

RULED = (
    "log",
    "unheeded",
    "software",
    "backup",
    "hub",
    "pictures",
    "cosign",
    "asked",
    "conflict",
    "hold",
    "ticket",
    "again",
    "kit",
    "test",
    "load",
    "correction",
    "typical",
)
"""The kinds of lines that ask for the supervisor, in the order in which they are read."""

HANDED = ("hold", "open", "ticket", "kit", "test", "load", "stop", "conflict", "cosign", "asked")
"""The kinds of lines of a handover, in the order in which they are read."""

HANDED_DIRTY = ("back_coming", "back_check", "back_here", "back_stuck", "back_absent")
"""The kinds of lines that decontam hands over, in the order in which they are read."""

HUB_VERDICTS = ("unknown", "fork", "retired", "damaged", "garbled", "ahead")
"""Why a log does not go on at the hub (`kiosk.sync.exchange.Verdict`)."""

BY_LEAD, BY_DECONTAM, BY_TECH = "lead", "decontam", "tech"


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One thing that waits. `state` and `step` name words (`waiting.state.`, `waiting.step.`) filled with `names`.

    `title` is what it is; `since_ms` 0: no age. `about` is what it leads to: a trip, a load, a number.
    `wanted`, "16:30", is said of a tray that somebody is promised.
    """

    kind: str
    title: str
    state: str
    names: Mapping[str, object]
    by: str = BY_LEAD
    since_ms: int = 0
    station: str = ""
    about: str = ""
    wanted: str = ""  # the clock time that the tray is promised for
    whole: tuple[str, ...] = ()  # what a held tray waits for as a whole: `@label`


def handed(bench: Bench, desk: Desk, now: Now) -> list[Line]:
    """What this side hands over when the shift changes, in the order in which it is read."""
    found = sorted(_returns(bench, desk), key=_age) if at_decontam(bench, desk) else lines(bench, desk, now)
    return some(found, handed_kinds(bench, desk))


def handed_kinds(bench: Bench, desk: Desk) -> tuple[str, ...]:
    """The kinds of lines that this side hands over: decontam's returns, or the department's trays."""
    return HANDED_DIRTY if at_decontam(bench, desk) else HANDED


def lines(bench: Bench, desk: Desk, now: Now) -> list[Line]:
    """Everything that waits in the department, the oldest first; decontam's own returns are `handed` over there."""
    out: list[Line] = []
    for station, one in stations(bench, desk).items():
        out += _of_station(station, one, desk, bench)
    out += _tickets(desk, now)
    out += _conflicts(bench, desk)
    out += _unheeded(desk)
    out += _stops(bench, desk)
    out += _tests(bench, desk)
    out += _software(desk)
    out += _backup(bench, desk, now)
    out += _of_shifts(desk, now)
    out += _typical(desk)
    out += _hub(desk, now)
    out += _pictures(desk)
    return sorted(out, key=_age)


def some(found: list[Line], kinds: tuple[str, ...]) -> list[Line]:
    """The lines of these kinds: what is promised first, the earliest of it first, then in the order of the kinds."""
    promised = sorted((line for line in found if line.kind in kinds and line.wanted), key=_promise)
    return [*promised, *(line for kind in kinds for line in found if line.kind == kind and not line.wanted)]


def _promise(line: Line) -> str:
    return line.wanted


def _age(line: Line) -> int:
    return line.since_ms


def _of_station(station: str, bench: Bench, desk: Desk, here: Bench) -> Iterator[Line]:
    for trip in bench.trips.values():
        if not trip.ended:
            line = _held(station, trip) if trip.holds else _open(station, bench, trip)
            mark = rush_of(here, desk, trip.tray.code)
            yield replace(line, wanted=mark.by) if mark else line
    for scope, known in bench.scopes.items():
        if known.out_of_use:
            names = {"scope": scope}
            yield Line(kind="kit", title=scope, state="kit_scope", names=names, by=BY_DECONTAM, station=station)
    if bench.printer_down:
        yield Line(kind="kit", title=station, state="kit_printer", names={}, by=BY_TECH, station=station)
    for began in bench.keeping.began:
        yield Line(
            kind="log", title=station, state=f"log_{began.why}", names={"n": SKIPPED}, since_ms=began.at_ms,
            station=station, about=began.origin,
        )  # fmt: skip
    if bench.keeping.newer:
        yield Line(kind="log", title=station, state="log_newer", names={"n": bench.keeping.newer}, station=station)
    for question in startup_questions(desk):
        if startup_answered(bench, desk, question) is False:
            since = bench.startup[question][1]
            yield Line(
                kind="kit",
                title=question,
                state=f"kit_{question}",
                names={},
                by=BY_TECH,
                since_ms=since,
                station=station,
            )
    for given in bench.overrides_given.values():
        names = {"what": given.what}
        yield Line(
            kind="asked", title=given.tray or station, state="asked", names=names, by=BY_TECH, since_ms=given.at_ms,
            station=station, about=given.trip,
        )  # fmt: skip
    for done in bench.unsigned:
        state = "cosign_phone" if done.phone else "cosign_alone"
        yield Line(
            kind="cosign", title=done.tray or station, state=state, names={"what": done.what}, since_ms=done.at_ms,
            station=station, about=done.trip,
        )  # fmt: skip


def _named(trip: Trip) -> str:
    return f"{trip.tray.name} · {trip.tray.code}"


def waited_for(trip: Trip) -> str:
    """The pieces and lines that a held trip waits for, by name."""
    names = dict.fromkeys(name for hold in trip.holds for name in hold.waits_for if not name.startswith("@"))
    known = (trip.pieces[n].plan.name or n if n in trip.pieces and n != TRAY else n for n in names)
    return ", ".join(dict.fromkeys(known))


def waited_as_a_whole(trip: Trip) -> tuple[str, ...]:
    """What is said of the tray as a whole (`@label`), as long as it waits for it."""
    return tuple(dict.fromkeys(name for hold in trip.holds for name in hold.waits_for if name.startswith("@")))


def _held(station: str, trip: Trip) -> Line:
    names = [name for hold in trip.holds for name in hold.waits_for if not name.startswith("@")]
    pieces = [trip.pieces[name] for name in names if name in trip.pieces]
    kinds = {piece.disposition for piece in pieces if not is_missing(piece)}
    if kinds and kinds <= {Disposition.ITEM_BACK}:
        state, by = "held_back", BY_DECONTAM
    elif not names:
        state, by = "held_whole", BY_LEAD
    elif len(pieces) < len(names) or any(is_missing(piece) for piece in pieces):
        state, by = "held_missing", BY_LEAD
    else:
        state, by = "held_ruling", BY_LEAD
    since = min(hold.at_ms for hold in trip.holds)
    return Line(
        kind="hold", title=_named(trip), state=state, names={"what": waited_for(trip)}, by=by, since_ms=since,
        station=station, about=trip.id, whole=waited_as_a_whole(trip),
    )  # fmt: skip


def _open(station: str, bench: Bench, trip: Trip) -> Line:
    """An open tray: which piece of how many was open, and what the next person repeats."""
    pieces = [piece for piece in trip.pieces.values() if piece.name != TRAY and piece.item]
    begun = [n for n, piece in enumerate(pieces, 1) if piece.yes and not piece.all_yes]
    done = sum(piece.all_yes for piece in pieces)
    k = begun[0] if begun else min(done + 1, len(pieces))
    state = "open_count" if not trip.counted else "open_plain" if not pieces else "open_piece" if begun else "open_next"
    since = trip.pause.at_ms if trip.pause else trip.opened_ms
    return Line(
        kind="open", title=_named(trip), state=state, names={"k": k, "m": len(pieces)}, by=BY_TECH, since_ms=since,
        station=station, about=trip.id,
    )  # fmt: skip


def _tickets(desk: Desk, now: Now) -> Iterator[Line]:
    shift = _shift_now(desk, now)
    for entry in desk.records.book(shift, desk.policy, now.at_ms).of("tickets_waiting") if shift[0] else ():
        opened = desk.records.of_trip(entry.trip, "tray_opened")
        tray = next((k.event.tray for _, k in opened if isinstance(k.event, e.TrayOpened)), None)
        names = {"tray": f"{tray.name} · {tray.code}" if tray else entry.trip}
        yield Line(
            kind="ticket", title=entry.what, state="ticket", names=names, by=BY_DECONTAM, since_ms=entry.at_ms,
            station=entry.station, about=entry.trip,
        )  # fmt: skip


def _returns(bench: Bench, desk: Desk) -> Iterator[Line]:
    """Decontam's own: what it has not taken in, has and has not answered, cannot get off, could not find."""
    for each in open_returns(bench, desk):
        kind = _of_return(each)
        if not kind:
            continue
        trip = each.sent.trip if each.sent else None
        pieces = [trip.pieces[name].plan.name or name for name in each.sent.ticket.pieces] if trip and each.sent else []
        names = {"what": ", ".join(pieces) or (trip.tray.name if trip else "")}
        known = "" if trip else "_unknown"
        yield Line(
            kind=kind, title=each.number, state=kind + known, names=names, by=BY_DECONTAM,
            since_ms=each.back.received_ms or each.at_ms, station=each.station, about=each.number,
        )  # fmt: skip


def _of_return(each: OpenReturn) -> str:
    """The kind of line of a return; "" for one that was answered and only waits for the washer."""
    if each.back.says:
        return "back_stuck" if each.back.says == CANNOT_SHIFT else ""
    if each.received:
        return "back_check" if each.wants_check else "back_here"
    return "back_coming" if each.back.not_here_ms is None else "back_absent"


def _shift_now(desk: Desk, now: Now, hours: int = 0) -> Shift:
    return shift_of(local_time(now.at_ms - hours * 3_600_000, now.offset_min), desk.policy.shifts)


def _of_shifts(desk: Desk, now: Now) -> Iterator[Line]:
    """Load alerts, pieces found again and corrections of the shift that runs and the one before."""
    shifts = dict.fromkeys(_shift_now(desk, now, hours) for hours in range(0, 12, 2))
    for shift in [shift for shift in shifts if shift[0]][:2]:
        book = desk.records.book(shift, desk.policy, now.at_ms)
        for entry in book.of("load_alerts"):
            names: dict[str, object] = {"n": desk.policy.repeat_load_alert}
            yield Line(kind="load", title=entry.load, state="load", names=names, since_ms=entry.at_ms, about=entry.load)
        for entry in book.of("repeat_items"):
            found = desk.findings.kinds.get(entry.what)
            names = {"what": found.say if found else entry.what, "n": desk.policy.tell_lead_at}
            yield Line(
                kind="again", title=f"{entry.tray} {entry.piece}", state="again", names=names, since_ms=entry.at_ms,
                station=entry.station, about=entry.trip,
            )  # fmt: skip
        for entry in book.of("corrections"):
            yield Line(
                kind="correction", title=entry.tray or entry.trip, state="correction", names={"piece": entry.piece},
                since_ms=entry.at_ms, station=entry.station, about=entry.trip,
            )  # fmt: skip


def _conflicts(bench: Bench, desk: Desk) -> Iterator[Line]:
    for one in open_conflicts(bench, desk):
        names = {"stations": ", ".join(one.stations)}
        yield Line(kind="conflict", title=one.what, state=one.kind, names=names, since_ms=one.at_ms, about=one.conflict)


def _unheeded(desk: Desk) -> Iterator[Line]:
    """Changes of other stations that do not count here, by whose name they were made."""
    for one in desk.unheeded:
        known = desk.catalogue.people.get(one.by)
        names = {"what": one.what, "about": one.about, "name": known.name if known else one.by}
        title = one.about.partition(" ")[2] or one.about
        yield Line(
            kind="unheeded", title=title, state=f"unheeded_{one.what}", names=names, since_ms=one.at_ms,
            station=one.station,
        )  # fmt: skip


def _stops(bench: Bench, desk: Desk) -> Iterator[Line]:
    """Notices of the stop list that are in force, with how far they are."""
    for stop in stops(bench, desk):
        known = progress(bench, desk, stop)
        state = "stop" if known.of is None else "stop_of"
        names = {"n": len(known.found), "of": known.of}
        yield Line(kind="stop", title=stop.notice, state=state, names=names, by=BY_TECH)


def _tests(bench: Bench, desk: Desk) -> Iterator[Line]:
    """Cleaning tests at their action level, until a lead has said what was done."""
    for station, test in unanswered(bench, desk):
        of = test.result
        names = {"kind": of.marker, "what": test.what, "value": of.value, "unit": of.unit, "of": test.about}
        yield Line(
            kind="test", title=test.number, state="test", names=names, since_ms=test.at_ms, station=station,
            about=test.number,
        )  # fmt: skip


def _software(desk: Desk) -> Iterator[Line]:
    """The machine's package names another version than the one that runs: an upgrade went back."""
    if desk.not_taken:
        names: dict[str, object] = {"version": desk.not_taken, "ours": desk.software}
        yield Line(kind="software", title="", state="not_taken", names=names)


def _backup(bench: Bench, desk: Desk, now: Now) -> Iterator[Line]:
    """No backup of this station for too long, or none at all."""
    last = bench.keeping.backed_up_ms
    if desk.backups and now.at_ms - last > OLD_MS:
        yield Line(kind="backup", title="", state="backup_old" if last else "backup_none", names={}, since_ms=last)


def _hub(desk: Desk, now: Now) -> Iterator[Line]:
    """The department's hub was not reached for as long as policy allows, or does not take this station's log on."""
    hub = desk.hub
    if hub is None:
        return
    hours = (now.at_ms - hub.ok_ms) // 3_600_000
    if hours >= desk.policy.offline_warn_hours:
        names: dict[str, object] = {"hours": hours, "n": hub.waiting}
        yield Line(kind="hub", title="", state="hub_away", names=names, since_ms=hub.ok_ms)
    if hub.verdict in HUB_VERDICTS:
        yield Line(kind="hub", title="", state=f"hub_{hub.verdict}", names={"n": hub.waiting})


def _pictures(desk: Desk) -> Iterator[Line]:
    """Pictures take nearly all the room that policy gives them, or all of it."""
    room = desk.pictures
    if room is not None and room.state:
        names: dict[str, object] = {"percent": room.percent, "gb": desk.policy.picture_room_gb}
        yield Line(kind="pictures", title="", state=f"pictures_{room.state}", names=names)


def _typical(desk: Desk) -> Iterator[Line]:
    """Item records whose sizes are typical, not confirmed: one line for all of them."""
    many = len(typical_items(desk))
    if many:
        yield Line(kind="typical", title="", state="typical", names={"n": many}, about="typical")


def typical_items(desk: Desk) -> list[tuple[str, str, str]]:
    """(tray, item, name) of every item with a lumen whose size nobody confirmed."""
    return [
        (tray.code, item.id, item.name)
        for tray in desk.catalogue.trays.values()
        for item in tray.items
        if any(lumen.learnt is Learnt.TYPICAL for lumen in item.lumens)
    ]
