"""The shift's counters, as the summary's back page defines them: folded from the logs, never kept beside them.

Every counter is a list of entries, what was counted one by one; its number is their sum. A department is the sum of
its stations, each folded by itself; what only shows over all of them (a ticket that another station received, a load
whose trays were split over benches) is counted from all together.
"""

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.policy import Policy
from kiosk.core.shift import shift_of
from kiosk.core.stamp import Kept, Stamp, local_time
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, FindingOn, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Group

Shift = tuple[str, date]

COUNTERS = (
    "trays_opened", "trays_packed", "trays_packed_short", "trays_back", "trays_open_at_end", "pieces_checked",
    "lumens_checked", "lumens_not_seen", "items_back", "soil", "foreign", "wet", "blocked", "damage", "identity",
    "dried_again", "bench_fixed", "repairs", "quarantined", "discarded", "replaced", "second_looks", "overrides",
    "overrides_refused", "holds_placed", "holds_open", "tickets", "tickets_waiting", "copies", "bench_full",
    "bench_wipe", "scope_cleans", "scope_out_of_use", "exposures", "wrong_scans", "corrections", "rush",
    "repeat_items", "offline_minutes", "labels_voided", "trays_reopened", "load_alerts", "handwritten_tickets",
    "sync_conflicts",
)  # fmt: skip
"""Every counter; each is reported, 0 where nothing happened."""

_BY_NAME = {
    "tray_opened": "trays_opened",
    "tray_back": "trays_back",
    "repair_tagged": "repairs",
    "quarantined": "quarantined",
    "discarded": "discarded",
    "replaced": "replaced",
    "second_look_asked": "second_looks",
    "second_counted": "second_looks",
    "override_done": "overrides",
    "override_refused": "overrides_refused",
    "hold_placed": "holds_placed",
    "reprinted": "copies",
    "scope_cleaned": "scope_cleans",
    "exposure_noted": "exposures",
    "wrong_scan": "wrong_scans",
    "correction": "corrections",
    "label_voided": "labels_voided",
    "rush_marked": "rush",
    "tray_reopened": "trays_reopened",
    "sync_conflict": "sync_conflicts",
}
"""Events that are counted one for one, by their name on disk."""

_PACKED = {"packed": "trays_packed", "packed_short": "trays_packed_short"}
_GROUPS = tuple(str(g) for g in (Group.SOIL, Group.FOREIGN, Group.WET, Group.BLOCKED, Group.DAMAGE, Group.IDENTITY))


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """One thing counted: where, when (Unix ms), which trip, tray code and piece; `what` and `where` in codes or words.

    `n` is what it adds to the counter; only minutes offline count more than one.
    """

    station: str
    at_ms: int
    trip: str = ""
    tray: str = ""
    piece: str = ""
    kind: str = ""  # item type
    load: str = ""
    what: str = ""
    where: str = ""
    n: int = 1


Entries = dict[str, list[Entry]]


