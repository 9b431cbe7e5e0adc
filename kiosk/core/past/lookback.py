"""Looking back over the logs: which trips met a load, a scope, an item, a lot, and what is known of each since. Pure.

No person stands in what comes out. It says what the tool does not know as plainly as what it knows.
"""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields

from kiosk.core import events as e
from kiosk.core.desk import Desk
from kiosk.core.pace import pace_ms
from kiosk.core.past.chains import STEPS, Chains, Start
from kiosk.core.past.records import Records, Told
from kiosk.core.policy import Policy
from kiosk.core.stamp import Kept
from kiosk.core.vocabulary import Role

KINDS = ("load", "scope", "item", "tray", "line", "lot", "package", "bench", "person", "time")
"""What may be asked for. `line` is `TR-0734/Forceps`; `lot` a swab lot; `time` needs since and until."""

WHY = ("load_bad", "complaint", "scope", "recall", "lot", "trouble", "audit")
"""Reasons on offer; by person one of them must be given."""

_OPENING = ("tray_opened",)
_ANSWERS = ("check_yes", "check_no")
_WITH_LOAD = tuple(name for name, row in e.EVENTS.items() if "load" in {field.name for field in fields(row.kind)})
_TRACED = (
    "tray_opened", "load_checked", "finding", "finding_withdrawn", "not_seen_marked", "override_done", "packed",
    "packed_short", "label_voided", "tray_reopened", "tray_back", "item_back", "tray_let_go", "hold_placed",
    "hold_released", "replaced", "quarantined", "repair_tagged", "discarded", "not_known",
    *_ANSWERS,
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What is looked back over. `since_ms` to `until_ms`: when the trips were begun, Unix ms; 0: no limit."""

    kind: str
    value: str
    since_ms: int = 0
    until_ms: int = 0

    def holds(self, at_ms: int) -> bool:
        """Does a moment lie in the time asked for?"""
        return at_ms >= self.since_ms and (not self.until_ms or at_ms < self.until_ms)


@dataclass(frozen=True, slots=True, kw_only=True)
class Traced:
    """What is known of one trip. `state`: packed, packed_short, reopened, back, let_go, held or open. Times in Unix ms.

    `later` are trips of the same tray that began afterwards: it went through the washer again.
    """

    trip: str
    station: str
    tray: str
    name: str
    loads: tuple[str, ...]
    opened_ms: int
    state: str
    at_ms: int
    package: str = ""
    found: tuple[str, ...] = ()  # finding codes that stand
    not_seen: int = 0
    overrides: int = 0
    tickets: tuple[str, ...] = ()
    later: int = 0
    lumens: int = 0  # ways of its set record
    checks: int = 0  # answers YES and NO
    fast: int = 0  # YES through a scope sooner than the pace of that way
    out_of_use: int = 0  # answers through a scope that was out of use


def guessed(text: str, desk: Desk) -> Question:
    """What a scanned or typed code asks for: the catalogue first, then the shape of the number."""
    value = text.strip()
    kind, given, rest = value.partition("=")
    if given and kind in KINDS:
        return Question(kind=kind, value=rest)
    value = value.upper() if value.upper() in desk.catalogue.trays else value
    if value in desk.catalogue.trays:
        return Question(kind="tray", value=value)
    if any(scope.id == value for scope in desk.catalogue.kit.scopes):
        return Question(kind="scope", value=value)
    shapes = (
        (r"B\d{1,2}-\d{6}-\d{4,5}", "package"), (r"W-.+", "load"), (r"SC-.+", "scope"), (r"(SW-.+|\d{3,})", "lot"),
        (r"[BD]\d{1,2}", "bench"), (r".+/.+", "line"),
    )  # fmt: skip
    return Question(kind=next((kind for shape, kind in shapes if re.fullmatch(shape, value)), "item"), value=value)


def met(records: Records, question: Question) -> tuple[str, ...]:
    """The trips that met what is asked for, in the order of time."""
    return tuple(_met_since(records, question))


def _met_since(records: Records, question: Question) -> dict[str, int]:
    """Trip -> when it first met what is asked for, Unix ms; in the order of time."""
    finders = {
        "load": _by_load, "scope": _by_scope, "item": _by_item, "tray": _by_tray, "line": _by_line, "lot": _by_lot,
        "package": _by_package, "bench": _by_bench, "person": _by_person, "time": _by_time,
    }  # fmt: skip
    since: dict[str, int] = {}
    for _, kept in finders[question.kind](records, question.value):
        if kept.stamp.trip and question.holds(kept.stamp.at_ms):
            since.setdefault(kept.stamp.trip, kept.stamp.at_ms)
    return since


def chained(records: Records, question: Question, *, most: int = STEPS, until_ms: int = 0) -> Chains:
    """The trips that may have been touched since by what met what is asked for, up to a moment (Unix ms; 0: now).

    A trip counts from the moment it met it; one that is asked for by its package from its opening. Nothing goes on from
    a person.
    """
    if question.kind == "person":
        return Chains(most=most)
    since = {trip: at for trip, at in _met_since(records, question).items() if not until_ms or at <= until_ms}
    if question.kind == "package":
        since = {trip: _opened_ms(records, trip, at) for trip, at in since.items()}
    return records.chains([Start(trip=trip, at_ms=at) for trip, at in since.items()], most, until_ms)


def _opened_ms(records: Records, trip: str, at_ms: int) -> int:
    return min([at_ms, *(kept.stamp.at_ms for _, kept in records.of_trip(trip, *_OPENING))])


def _by_load(records: Records, value: str) -> Iterable[Told]:
    return (told for told in records.kept(*_WITH_LOAD, holding=value) if getattr(told[1].event, "load", "") == value)


def _by_scope(records: Records, value: str) -> Iterable[Told]:
    return (told for told in records.kept(*_ANSWERS, holding=value) if getattr(told[1].event, "tool", "") == value)


def _by_item(records: Records, value: str) -> Iterator[Told]:
    for told in records.kept("tray_opened", "replaced", holding=value):
        event = told[1].event
        items = event.tray.items if isinstance(event, e.TrayOpened) else ()
        if any(item.id == value for item in items) or (isinstance(event, e.Replaced) and event.item.id == value):
            yield told


def _by_tray(records: Records, value: str) -> Iterable[Told]:
    return (told for told in records.kept(*_OPENING, holding=value) if _opened(told).tray.code == value)


def _by_line(records: Records, value: str) -> Iterable[Told]:
    tray, _, line = value.partition("/")
    return (told for told in _by_tray(records, tray) if any(each.name == line for each in _opened(told).tray.lines))


def _by_bench(records: Records, value: str) -> Iterable[Told]:
    return (told for told in records.kept(*_OPENING) if told[0] == value)


def _by_time(records: Records, value: str) -> Iterable[Told]:
    return records.kept(*_OPENING)


def _by_person(records: Records, value: str) -> Iterable[Told]:
    names = ("tray_opened", *_ANSWERS, "count_ok", "packed", "packed_short")
    return (told for told in records.kept(*names) if told[1].stamp.who == value)


def _by_package(records: Records, value: str) -> Iterator[Told]:
    for told in records.kept("packed", "packed_short", "label_voided", holding=value):
        event = told[1].event
        numbers = {getattr(event, "number", ""), getattr(event, "new", ""), *getattr(event, "parts", ())}
        if value in numbers:
            yield told


def _by_lot(records: Records, value: str) -> Iterator[Told]:
    """Trips on which a swab was used at a station between the opening of this lot there and of the next."""
    opened = list(records.kept("swab_lot_opened"))
    for n, (station, kept) in enumerate(opened):
        if getattr(kept.event, "lot", "") != value:
            continue
        after = (k.stamp.at_ms for other, k in opened[n + 1 :] if other == station and _same_box(k.event, kept.event))
        end = next(after, 0)
        for told in records.kept(*_ANSWERS, holding="swab", since_ms=kept.stamp.at_ms):
            at_ms = told[1].stamp.at_ms
            if (
                told[0] == station
                and (not end or at_ms < end)
                and str(getattr(told[1].event, "key", "")).endswith("swab")
            ):
                yield told


def _same_box(one: object, other: object) -> bool:
    """Do two lots lie in the same box? Boxes are told apart by head, where the record says so."""
    return getattr(one, "head_mm", None) == getattr(other, "head_mm", None)


def _opened(told: Told) -> e.TrayOpened:
    event = told[1].event
    assert isinstance(event, e.TrayOpened)
    return event


def trace(records: Records, trips: Sequence[str], policy: Policy) -> list[Traced]:
    """What is known of each of these trips. The policy's pace says which answers came too soon to be so.

    It reads a whole trip for each: a page of a long list asks for those that it shows.
    """
    out, opened = _out_of_use(records), Openings()
    return [one for trip in trips if (one := _traced(records, trip, policy, out, opened)) is not None]


Openings = dict[str, tuple[int, ...]]
"""Tray -> when each of its trips was opened, Unix ms: read once a tray, however many of its trips are traced."""


Spans = dict[str, list[tuple[int, int]]]
"""Scope -> from when to when it was out of use, Unix ms; 0: still."""


def _out_of_use(records: Records) -> Spans:
    spans: Spans = {}
    for _, kept in records.kept("scope_out_of_use", "scope_returned"):
        event, at = kept.event, kept.stamp.at_ms
        if isinstance(event, e.ScopeOutOfUse):
            spans.setdefault(event.scope, []).append((at, 0))
        elif isinstance(event, e.ScopeReturned):
            spans[event.scope] = [(since, end or at) for since, end in spans.get(event.scope, [])]
    return spans


def _too_fast(event: e.Event, opened: e.TrayOpened, policy: Policy) -> bool:
    """A YES through a scope, given sooner than the way can be looked through from end to end."""
    if not isinstance(event, e.CheckYes) or not event.key.endswith(".scope"):
        return False
    item = next((item for item in opened.tray.items if item.id == event.piece.partition("#")[0]), None)
    way = next((way for way in item.lumens if way.name == event.key.rpartition(".")[0]), None) if item else None
    return way is not None and event.took_ms < pace_ms(policy, way.length_mm)


def _was_out(kept: Kept, out: Spans) -> bool:
    spans = out.get(getattr(kept.event, "tool", ""), ())
    return any(since < kept.stamp.at_ms and (not end or kept.stamp.at_ms < end) for since, end in spans)


def _traced(records: Records, trip: str, policy: Policy, out: Spans, opened: Openings) -> Traced | None:
    told = records.of_trip(trip, *_TRACED)
    opening = next(((station, kept) for station, kept in told if isinstance(kept.event, e.TrayOpened)), None)
    if opening is None:
        return None
    station, first = opening
    tray = _opened(opening).tray
    state, at_ms, package = _state(told)
    found = {kept.event.n: kept.event.code for _, kept in told if isinstance(kept.event, e.Found)}
    for _, kept in told:
        if isinstance(kept.event, e.FindingWithdrawn):
            found.pop(kept.event.n, None)
    loads = dict.fromkeys(str(load) for _, kept in told if (load := getattr(kept.event, "load", "")))
    answers = [kept for _, kept in told if isinstance(kept.event, e.CheckYes | e.CheckNo)]
    if tray.code not in opened:
        opened[tray.code] = tuple(kept.stamp.at_ms for _, kept in _by_tray(records, tray.code))
    return Traced(
        trip=trip,
        station=station,
        tray=tray.code,
        name=tray.name,
        loads=tuple(loads),
        opened_ms=first.stamp.at_ms,
        state=state,
        at_ms=at_ms,
        package=package,
        found=tuple(found.values()),
        not_seen=sum(isinstance(kept.event, e.NotSeenMarked) for _, kept in told),
        overrides=sum(isinstance(kept.event, e.OverrideDone) for _, kept in told),
        tickets=tuple(kept.event.ticket for _, kept in told if isinstance(kept.event, e.ItemBack | e.TrayBack)),
        later=sum(at > max(at_ms, first.stamp.at_ms) for at in opened[tray.code]),
        lumens=sum(item.qty * len(item.lumens) for item in tray.items),
        checks=len(answers),
        fast=sum(_too_fast(kept.event, _opened(opening), policy) for kept in answers),
        out_of_use=sum(_was_out(kept, out) for kept in answers),
    )


def _state(told: Sequence[Told]) -> tuple[str, int, str]:
    """How the trip stands by its last word, since when, and its package number."""
    state, at_ms, package, held = "open", told[0][1].stamp.at_ms, "", set[str]()
    for _, kept in told:
        event, at = kept.event, kept.stamp.at_ms
        name = e.NAME_OF[type(event)]
        match event:
            case e.HoldPlaced():
                held.add(event.hold)
            case e.NotKnown() if event.cls == "hold":
                held.add(event.typ)
            case e.HoldReleased():
                held -= set(event.holds)
            case e.LabelVoided():
                package = event.new
        if name in {"packed", "packed_short"}:
            state, at_ms, package = name, at, str(getattr(event, "number", ""))
        elif name in {"tray_back", "tray_let_go", "tray_reopened"}:
            state, at_ms = {"tray_back": "back", "tray_let_go": "let_go", "tray_reopened": "reopened"}[name], at
    return ("held" if held and state in {"open", "reopened"} else state), at_ms, package


def may_ask(question: Question, role: Role | None) -> bool:
    """May this role ask it? By person only a supervisor, with a reason that is itself recorded."""
    return question.kind != "person" or role is Role.SUPERVISOR
