"""The shift's counters, as the summary's back page defines them: folded from the log, never kept beside it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date

from kiosk.core import events as e
from kiosk.core.agenda import disposition, tray_disposition
from kiosk.core.bench import TRAY, Bench, Piece, Trip
from kiosk.core.evolve import evolve
from kiosk.core.shift import Shifts, shift_of
from kiosk.core.stamp import Kept, local_time
from kiosk.core.vocabulary import Disposition, Group

Shift = tuple[str, date]

COUNTERS = (
    "trays_opened", "trays_packed", "trays_packed_short", "trays_back", "trays_open_at_end", "pieces_checked",
    "lumens_checked", "lumens_not_seen", "items_back", "soil", "foreign", "wet", "blocked", "damage", "identity",
    "dried_again", "bench_fixed", "repairs", "quarantined", "replaced", "second_looks", "holds_placed", "holds_open",
    "tickets", "tickets_waiting", "copies", "bench_full", "bench_wipe", "scope_cleans", "scope_out_of_use",
    "exposures", "wrong_scans", "corrections", "labels_voided", "handwritten_tickets", "overrides",
    "overrides_refused",
)  # fmt: skip
"""The counters there are so far; every one is reported, 0 where nothing happened."""

_BY_EVENT: dict[type[e.Event], str] = {
    e.TrayOpened: "trays_opened",
    e.Packed: "trays_packed",
    e.PackedShort: "trays_packed_short",
    e.TrayBack: "trays_back",
    e.RepairTagged: "repairs",
    e.Quarantined: "quarantined",
    e.Replaced: "replaced",
    e.SecondLookAsked: "second_looks",
    e.HoldPlaced: "holds_placed",
    e.ItemBack: "tickets",
    e.Reprinted: "copies",
    e.ScopeCleaned: "scope_cleans",
    e.ScopeOutOfUse: "scope_out_of_use",
    e.ExposureNoted: "exposures",
    e.WrongScan: "wrong_scans",
    e.Correction: "corrections",
    e.LabelVoided: "labels_voided",
    e.Handwritten: "handwritten_tickets",
    e.OverrideDone: "overrides",
    e.OverrideRefused: "overrides_refused",
}


@dataclass(slots=True)
class Tally:
    """The counters of one shift, folded event by event. Give every event of the bench, oldest first.

    `received`: the tickets that decontam took in by the shift's end; the others wait.
    """

    shift: Shift
    shifts: Shifts
    bench: Bench = field(default_factory=Bench)
    counts: Counter[str] = field(default_factory=Counter)
    trips: dict[str, Trip] = field(default_factory=dict)  # as last seen up to the shift's end
    received: frozenset[str] = frozenset()

    def take(self, kept: Kept) -> None:
        """Fold one event; count it when it belongs to the shift."""
        self.bench = evolve(self.bench, kept)
        if kept.stamp.trip in self.bench.trips:
            assert kept.stamp.trip is not None
            self.trips[kept.stamp.trip] = self.bench.trips[kept.stamp.trip]
        if shift_of(kept.stamp.local, self.shifts) == self.shift:
            self._count(kept.event)

    def _count(self, event: e.Event) -> None:
        name = _BY_EVENT.get(type(event))
        if name:
            self.counts[name] += 1
        match event:
            case e.TrayBack():
                self.counts["tickets"] += 1
                self.counts["items_back"] += len(event.pieces)
            case e.ItemBack():
                self.counts["items_back"] += len(event.pieces)
            case e.BenchCleaned(level="full"):
                self.counts["bench_full"] += 1
            case e.BenchCleaned(level="wipe"):
                self.counts["bench_wipe"] += 1
            case _:
                pass

    def result(self) -> dict[str, int]:
        """All counters of COUNTERS."""
        counts = Counter(self.counts)
        for trip in self.trips.values():
            counts += self._of_trip(trip)
        return {name: counts[name] for name in COUNTERS}

    def _here(self, at_ms: int, trip: Trip) -> bool:
        return shift_of(local_time(at_ms, trip.opened_offset), self.shifts) == self.shift

    def _of_trip(self, trip: Trip) -> Counter[str]:
        counts: Counter[str] = Counter()
        for piece in trip.pieces.values():
            if piece.name != TRAY and piece.item:
                counts += self._of_piece(trip, piece)
        for finding in {(f.piece, f.group): f for f in trip.findings}.values():
            if finding.group in {str(group) for group in _GROUPS} and self._here(finding.at_ms, trip):
                counts[finding.group] += 1
        for piece in trip.pieces.values():
            mine = [f for f in trip.findings if f.piece == piece.name and f.put_right]
            put_right = [f for f in mine if f.group != Group.CHECK]
            if put_right and piece.disposition is None and self._here(put_right[-1].at_ms, trip):
                wet = any(f.group == Group.WET for f in put_right)
                counts["dried_again" if wet else "bench_fixed"] += all(piece.yes.get(f.key) for f in put_right)
        if trip.differences and self._here(trip.counted_ms, trip):
            counts["identity"] += sum(abs(want - have) for _, want, have in trip.differences)
        if not trip.ended:
            counts["trays_open_at_end"] += 1
            counts["holds_open"] += len(trip.holds)
        counts["tickets_waiting"] += sum(ticket.number not in self.received for ticket in trip.tickets)
        return counts

    def _of_piece(self, trip: Trip, piece: Piece) -> Counter[str]:
        counts: Counter[str] = Counter()
        for lumen in piece.item.lumens if piece.item else ():
            last = _last_yes(piece, [c.key for c in piece.plan.checks if c.lumen == lumen.name])
            if piece.lumen_done(lumen.name) and last is not None and self._here(last, trip):
                counts["lumens_checked"] += 1
                counts["lumens_not_seen"] += f"{piece.name}.{lumen.name}" in trip.not_seen
        found = [f.at_ms for f in trip.findings if f.piece == piece.name and not f.put_right]
        last = _last_yes(piece, [c.key for c in piece.plan.checks]) if piece.all_yes else None
        ended = last if last is not None else (max(found) if found else None)
        counts["pieces_checked"] += ended is not None and self._here(ended, trip)
        return counts


_GROUPS = (Group.SOIL, Group.FOREIGN, Group.WET, Group.BLOCKED, Group.DAMAGE, Group.IDENTITY)


def _last_yes(piece: Piece, keys: Sequence[str]) -> int | None:
    return max((yes.at_ms for key in keys for yes in piece.yes.get(key, ())), default=None)


def received_in(logs: Iterable[Iterable[Kept]]) -> frozenset[str]:
    """The tickets that were taken in, whichever station's log says so."""
    return frozenset(kept.event.ticket for log in logs for kept in log if isinstance(kept.event, e.TicketReceived))


def summaries(logs: Sequence[Sequence[Kept]], shift: Shift, shifts: Shifts) -> dict[str, int]:
    """The counters of one shift, summed over the stations. A log each, oldest first, up to the shift's end."""
    received = received_in(logs)
    each = [summary(log, shift, shifts, received) for log in logs]
    return {name: sum(counts[name] for counts in each) for name in COUNTERS}


def summary(
    log: Iterable[Kept], shift: Shift, shifts: Shifts, received: frozenset[str] = frozenset()
) -> dict[str, int]:
    """The counters of one shift of one bench. `log` oldest first, from its beginning to the shift's end.

    `received`: the tickets that decontam took in by then (`received_in` of the stations' logs).
    """
    tally = Tally(shift=shift, shifts=shifts, received=received)
    for kept in log:
        tally.take(kept)
    return tally.result()


def dispositions(trip: Trip) -> dict[str, Disposition]:
    """What became of the tray (under its code) and of each piece."""
    out = {trip.tray.code: tray_disposition(trip)}
    out |= {piece.name: disposition(piece) for piece in trip.pieces.values() if piece.name != TRAY}
    return out
