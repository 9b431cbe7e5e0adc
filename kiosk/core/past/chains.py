"""Chains of contact that run with time: from trips that met something to trips that may have been touched since. Pure.

Two things pass on what a trip may carry. A borescope, from one use to the next, as long as no cleaning or return from
reprocessing is recorded between the two. A piece that can be told apart (there is one of it, or its mark was read), to
every later trip of another tray. A trip that was reached counts with all its pieces, from that moment on. Nothing here
says that anything was soiled.

`walk` reads whole logs in memory; `kiosk.store.chains` asks a store, and gives the same.
"""

from bisect import bisect_left, bisect_right
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from kiosk.core import events as e
from kiosk.core.stamp import Kept

STEPS = 3
"""Steps that are followed where nothing else is said. A choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """A trip that met what is asked for, and from which moment (Unix ms)."""

    trip: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class Chained:
    """A trip that may have been touched: the earliest moment, after how few steps, and by which way. Times in Unix ms.

    `kind`: scope or item; `thing`: SC-1, E82, a mark; `piece`: what it touched first. `before`, `since_ms`: the trip
    where the thing was before, and when it was used there, or came there; `tray`: that trip's tray.
    """

    at_ms: int
    steps: int
    kind: str
    thing: str
    piece: str
    trip: str
    before: str
    tray: str
    since_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Chains:
    """The trips that may have been touched within `most` steps, by time; and what is not known of it.

    `further`: trips that only one step more would reach. `unclear`: items on the way that lie in another tray later and
    whose pieces are not told apart. `nameless`: answers on the way through a scope that was not named.
    """

    trips: tuple[Chained, ...] = ()
    most: int = STEPS
    further: int = 0
    unclear: tuple[str, ...] = ()
    nameless: int = 0


Step = Callable[[Mapping[str, int], int], Iterable[Chained]]
"""Where one step leads from trips and the moments (Unix ms) they were reached at. The number of the step goes along."""


def follow(step: Step, starts: Sequence[Start], most: int) -> tuple[tuple[Chained, ...], int, dict[str, int]]:
    """Go on from what each step reached, or reached earlier than was known.

    Gives the earliest way to each trip within `most` steps; how many trips lie one step further; and the moment (Unix
    ms) from which each trip counts as reached, the starts among them.
    """
    reached: dict[str, int] = {}
    for start in starts:
        reached[start.trip] = min(start.at_ms, reached.get(start.trip, start.at_ms))
    news, known, within = dict(reached), frozenset(reached), dict(reached)
    nearest: dict[str, Chained] = {}
    further: set[str] = set()
    for steps in range(1, most + 2):
        arrived, news = list(step(news, steps)), {}
        for one in arrived:
            if one.at_ms < reached.get(one.trip, one.at_ms + 1):
                reached[one.trip] = news[one.trip] = one.at_ms
            if steps > most:
                further.add(one.trip)
            elif one.trip not in known:
                nearest[one.trip] = min(one, nearest.get(one.trip, one))
        if steps == most:
            within = dict(reached)
    return tuple(sorted(nearest.values())), len(further - known - nearest.keys()), within


@dataclass(slots=True, kw_only=True)
class _Past:
    """The logs, laid out by scope, by thing and by trip. Uses and stays are sorted by time."""

    trays: dict[str, str] = field(default_factory=dict)
    uses: dict[str, dict[int, set[tuple[str, str]]]] = field(default_factory=dict)  # scope, moment: trip, piece
    cleaned: dict[str, list[int]] = field(default_factory=lambda: defaultdict(list))
    stays: dict[str, list[tuple[int, str, int]]] = field(default_factory=lambda: defaultdict(list))
    out: dict[tuple[str, str], list[int]] = field(default_factory=lambda: defaultdict(list))  # trip, thing
    nameless: list[tuple[int, str]] = field(default_factory=list)


def walk(logs: Iterable[Kept], starts: Sequence[Start], most: int = STEPS, until_ms: int = 0) -> Chains:
    """Follow the chains through whole logs, a step at a time. `until_ms`: nothing later is looked at; 0: everything."""
    past = _laid_out([kept for kept in logs if not until_ms or kept.stamp.at_ms <= until_ms])

    def step(news: Mapping[str, int], steps: int) -> Iterator[Chained]:
        yield from _by_scope(past, news, steps)
        yield from _by_thing(past, news, steps)

    trips, further, within = follow(step, starts, most)
    return Chains(
        trips=trips,
        most=most,
        further=further,
        unclear=tuple(sorted(_unclear(past, within))),
        nameless=sum(at >= within.get(trip, at + 1) for at, trip in past.nameless),
    )


def _laid_out(logs: Iterable[Kept]) -> _Past:
    past = _Past()
    for kept in sorted(logs, key=lambda kept: kept.stamp.at_ms):
        at, trip = kept.stamp.at_ms, kept.stamp.trip or ""
        match kept.event:
            case e.ScopeCleaned(scope=scope) | e.ScopeReturned(scope=scope):
                past.cleaned[scope].append(at)
            case e.TrayOpened(tray=tray) if trip:
                past.trays.setdefault(trip, tray.code)
                for item in tray.items:
                    past.stays[item.id].append((at, trip, item.qty))
            case e.Replaced(out=out, item=item) if trip:
                past.stays[item.id].append((at, trip, 1))
                past.out[trip, out].append(at)
            case e.MarkRead(piece=piece, mark=mark) if trip and mark and "#" in piece:
                past.stays[mark].append((at, trip, 1))
            case e.CheckYes() | e.CheckNo() as answer if trip and answer.key.partition(".")[2] == "scope":
                if answer.tool:
                    past.uses.setdefault(answer.tool, {}).setdefault(at, set()).add((trip, answer.piece))
                else:
                    past.nameless.append((at, trip))
    return past


def _by_scope(past: _Past, since: Mapping[str, int], steps: int) -> Iterator[Chained]:
    """Where each scope went on to from these trips."""
    for scope, uses in past.uses.items():
        carries, last = False, 0
        for at, touched in uses.items():
            if carries and _any_between(past.cleaned[scope], last, at):
                carries = False
            for trip, piece in touched if carries else ():
                others = sorted(other for other, _ in uses[last] if other != trip)
                if others:
                    yield Chained(
                        at_ms=at, steps=steps, kind="scope", thing=scope, piece=piece, trip=trip, before=others[0],
                        tray=past.trays.get(others[0], ""), since_ms=last,
                    )  # fmt: skip
            carries = carries or any(at >= since.get(trip, at + 1) for trip, _ in touched)
            last = at


def _any_between(moments: Sequence[int], after: int, before: int) -> bool:
    return bisect_right(moments, after) < bisect_left(moments, before)


def _by_thing(past: _Past, since: Mapping[str, int], steps: int) -> Iterator[Chained]:
    """Where what lay on these trips came to later, in another tray."""
    for thing, stays in past.stays.items():
        single = [(at, trip) for at, trip, many in stays if many == 1]
        for at, trip in single:
            if any(_went_on(past, since, thing, stay, (at, trip)) for stay in single):
                others = [(came, other) for came, other in single if came < at and _apart(past, other, trip)]
                came = max(came for came, _ in others)
                before = min(other for when, other in others if when == came)
                yield Chained(
                    at_ms=at, steps=steps, kind="item", thing=thing, piece=thing, trip=trip, before=before,
                    tray=past.trays[before], since_ms=came,
                )  # fmt: skip


def _apart(past: _Past, one: str, other: str) -> bool:
    """Are these trips of two trays, both known?"""
    trays = {past.trays.get(one), past.trays.get(other)}
    return len(trays) == 2 and None not in trays


def _went_on(past: _Past, since: Mapping[str, int], thing: str, one: tuple[int, str], later: tuple[int, str]) -> bool:
    """Was the thing on this trip when it was reached or after, and on the later one, of another tray, after that?"""
    (came, trip), (at, other) = one, later
    if trip not in since or not at > max(came, since[trip]) or not _apart(past, trip, other):
        return False
    return not any(came < gone < since[trip] for gone in past.out[trip, thing])


def _unclear(past: _Past, reached: Mapping[str, int]) -> Iterator[str]:
    """Things of these trips of which there are several, here or in another tray later: which one it is nobody told."""
    for thing, stays in past.stays.items():
        here = [(max(came, reached[trip]), trip, many) for came, trip, many in stays if trip in reached]
        if any(
            max(many, more) > 1 and at > since and _apart(past, trip, other)
            for since, trip, many in here
            for at, other, more in stays
        ):
            yield thing
