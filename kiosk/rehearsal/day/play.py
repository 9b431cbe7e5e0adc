"""Plays the day: the station whose clock is furthest behind does its next thing."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, time
from pathlib import Path

from kiosk import resources
from kiosk.core.catalogue import Person
from kiosk.desk import make_desk
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.day.bench import DayBench
from kiosk.rehearsal.day.department import BENCHES, DIRTY, STATIONS, Arrival, arrivals, department, staffed, washed
from kiosk.rehearsal.day.dirty import DirtySide
from kiosk.rehearsal.day.interruptions import dies
from kiosk.rehearsal.day.station import Station
from kiosk.rehearsal.month import DEMO, Month, Watch
from kiosk.store.catalogue_files import load_catalogue

ON = date(2031, 3, 12)  # a Wednesday
OFFSET_MIN = 60
SEED = 120
DAY_MS = 86_400_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """A day as it is drawn by seed. `hours`: shift -> (begins, ends), Unix ms; `watches`: bench -> its shifts."""

    month: Month
    hours: Mapping[str, tuple[int, int]]
    watches: Mapping[str, tuple[Watch, ...]]
    coming: tuple[Arrival, ...]

    @property
    def opens_ms(self) -> int:
        return min(begins for begins, _ in self.hours.values())

    @property
    def closes_ms(self) -> int:
        return max(ends for _, ends in self.hours.values())


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """A day as it was played. `sign_ins`: (shift, role) -> PINs typed; `shifts`: name -> (begins, ends), Unix ms."""

    folder: Path
    stations: tuple[str, ...]
    shifts: Mapping[str, tuple[int, int]]
    sign_ins: Mapping[tuple[str, str], int]
    papers_made: int
    stops: int  # stop pages that came up at the benches
    tray_hours: float  # hours in which a tray lay open on a bench
    people: Sequence[Person]


def draw(seed: int, on: date) -> Drawn:
    """The department, its people and what comes to it."""
    told = resources.read_yaml(DEMO / "story.yaml")
    policy = resources.policy({"missing_rule": "pack_short_by_supervisor"})
    hours = {name: _hours(on, *clock) for name, clock in policy.shifts.items()}
    watches = staffed(told["staffing"]["weekday"], hours)
    catalogue = department()
    coming = arrivals(catalogue, watches, seed)
    month = Month(
        told=told,
        catalogue=washed(catalogue, coming),
        policy=policy,
        bench=BENCHES[0],
        days=1,
        until=on,
        seed=seed,
        offset_min=OFFSET_MIN,
    )
    return Drawn(month=month, hours=hours, watches=watches, coming=coming)


def bench_of(drawn: Drawn, bench: str, folder: Path, *, at_ms: int, cut: Callable[[DayBench], None] = dies) -> DayBench:
    """The hands at a bench of the day, its program started on what lies under `folder`; the time is `at_ms`."""
    kit = load_catalogue(DEMO, bench=bench).kit
    number = BENCHES.index(bench) + 1
    month = drawn.month
    desk = make_desk(replace(month.catalogue, kit=kit), month.policy, bench_number=number)
    clock = HandClock(at_ms=at_ms, offset_min=OFFSET_MIN)
    station = Station(bench, folder, desk, clock, [other for other in STATIONS if other != bench])
    mine = [row for row in drawn.coming if row.bench == bench]
    return DayBench(station, month, drawn.watches[bench], mine, cut=cut)


def dirty_of(drawn: Drawn, folder: Path, *, at_ms: int) -> DirtySide:
    """Decontam's station."""
    desk = make_desk(drawn.month.catalogue, drawn.month.policy, side="decontam")
    station = Station(DIRTY, folder, desk, HandClock(at_ms=at_ms, offset_min=OFFSET_MIN), BENCHES)
    return DirtySide(station, drawn.month, drawn.watches[DIRTY])


def play_day(folder: Path, *, seed: int = SEED, on: date = ON, cut: Callable[[DayBench], None] = dies) -> Day:
    """Play the day into stores under `folder`. `cut`: how the power goes at a bench in the middle of a tray.

    Raises StoryFault where the rules refuse what the day does.
    """
    drawn = draw(seed, on)
    hands = [bench_of(drawn, bench, folder, at_ms=drawn.opens_ms, cut=cut) for bench in BENCHES]
    dirty = dirty_of(drawn, folder, at_ms=drawn.opens_ms)
    everybody: list[DayBench | DirtySide] = [*hands, dirty]
    while True:
        behind = min(everybody, key=lambda each: each.clock.at_ms)
        if behind.clock.at_ms >= drawn.closes_ms:
            break
        behind.turn()
    for each in everybody:
        each.station.end()
    return Day(
        folder=folder,
        stations=STATIONS,
        shifts=drawn.hours,
        sign_ins=sum((each.sign_ins for each in hands), Counter()),
        papers_made=sum(each.papers_made for each in hands),
        stops=sum(each.stops for each in hands),
        tray_hours=sum(each.tray_ms for each in hands) / 3_600_000,
        people=tuple(drawn.month.catalogue.people.values()),
    )


def _hours(on: date, begins: str, ends: str) -> tuple[int, int]:
    opens, closes = (_ms(on, clock) for clock in (begins, ends))
    return opens, closes + (DAY_MS if closes <= opens else 0)


def _ms(on: date, clock: str) -> int:
    local = datetime.combine(on, time.fromisoformat(clock), UTC)
    return int(local.timestamp() * 1000) - OFFSET_MIN * 60_000
