"""What an invented department said in five years: eight benches, sixty trays, their trips, answers and findings.

The same seed tells the same department, whatever the number of checks: fewer checks are fewer trips a day, not fewer
days. Nothing here knows the store; `tests/speed/department_store.py` puts it there.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from kiosk.core.catalogue import Item, Lumen, Tray

FIRST, DAYS = date(2026, 1, 1), 5 * 365 + 1  # up to the end of 2030; 2028 is a leap year
BENCHES = tuple(f"B{number}" for number in range(1, 9))
OPENS, CLOSES = 6 * 60, 22 * 60
"""Minutes of the day between which trays are opened."""
LOT_DAYS = 7
"""A bench opens a box of swabs every so many days; a lot is delivered for two such weeks."""

_LUMENS = {  # type of item: its lumens with inside diameter, length (mm) and the checks that are made of each
    "tonsil_suction": (("bore", "3.2", 180, "swab scope"),),
    "pool_suction": (("inner tube", "6", 250, "swab scope"), ("outer sleeve", "9", 220, "holes swab")),
    "fine_suction": (("bore", "1.8", 140, "swab air"),),
    "insulated_suction": (("bore", "2.5", 240, "swab scope"),),
    "lap_suction": (("bore", "5", 330, "holes swab scope"),),
    "trumpet_valve": (("suction way", "5", 90, "swab scope"), ("water way", "4", 90, "swab scope")),
    "lap_takeapart": (("outer tube", "4", 360, "swab scope"),),
    "trocar_cannula": (("bore", "11", 120, "look swab"), ("tap", "2.5", 30, "swab air")),
    "insufflation_needle": (("bore", "1.6", 120, "air water"),),
    "cannulated_drill": (("bore", "2.2", 200, "swab water"),),
    "cannulated_driver": (("bore", "3.2", 260, "swab scope"),),
    "flexible_reamer": (("bore", "3", 450, "swab scope"),),
    "shaver_blade": (("inner", "2.8", 180, "teeth swab"), ("outer", "4", 150, "swab scope")),
    "eye_cannula": (("bore", "0.7", 30, "water"),),
    "scope_sheath": (("bore", "5", 300, "swab scope"), ("inflow", "2.5", 40, "swab air")),
    "fat_cannula": (("bore", "3.5", 320, "holes swab scope"),),
}
_TOOK_S = {  # a middle time on screen, seconds, and how far it spreads (of the logarithm)
    "look": (3.0, 0.5), "light": (3.0, 0.5), "holes": (5.0, 0.5), "teeth": (6.0, 0.5),
    "swab": (9.0, 0.4), "scope": (24.0, 0.5), "air": (6.0, 0.4), "water": (8.0, 0.4),
}  # fmt: skip
_CODES = {  # check: what is found by it, the commonest first
    "look": "rust_spot brown_film dent clear_drops foreign_bit", "holes": "bone_grit tissue brown_film",
    "teeth": "bone_grit metal_sliver burr", "swab": "red_mark fiber brown_film wont_pass bristle white_deposit",
    "scope": "brown_film red_mark pitting deep_scratch bristle tissue clear_drops discolored",
    "air": "clear_drops blocked slow_flow", "water": "colored_water slow_flow blocked white_deposit",
    "light": "blocked",
}  # fmt: skip
GROUPS = {
    "soil": "tissue red_mark colored_water bone_grit brown_film white_deposit",
    "foreign": "bristle fiber metal_sliver foreign_bit",
    "wet": "clear_drops",
    "blocked": "blocked slow_flow wont_pass",
    "damage": "pitting rust_spot dent burr deep_scratch",
    "identity": "no_mark",
}
_GROUP = {code: group for group, codes in GROUPS.items() for code in codes.split()} | {"discolored": "damage"}
_TIMES = 1024


class Part(NamedTuple):
    """A check of a piece, as the set record leads to it. `bad`: how often it is not answered YES."""

    piece: str
    type: str
    lumen: str
    method: str
    length_mm: int | None
    bad: float


class Opened(NamedTuple):
    at_ms: int
    trip: str
    tray: Tray
    load: str


class Answered(NamedTuple):
    """`yes`: 1, 0, or -1 where nobody could tell."""

    at_ms: int
    trip: str
    part: Part
    yes: int
    took_ms: int
    tool: str


class FoundSo(NamedTuple):
    at_ms: int
    trip: str
    part: Part
    n: int
    code: str
    group: str
    at_mm: int | None


class TakenBack(NamedTuple):
    at_ms: int
    trip: str
    n: int


class LotOpened(NamedTuple):
    at_ms: int
    lot: str


class Cleaned(NamedTuple):
    at_ms: int
    scope: str


Said = Opened | Answered | FoundSo | TakenBack | LotOpened | Cleaned


@dataclass(frozen=True, slots=True, kw_only=True)
class Day:
    """One day of the station's own clock. `said`: of each bench what it kept, in order; no two at one millisecond."""

    day: date
    offset_min: int
    said: dict[str, list[Said]]


def offset_min(day: date) -> int:
    """Local time is UTC plus this; an hour later from April to October."""
    return -240 if 4 <= day.month <= 10 else -300


