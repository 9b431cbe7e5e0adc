"""Looking back over many trips: a page reads the trips that it shows, newest first, and counts the others unread."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.past import lookback
from kiosk.core.past.records import LogRecords, Told
from tests.core.department import PLAIN, Shift
from tests.core.test_shift_summary import to_desk

TRIPS = 9


@dataclass(frozen=True, slots=True)
class Watched(LogRecords):
    """The records of a station, with the trips that were read whole, and how often every opening was."""

    read: list[str]
    asked: list[str]

    def of_trip(self, trip: str, *names: str) -> Sequence[Told]:
        self.read.append(trip)
        return LogRecords.of_trip(self, trip, *names)

    def kept(self, *names: str, holding: str = "", since_ms: int = 0) -> Sequence[Told]:
        self.asked.append(holding)
        return LogRecords.kept(self, *names, holding=holding, since_ms=since_ms)


def many_trips() -> tuple[Shift, Watched]:
    shift = Shift()
    shift.sign_in()
    for _ in range(TRIPS):
        shift.open(PLAIN)
        shift.must(c.LetGo())
    shift.must(c.SignOut())
    watched = Watched(lambda: {"B1": shift.log}, [], [])
    to_desk(shift)
    shift.session.desk = replace(shift.session.desk, records=watched)
    return shift, watched


def page(shift: Shift, number: int) -> v.ListView:
    shift.session.send(c.Turn(page=Page.LOOKBACK, subject="bench=B1", number=number))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    return view


def test_a_page_of_a_lookback_reads_the_trips_on_it_and_no_other() -> None:
    shift, watched = many_trips()
    view = page(shift, 0)
    assert view.title.startswith(f"{TRIPS} trips")
    assert len(view.rows) == 4
    assert len(watched.read) == len(view.rows)
    last = page(shift, 2)
    assert (last.page, last.pages, len(last.rows)) == (2, 3, 1)
    assert len(watched.read) == len(view.rows) + 1


def test_the_newest_trip_stands_first_and_the_oldest_last() -> None:
    shift, _ = many_trips()
    names = [row.name.removeprefix("trip ") for number in range(3) for row in page(shift, number).rows]
    opened = [kept.stamp.trip for kept in shift.log if type(kept.event).__name__ == "TrayOpened"]
    assert names == opened[::-1]


def test_the_openings_of_a_tray_are_read_once_however_many_of_its_trips_are_traced() -> None:
    shift, watched = many_trips()
    trips = lookback.met(watched, lookback.guessed("B1", shift.desk))
    found = lookback.trace(watched, trips, shift.desk.policy)
    assert [one.later for one in found] == list(reversed(range(TRIPS)))
    assert watched.asked.count(PLAIN) == 1