@dataclass(slots=True)
class Tally:
    """One station's entries of one shift. `bench` as it stood before the first event that is taken."""

    station: str
    shift: Shift
    policy: Policy
    bench: Bench = field(default_factory=Bench)
    entries: Entries = field(default_factory=lambda: defaultdict(list))
    trips: dict[str, Trip] = field(default_factory=dict)  # as last seen up to the shift's end
    packed: dict[str, tuple[str, int]] = field(default_factory=dict)  # trip -> packed or packed_short, when
    differed: dict[tuple[str, str], tuple[int, int]] = field(default_factory=dict)  # trip, line -> how many, when
    withdrawn: tuple[str, int] | None = None  # trip, when: its correction follows in the same act
    offline_ms: int | None = None

    def __post_init__(self) -> None:
        self.trips |= self.bench.trips

    def take(self, kept: Kept) -> None:
        """Fold one event; count it when it belongs to the shift."""
        stamp = kept.stamp
        self.bench = evolve(self.bench, kept)
        trip = self.bench.trips.get(stamp.trip or "")
        if trip is not None:
            self.trips[trip.id] = trip
        if shift_of(stamp.local, self.policy.shifts) == self.shift:
            self._count(kept.event, stamp)

    def _add(self, name: str, stamp: Stamp, *, piece: str = "", what: str = "", where: str = "", n: int = 1) -> None:
        trip = self.trips.get(stamp.trip or "")
        self.entries[name].append(
            self._entry(trip, stamp.at_ms, trip_id=stamp.trip or "", piece=piece, what=what, where=where, n=n)
        )

    def _entry(
        self, trip: Trip | None, at_ms: int, *, trip_id: str = "", piece: str = "", what: str = "", where: str = "",
        n: int = 1,
    ) -> Entry:  # fmt: skip
        item = trip.pieces[piece].item if trip and piece in trip.pieces else None
        return Entry(
            station=self.station,
            at_ms=at_ms,
            trip=trip.id if trip else trip_id,
            tray=trip.tray.code if trip else "",
            load=(trip.load if trip else "") or "",
            piece=piece,
            kind=item.type if item else "",
            what=what,
            where=where,
            n=n,
        )

    def _count(self, event: e.Event, stamp: Stamp) -> None:
        name = e.NAME_OF[type(event)]
        if name == "correction":
            self.withdrawn = None
        elif self.withdrawn is not None:
            self._withdrawn_alone()
        if name in _BY_NAME:
            what = next((str(getattr(event, key)) for key in _TELLING if hasattr(event, key)), "")
            self._add(_BY_NAME[name], stamp, piece=getattr(event, "piece", ""), what=what)
        match event:
            case e.ItemBack() | e.TrayBack():
                self._add("tickets", stamp, what=event.ticket)
                for piece in event.pieces:
                    self._add("items_back", stamp, piece=piece, what=event.ticket)
            case e.BenchCleaned() if event.level in {"full", "wipe"}:
                self._add(f"bench_{event.level}", stamp)
            case e.Handwritten() if event.doc == "return_ticket":
                self._add("handwritten_tickets", stamp, what=event.number)
            case e.CountShort() | e.CountOver():
                self.differed[stamp.trip or "", event.line] = (abs(event.want - event.have), stamp.at_ms)
            case e.FindingWithdrawn():
                self.withdrawn = (stamp.trip or "", stamp.at_ms)
            case e.LeadTold() if event.why in {"second_return", "fail_limit"}:
                self._add("repeat_items", stamp, piece=event.piece, what=event.why)
            case e.ScopeOutOfUse() if not event.paper:
                self._add("scope_out_of_use", stamp, what=event.scope)
        if name in _PACKED:
            self.packed[stamp.trip or ""] = (name, stamp.at_ms)
        elif name == "network_lost" and self.offline_ms is None:
            self.offline_ms = stamp.at_ms
        elif name == "network_restored":
            self._back_online(stamp.at_ms)

    def _withdrawn_alone(self) -> None:
        """A finding that was withdrawn without an answer taken back: a correction too."""
        assert self.withdrawn is not None
        trip, at_ms = self.withdrawn
        self.entries["corrections"].append(self._entry(self.trips.get(trip), at_ms, trip_id=trip, what="finding"))
        self.withdrawn = None

    def _back_online(self, at_ms: int) -> None:
        if self.offline_ms is not None:
            minutes = max(0, (at_ms - self.offline_ms) // 60_000)
            self.entries["offline_minutes"].append(Entry(station=self.station, at_ms=self.offline_ms, n=minutes))
            self.offline_ms = None

    def result(self, until_ms: int = 0) -> Entries:
        """The entries of every counter that one station can count alone. `until_ms`: the end of the data."""
        if self.withdrawn is not None:
            self._withdrawn_alone()
        if until_ms:
            self._back_online(until_ms)
        out: Entries = defaultdict(list, {name: list(some) for name, some in self.entries.items()})
        for trip in self.trips.values():
            for name, entry in self._of_trip(trip):
                out[name].append(entry)
        for (trip_id, line), (many, at_ms) in self.differed.items():
            one = self._entry(self.trips.get(trip_id), at_ms, trip_id=trip_id, what="missing_or_extra", where=line)
            out["identity"] += [one] * many
        return out

    def _here(self, at_ms: int, trip: Trip) -> bool:
        return shift_of(local_time(at_ms, trip.opened_offset), self.policy.shifts) == self.shift

    def _of_finding(self, trip: Trip, finding: FindingOn) -> Entry:
        place = finding.place
        at = f"{place.at_mm} mm" if place.at_mm is not None else ""
        where = " ".join(filter(None, (place.lumen, place.landmark or at)))
        return self._entry(trip, finding.at_ms, piece=finding.piece, what=finding.code, where=where)

    def _of_trip(self, trip: Trip) -> Iterator[tuple[str, Entry]]:
        for piece in trip.pieces.values():
            if piece.name != TRAY and piece.item:
                yield from self._of_piece(trip, piece)
            every = (*trip.returned, *trip.findings)
            mine = [f for f in every if f.piece == piece.name and self._here(f.at_ms, trip)]
            for thing in dict.fromkeys(_thing(f) for f in mine):
                of_it = [f for f in mine if _thing(f) == thing]
                for group in _GROUPS:
                    last = next((f for f in reversed(of_it) if f.group == group), None)
                    if last is not None:
                        yield group, self._of_finding(trip, last)
                yield from self._put_right(trip, piece, of_it)
        if trip.id in self.packed and trip.packed_ms is not None:
            name, at_ms = self.packed[trip.id]
            yield _PACKED[name], self._entry(trip, at_ms, what=trip.package)
        if not trip.ended:
            yield "trays_open_at_end", self._entry(trip, trip.opened_ms)
            for hold in trip.holds:
                yield "holds_open", self._entry(trip, hold.at_ms, what=hold.code, where=", ".join(hold.waits_for))

    def _put_right(self, trip: Trip, piece: Piece, found: list[FindingOn]) -> Iterator[tuple[str, Entry]]:
        """Wet and passed after drying, or put right here and passed."""
        right = [f for f in found if f.put_right and f.group not in {Group.CHECK, Group.EVENT}]
        if right and piece.disposition is None and all(piece.yes.get(f.key) for f in right):
            wet = any(f.group == Group.WET for f in right)
            yield "dried_again" if wet else "bench_fixed", self._of_finding(trip, right[-1])

    def _of_piece(self, trip: Trip, piece: Piece) -> Iterator[tuple[str, Entry]]:
        for lumen in piece.item.lumens if piece.item else ():
            last = _last_yes(piece, [c.key for c in piece.plan.checks if c.lumen == lumen.name])
            if piece.lumen_done(lumen.name) and last is not None and self._here(last, trip):
                entry = self._entry(trip, last, piece=piece.name, where=lumen.name)
                yield "lumens_checked", entry
                if f"{piece.name}.{lumen.name}" in trip.not_seen and not piece.dirty:
                    yield "lumens_not_seen", entry
        every = (*trip.returned, *trip.findings)
        found = [f.at_ms for f in every if f.piece == piece.name and not f.put_right]
        last = _last_yes(piece, [c.key for c in piece.plan.checks]) if piece.all_yes else None
        ended = last if last is not None else (max(found) if found else None)
        if ended is not None and self._here(ended, trip):
            yield "pieces_checked", self._entry(trip, ended, piece=piece.name)


def _thing(finding: FindingOn) -> str:
    """What a finding is on: the piece, or the count line of a piece without a lumen."""
    return finding.place.landmark if finding.piece == TRAY else finding.piece


_TELLING = ("ticket", "number", "tag", "hold", "scope", "what", "code", "kind", "why")
"""Fields of an event that say what it was about, the most telling first."""


def _last_yes(piece: Piece, keys: Sequence[str]) -> int | None:
    return max((yes.at_ms for key in keys for yes in piece.yes.get(key, ())), default=None)


@dataclass(frozen=True, slots=True, kw_only=True)
class Book:
    """The entries of a shift over all stations. `until_ms`: up to when the data go, Unix ms."""

    shift: Shift
    until_ms: int
    entries: Mapping[str, tuple[Entry, ...]]

    def of(self, name: str) -> tuple[Entry, ...]:
        """What stands behind a counter, oldest first."""
        return self.entries.get(name, ())

    def __getitem__(self, name: str) -> int:
        return sum(entry.n for entry in self.of(name))

    @property
    def counts(self) -> dict[str, int]:
        """All counters of COUNTERS."""
        return {name: self[name] for name in COUNTERS}


def made_book(
    shift: Shift, each: Iterable[Entries], *, waiting: Sequence[Entry], policy: Policy, until_ms: int
) -> Book:
    """The department's book: the stations' entries together, the tickets that wait, and what shows only over all."""
    whole: Entries = defaultdict(list)
    for entries in each:
        for name, some in entries.items():
            whole[name] += some
    whole["tickets_waiting"] = list(waiting)
    soiled: dict[str, list[Entry]] = defaultdict(list)
    for entry in sorted(whole["soil"], key=_when):
        if entry.load:
            soiled[entry.load].append(entry)
    alerts = (some[policy.repeat_load_alert - 1] for some in soiled.values() if len(some) >= policy.repeat_load_alert)
    whole["load_alerts"] = [
        Entry(station=one.station, at_ms=one.at_ms, load=one.load, what=one.load, trip=one.trip) for one in alerts
    ]
    sorted_out = {name: tuple(sorted(whole[name], key=_when)) for name in COUNTERS}
    return Book(shift=shift, until_ms=until_ms, entries=sorted_out)


def _when(entry: Entry) -> int:
    return entry.at_ms


def waiting_tickets(logs: Mapping[str, Iterable[Kept]]) -> list[Entry]:
    """Tickets issued and not acknowledged by decontam, from each station's events that speak of tickets."""
    made: dict[str, Entry] = {}
    there: set[str] = set()
    forms: dict[str, str] = {}  # ticket -> the spare form that it was written on
    for station, log in logs.items():
        for kept in log:
            match kept.event:
                case e.ItemBack() | e.TrayBack():
                    number, piece = kept.event.ticket, ", ".join(kept.event.pieces)
                    at, trip = kept.stamp.at_ms, kept.stamp.trip or ""
                    made[number] = Entry(station=station, at_ms=at, trip=trip, piece=piece, what=number)
                case e.TicketReceived() | e.TicketClosed():
                    there.add(kept.event.ticket)
                case e.Handwritten():
                    forms[kept.event.number] = kept.event.form
    return [entry for number, entry in made.items() if not {number, forms.get(number, number)} & there]


TICKET_EVENTS = ("item_back", "tray_back", "ticket_handwritten", "ticket_received", "ticket_closed")
"""The events, by name, that `waiting_tickets` reads."""


def book_of(logs: Mapping[str, Sequence[Kept]], shift: Shift, policy: Policy, *, until_ms: int = 0) -> Book:
    """The book of one shift from whole logs, a station each, oldest first, up to the shift's end."""
    each = []
    for station, log in logs.items():
        tally = Tally(station=station, shift=shift, policy=policy)
        for kept in log:
            tally.take(kept)
        each.append(tally.result(until_ms))
    until_ms = until_ms or max((log[-1].stamp.at_ms for log in logs.values() if log), default=0)
    return made_book(shift, each, waiting=waiting_tickets(logs), policy=policy, until_ms=until_ms)


def summaries(logs: Sequence[Sequence[Kept]], shift: Shift, policy: Policy) -> dict[str, int]:
    """The counters of one shift, summed over the stations. A log each, oldest first, up to the shift's end."""
    return book_of({str(n): log for n, log in enumerate(logs)}, shift, policy).counts


def summary(log: Iterable[Kept], shift: Shift, policy: Policy) -> dict[str, int]:
    """The counters of one shift of one bench. `log` oldest first, from its beginning to the shift's end."""
    return summaries([list(log)], shift, policy)
