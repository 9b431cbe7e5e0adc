"""Which pictures are kept for good, which are due to be dropped, which were, and which are needed here. Pure.

Kept for good: pictures of findings, stills of a lumen in which something was found on that trip, known looks,
reference pictures, pictures of reading sets. Any other still is dropped after the days that policy names.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from kiosk.core import events as e
from kiosk.core.desk import Desk
from kiosk.core.past.records import Records
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.still import KnownLook
from kiosk.core.stills import look_key
from kiosk.core.together.kept_readings import every_set
from kiosk.core.together.kept_references import every_reference
from kiosk.core.together.returns import at_decontam, open_returns
from kiosk.core.together.stations import every_bench, own_name

DAY_MS = 24 * 3_600_000
MOST_NAMED = 200
"""Pictures that one event names at most (a choice: a page of the log, not a book)."""

YOUNG_MS = 2 * DAY_MS
"""A still younger than this makes no room (a choice: as long as a packed tray stands at hand to be opened again)."""

DAYS, ROOM = "days", "room"
"""Why a picture was dropped: its days were over, or the room that policy gives to pictures was full."""

_LINKING = ("photo_taken", "look_accepted", "reference_offered", "reading_set_made", "finding", "still_kept")


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """A picture that is needed here: its name in the picture folder and the SHA-256 that the log gives."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """A still of this station that nothing keeps for good, and when it was kept (Unix ms)."""

    file: str
    at_ms: int


def spare_stills(records: Records, bench: Bench, desk: Desk) -> tuple[Spare, ...]:
    """This station's stills that nothing keeps for good and no tray at hand needs, the oldest first.

    Those that were dropped already stand among them no more. Reads the whole past: for a worker, not for the screen.
    """
    own, stills, linked = own_name(desk), list[tuple[e.StillKept, str, int]](), _Linked()
    for station, kept in records.kept(*_LINKING):
        trip = kept.stamp.trip or ""
        if isinstance(kept.event, e.StillKept) and station == own:
            stills.append((kept.event, trip, kept.stamp.at_ms))
        linked.take(kept.event, trip)
    gone = dropped(records)
    here = at_hand(bench, desk)
    spare = (
        Spare(file=still.file, at_ms=at_ms)
        for still, trip, at_ms in stills
        if still.file not in gone and still.file not in here and not linked.keeps(still, trip)
    )
    return tuple(sorted(spare, key=_age))


class _Linked:
    """What the log says of pictures that are kept for good, by name, by content, and by lumen of a trip."""

    def __init__(self) -> None:
        self.files: set[str] = set()
        self.hashes: set[str] = set()
        self.found: set[tuple[str, str, str]] = set()

    def take(self, event: e.Event, trip: str) -> None:
        match event:
            case e.Found():  # also one that was withdrawn: somebody saw something there
                self.found.add((trip, event.piece, event.key.rpartition(".")[0]))
            case e.PhotoTaken() | e.LookAccepted() | e.ReferenceOffered():
                self.files.add(event.file)
                self.hashes.add(event.sha256)
            case e.ReadingSetMade():
                self.files |= {one.file for one in event.pictures}
                self.hashes |= {one.sha256 for one in event.pictures}
            case _:
                pass

    def keeps(self, still: e.StillKept, trip: str) -> bool:
        named = bool(still.finding) or still.file in self.files or still.sha256 in self.hashes
        return named or (trip, still.piece, still.lumen) in self.found


def due(spare: Iterable[Spare], days: int, now_ms: int) -> tuple[str, ...]:
    """The stills whose days are over: kept `days` times 24 hours ago, or longer."""
    return tuple(one.file for one in spare if now_ms - one.at_ms >= days * DAY_MS)


def for_room(spare: Sequence[Spare], sizes: Mapping[str, int], over: int, now_ms: int) -> tuple[str, ...]:
    """The oldest of them that together bring `over` bytes or more; none that is younger than two days."""
    out = list[str]()
    for one in spare:
        if over <= 0 or now_ms - one.at_ms < YOUNG_MS:
            break
        if one.file in sizes:
            out.append(one.file)
            over -= sizes[one.file]
    return tuple(out)


def at_hand(bench: Bench, desk: Desk) -> frozenset[str]:
    """Pictures that no rule may drop now, as far as the benches at hand tell: of open trays, of
    findings, known looks, references and reading sets."""
    names = set[str]()
    for each in every_bench(bench, desk):
        names |= {still.file for trip in each.trips.values() if not trip.ended for still in trip.stills}
        names |= {found.photo for trip in each.trips.values() for found in trip.findings}
        names |= {look.file for look in each.looks.values()}
        names |= {one.file for one in each.references.offered.values()}
        names |= {one.file for made in each.readings.sets.values() for one in made.pictures}
    return frozenset(names - {""})


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """When a picture was dropped (Unix ms), and why: days or room."""

    at_ms: int
    why: str


def dropped(records: Records) -> Mapping[str, Dropped]:
    """Every picture that was dropped, at whichever station, by its name."""
    return {
        file: Dropped(at_ms=kept.stamp.at_ms, why=kept.event.why)
        for _, kept in records.kept("pictures_dropped")
        if isinstance(kept.event, e.PicturesDropped)
        for file in kept.event.files
    }


def needed(bench: Bench, desk: Desk) -> tuple[Needed, ...]:
    """Pictures that this station shows and may have to fetch, what is looked at first standing first.

    At decontam those of findings that came back; everywhere the known looks of the open tray, reference pictures, and
    pictures of reading sets that have not ended.
    """
    return tuple(dict.fromkeys(_needed(bench, desk)))


def _needed(bench: Bench, desk: Desk) -> Iterator[Needed]:
    if at_decontam(bench, desk):
        for back in open_returns(bench, desk):
            yield from (Needed(file=f.photo, sha256=f.photo_sha256) for f in back.findings if f.photo_sha256)
    if bench.trip is not None and not bench.trip.ended:
        yield from _looks(bench, desk, bench.trip)
    for one in every_reference(bench, desk):
        if one.newest or not one.version:
            yield Needed(file=one.picture.file, sha256=one.picture.sha256)
    for made in every_set(bench, desk):
        if made.ended_ms is None:
            yield from (Needed(file=one.file, sha256=one.sha256) for one in made.pictures)


def _looks(bench: Bench, desk: Desk, trip: Trip) -> Iterator[Needed]:
    """The newest known look of every lumen of the tray, whichever station it was accepted at."""
    for piece in trip.pieces.values():
        for way in piece.item.lumens if piece.item is not None else ():
            key = look_key(trip, piece, way.name)
            looks = [each.looks[key] for each in every_bench(bench, desk) if key in each.looks]
            yield from (Needed(file=look.file, sha256=look.sha256) for look in sorted(looks, key=_newest)[:1])


def _newest(look: KnownLook) -> int:
    return -look.at_ms


def _age(one: Spare) -> tuple[int, str]:
    return one.at_ms, one.file