def telling(answers: int, days: int = DAYS, seed: int = 740926) -> Iterator[Day]:
    """The days in order, with so many answers in all, give or take what the last day's returns left unasked."""
    chance = random.Random(seed)
    trays = [_tray(number, chance) for number in range(1, 61)]
    times = {name: [_took_ms(*spread, chance) for _ in range(_TIMES)] for name, spread in _TOOK_S.items()}
    told, trips, turn = 0, dict.fromkeys(BENCHES, 0), 0
    for nth in range(days):
        day = FIRST + timedelta(days=nth)
        opened: dict[str, list[tuple[Tray, list[list[Part]]]]] = {bench: [] for bench in BENCHES}
        due = answers * (nth + 1) / days
        while told < due:
            one = chance.choice(trays)
            opened[BENCHES[turn % len(BENCHES)]].append(one)
            turn += 1
            told += sum(map(len, one[1]))
        said = {}
        left = 0
        for number, bench in enumerate(BENCHES, start=1):
            bench_day = _BenchDay(number, day, chance, times, _season(day))
            said[bench] = bench_day.told(opened[bench], trips[bench], new_lot=nth % LOT_DAYS == 0)
            trips[bench] += len(opened[bench])
            left += bench_day.left
        told -= left
        yield Day(day=day, offset_min=offset_min(day), said=said)


class _BenchDay:
    """One bench on one day. `left`: checks that were not made, because the piece went back before."""

    def __init__(
        self, number: int, day: date, chance: random.Random, times: dict[str, list[int]], season: float
    ) -> None:
        self.left = 0
        self._number, self._day, self._chance, self._times, self._season = number, day, chance, times, season
        noon = datetime(day.year, day.month, day.day, tzinfo=UTC) - timedelta(minutes=offset_min(day))
        self._midnight_ms = int(noon.timestamp()) * 1000
        self._scopes = (f"SC-{number}1", f"SC-{number}2")

    def told(self, opened: list[tuple[Tray, list[list[Part]]]], before: int, *, new_lot: bool) -> list[Said]:
        """What it kept. A bench's milliseconds end in its number, so that no two benches have the same."""
        said: list[Said] = []
        start = self._midnight_ms + OPENS * 60_000 + self._number
        if new_lot:
            week = (self._day - FIRST).days // LOT_DAYS
            said.append(LotOpened(start, f"SW-{1000 + (week + self._number % 2) // 2}"))
        said.append(Cleaned(start + 10, self._scopes[0]))
        said.append(Cleaned(start + 20, self._scopes[1]))
        slot = (CLOSES - OPENS) * 60_000 // max(1, len(opened))
        at_ms = start + 1000
        for nth, (tray, pieces) in enumerate(opened):
            at_ms = max(at_ms + 1000, start + slot * nth // 10 * 10 + self._chance.randrange(max(1, slot // 40)) * 10)
            load = f"W-{self._day:%y%m%d}-{self._number}{nth // 2}"
            trip = f"{self._number}-{before + nth + 1:06}"
            said.append(Opened(at_ms, trip, tray, load))
            at_ms = self._walk(said, at_ms, trip, pieces)
        return said

    def _walk(self, said: list[Said], at_ms: int, trip: str, pieces: list[list[Part]]) -> int:
        """The checks of a tray, piece by piece; what is found sends the piece back, and its other checks are left."""
        random_, bits = self._chance.random, self._chance.getrandbits
        n = 0
        for parts in pieces:
            for nth, part in enumerate(parts, start=1):
                took_ms = self._times[part.method][bits(10)]
                at_ms += took_ms // 10 * 10 + 500
                if part.method == "scope":
                    tool = self._scopes[bits(1)]
                elif part.method == "swab":
                    tool = "2.0 mm"
                else:
                    tool = ""
                if random_() >= part.bad * self._season:
                    said.append(Answered(at_ms, trip, part, 1, took_ms, tool))
                    continue
                n += 1
                said.append(Answered(at_ms, trip, part, -1 if random_() < 0.1 else 0, took_ms, tool))
                said.append(self._found(at_ms + 4000, trip, part, n))
                at_ms += 8000
                if random_() < 0.06:
                    said.append(TakenBack(at_ms, trip, n))
                    continue
                self.left += len(parts) - nth
                break
        return at_ms

    def _found(self, at_ms: int, trip: str, part: Part, n: int) -> FoundSo:
        codes = _CODES[part.method].split()
        code = codes[min(int(self._chance.expovariate(0.6)), len(codes) - 1)]
        length = part.length_mm
        at_mm = self._chance.randrange(length) if length and self._chance.random() < 0.8 else None
        return FoundSo(at_ms, trip, part, n, code, _GROUP[code], at_mm)


def _season(day: date) -> float:
    """A slow drift and one bad quarter, so that a chart has something to show."""
    return (1.6 if (day.year, (day.month - 1) // 3) == (2029, 1) else 1.0) * (1.1 - 0.05 * (day.year - FIRST.year))


def _took_ms(middle_s: float, spread: float, chance: random.Random) -> int:
    return round(1000 * middle_s * chance.lognormvariate(0, spread))


def _tray(number: int, chance: random.Random) -> tuple[Tray, list[list[Part]]]:
    """A set record with two to five kinds of item, and the checks of each piece in order."""
    items, pieces = [], []
    for nth, type_ in enumerate(chance.sample(sorted(_LUMENS), chance.randrange(2, 6)), start=1):
        ways = _LUMENS[type_]
        lumens = tuple(
            Lumen(name=name, inside_mm=Decimal(inside), length_mm=Decimal(length)) for name, inside, length, _ in ways
        )
        item = Item(
            id=f"A{number}{nth}", name=type_.replace("_", " ").capitalize(), type=type_, lumens=lumens,
            qty=chance.choice((1, 1, 2)),
        )  # fmt: skip
        items.append(item)
        bad = 0.004 * 2.0 ** chance.randrange(-1, 3)
        for copy in range(1, item.qty + 1):
            piece = item.id if item.qty == 1 else f"{item.id}#{copy}"
            made = [Part(piece, type_, "", "look", None, bad / 2)]
            for name, _, length, methods in ways:
                made += [Part(piece, type_, name, method, length, bad) for method in methods.split()]
            pieces.append(made)
    return Tray(code=f"TR-{1000 + number}", name=f"Set {number}", items=tuple(items)), pieces
