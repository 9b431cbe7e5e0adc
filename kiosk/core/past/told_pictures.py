"""The pictures that the logs tell of, trip by trip: what each is of, how its check was answered, whether it is gone."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kiosk.core import events as e
from kiosk.core.past.records import Records, Told
from kiosk.core.place import Place
from kiosk.core.together.kept_pictures import Dropped, dropped

_TOLD = (
    "still_kept", "photo_taken", "finding", "finding_withdrawn", "check_yes", "check_no", "correction", "look_accepted",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ToldPicture:
    """One picture of a trip. `answer`: how the check that it belongs to stands: yes, no, unsure, "" not answered.

    `found`: codes of what was found in that lumen, or of the finding that it is of. `accepted`: a second person took it
    as the known look. `gone`: when and why it was dropped.
    """

    trip: str
    station: str
    piece: str
    lumen: str
    place: Place
    file: str
    sha256: str
    at_ms: int
    answer: str
    found: tuple[str, ...]
    accepted: bool
    gone: Dropped | None


def pictures_of(records: Records, trips: Sequence[str], item: str = "") -> tuple[ToldPicture, ...]:
    """The pictures of these trips, in the order of the trips and of time; `item`: only of pieces of this item."""
    gone = dropped(records)
    made = (_Trip(records.of_trip(trip, *_TOLD), trip) for trip in trips)
    every = (one for trip in made for one in trip.pictures(gone))
    return tuple(one for one in every if not item or one.piece.partition("#")[0] == item)


class _Trip:
    """What is told of one trip's pictures, answers and findings."""

    def __init__(self, told: Sequence[Told], trip: str) -> None:
        self._trip = trip
        self._answers: dict[tuple[str, str], str] = {}
        self._found: dict[int, e.Found] = {}
        self._looks: set[str] = set()
        self._kept: dict[str, tuple[str, e.StillKept | e.PhotoTaken, int]] = {}
        for station, kept in told:
            self._take(station, kept.event, kept.stamp.at_ms)

    def _take(self, station: str, event: e.Event, at_ms: int) -> None:
        match event:
            case e.StillKept() | e.PhotoTaken():
                self._kept.setdefault(event.file, (station, event, at_ms))
            case e.CheckYes():
                self._answers[event.piece, event.key] = "yes"
            case e.CheckNo():
                self._answers[event.piece, event.key] = "unsure" if event.unsure else "no"
            case e.Correction():
                self._answers.pop((event.piece, event.key), None)
            case e.Found():
                self._found[event.n] = event
            case e.FindingWithdrawn():
                self._found.pop(event.n, None)
            case e.LookAccepted():
                self._looks.add(event.file)
            case _:
                pass

    def pictures(self, gone: Mapping[str, Dropped]) -> Iterator[ToldPicture]:
        for station, event, at_ms in self._kept.values():
            if isinstance(event, e.StillKept):
                piece, key, place = event.piece, f"{event.lumen}.scope", Place(lumen=event.lumen, at_mm=event.at_mm)
                own = self._found.get(event.finding)
                key = own.key if own is not None else key
                codes = [f.code for f in self._found.values() if (f.piece, f.key) == (piece, key)]
            else:
                found = self._found.get(event.n)
                if found is None:  # a finding that was withdrawn: of what it was is not known any more
                    continue
                piece, key, place, codes = found.piece, found.key, found.place, [found.code]
            yield ToldPicture(
                trip=self._trip,
                station=station,
                piece=piece,
                lumen=key.rpartition(".")[0],
                place=place,
                file=event.file,
                sha256=event.sha256,
                at_ms=at_ms,
                answer=self._answers.get((piece, key), ""),
                found=tuple(dict.fromkeys(codes)),
                accepted=event.file in self._looks,
                gone=gone.get(event.file),
            )
