"""The department of `tests/speed/department.py` put into an ordinary store, in two ways that leave the same facts.

As events, through `Log.append`, as a bench keeps them: triggers lay out the facts. With ten million that takes hours,
so most are put straight into the tables of facts: rows with no event in any log behind them. `verify` tells such a
store from one that was worked on; what counts and what looks back reads only these tables, and can not.
`tests/speed/test_department.py` holds both ways against each other, row by row.
"""

import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.core.events import Event
from kiosk.core.place import Place
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.database import FILE, Store
from kiosk.store.facts import FACTS
from kiosk.store.log import Log
from tests.speed.department import (
    BENCHES,
    DAYS,
    Answered,
    Cleaned,
    Day,
    FoundSo,
    LotOpened,
    Opened,
    Said,
    TakenBack,
    telling,
)

THROUGH_LOG = 20_000
"""Answers of the first bench that are kept as events."""
_CACHE_KIB = 400_000  # pages held while the tables are filled; nothing that a bench sets


@dataclass(frozen=True, slots=True, kw_only=True)
class Made:
    """What was put into a store, and how long each way took, in seconds."""

    answers: int
    kept_as_events: int
    events_s: float
    rows_s: float
    size: int  # bytes of the file, when everything is in it


def as_kept(said: Said, offset: int) -> Kept:
    """It as the event that the bench would keep."""
    trip = None if isinstance(said, LotOpened | Cleaned) else said.trip
    stamp = Stamp(at_ms=said.at_ms, offset_min=offset, trusted=True, who="P-014", trip=trip, policy=1, record=1)
    return Kept(event=_event(said), stamp=stamp)


def _event(said: Said) -> Event:
    match said:
        case Opened():
            return e.TrayOpened(tray=said.tray, load=said.load)
        case Answered(part=part):
            key = f"{part.lumen}.{part.method}" if part.lumen else part.method
            if said.yes == 1:
                return e.CheckYes(piece=part.piece, key=key, took_ms=said.took_ms, tool=said.tool)
            return e.CheckNo(
                piece=part.piece, key=key, took_ms=said.took_ms, tool=said.tool, unsure=said.yes == -1
            )  # fmt: skip
        case FoundSo(part=part):
            key = f"{part.lumen}.{part.method}" if part.lumen else part.method
            place = Place(lumen=part.lumen, at_mm=said.at_mm)
            return e.Found(n=said.n, piece=part.piece, key=key, code=said.code, group=said.group, place=place)
        case TakenBack():
            return e.FindingWithdrawn(n=said.n)
        case LotOpened():
            return e.SwabLotOpened(lot=said.lot)
        case Cleaned():
            return e.ScopeCleaned(scope=said.scope)


def chance_bits(at_ms: int) -> int:
    """58 bits that stand where an id has chance: another number for every millisecond."""
    return at_ms * 0x9E3779B97F4A7C15 & (1 << 58) - 1


def id_at(at_ms: int) -> str:
    """The id of the first event of a millisecond, laid out as `kiosk.store.identity` says (RFC 9562 section 5.7)."""
    bits = chance_bits(at_ms)
    return f"{at_ms >> 16:08x}-{at_ms & 0xFFFF:04x}-7000-{0x8000 | bits >> 48:04x}-{bits & 0xFFFFFFFFFFFF:012x}"


class Rows:
    """Rows of facts straight from what was said: told here once more, without the log's SQL.

    `lots`: the lot that is in use at each bench.
    """

    def __init__(self) -> None:
        self.lots = dict.fromkeys(BENCHES, "")
        self._rows: dict[str, list[tuple[Any, ...]]] = {name: [] for name in FACTS}

    def passed(self, bench: str, said: list[Said]) -> None:
        """These were kept as events: nothing to put in, but lots go on from there."""
        for one in said:
            if isinstance(one, LotOpened):
                self.lots[bench] = one.lot

    def add(self, bench: str, day: date, offset: int, said: list[Said]) -> None:
        """Lay out what a bench said on a day."""
        rows, day_text, lot = self._rows, day.isoformat(), self.lots[bench]
        answers, lumens = rows["answer"], rows["lumen"]
        looked: set[tuple[str, str, str]] = set()
        for one in said:
            at_ms = one.at_ms
            minute = (at_ms // 60_000 + offset) % 1440
            if type(one) is Answered:
                piece, type_, lumen, method = one.part[:4]
                id_, swab = id_at(at_ms), lot if method == "swab" else ""
                answers.append((
                    day_text, id_, at_ms, minute, one.trip, piece, type_, lumen, method, one.yes, one.took_ms,
                    one.tool, swab,
                ))  # fmt: skip
                key = (one.trip, piece, lumen)
                if lumen and key not in looked:
                    looked.add(key)
                    lumens.append((*key, type_, day_text, minute, at_ms, id_))
            elif isinstance(one, LotOpened):
                lot = self.lots[bench] = one.lot
                rows["lot"].append((bench, at_ms << 16, lot, at_ms))
            else:
                self._rarer(bench, day_text, minute, one)

    def _rarer(self, bench: str, day: str, minute: int, said: Said) -> None:
        rows, id_ = self._rows, id_at(said.at_ms)
        match said:
            case Opened(at_ms=at_ms, trip=trip, tray=tray, load=load):
                rows["trip"].append((trip, bench, tray.code, tray.name, load, day, at_ms))
                rows["load"].append((load, trip, at_ms))
                for item in tray.items:
                    names = [item.id] if item.qty == 1 else [f"{item.id}#{n}" for n in range(1, item.qty + 1)]
                    rows["stay"].append((item.id, tray.code, at_ms, trip, item.qty))
                    rows["piece"] += [(trip, name, item.id, item.type) for name in names]
            case FoundSo(at_ms=at_ms, trip=trip, part=part, n=n, code=code, group=group, at_mm=at_mm):
                rows["finding"].append((
                    day, id_, at_ms, minute, trip, n, part.piece, part.type, part.lumen, part.method, code, group,
                    at_mm, part.length_mm,
                ))  # fmt: skip
            case TakenBack(trip=trip, n=n):
                rows["withdrawn"].append((trip, n))
            case Cleaned(at_ms=at_ms, scope=scope):
                rows["scope"].append((scope, at_ms, id_, "scope_cleaned"))

    def put(self, connection: sqlite3.Connection) -> int:
        """Put everything in that was laid out, in the order of the keys. Returns how many answers it was."""
        answers = len(self._rows["answer"])
        for name, rows in self._rows.items():
            columns = FACTS[name]
            marks = ", ".join("?" * (columns.count(",") + 1))
            connection.executemany(f"INSERT INTO fact_{name} ({columns}) VALUES ({marks})", sorted(rows))
            rows.clear()
        return answers


def make_department(folder: Path, answers: int, through_log: int = THROUGH_LOG, days: int = DAYS) -> Made:
    """Make a store of so many answers: the first ones of the first bench as events, all others as rows of facts."""
    told = telling(answers, days)
    with Store(folder, BENCHES[0]) as store:
        rows = Rows()
        start = time.perf_counter()
        first, kept = _keep_first(Log(store), told, through_log, rows)
        events_s, start = time.perf_counter() - start, time.perf_counter()
        store.db.conn.execute(f"PRAGMA cache_size = -{_CACHE_KIB}")
        put = 0
        with store.transaction() as connection:
            for nth, day in enumerate(_again(first, told)):
                for bench, said in day.said.items():
                    if nth >= len(first) or bench != BENCHES[0]:
                        rows.add(bench, day.day, day.offset_min, said)
                put += rows.put(connection)
        store.db.conn.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
        rows_s = time.perf_counter() - start
    size = (folder / FILE).stat().st_size
    return Made(answers=kept + put, kept_as_events=kept, events_s=events_s, rows_s=rows_s, size=size)


def _keep_first(log: Log, told: Iterator[Day], answers: int, rows: Rows) -> tuple[list[Day], int]:
    """Keep whole days of the first bench as events, a trip at a time, until there are so many answers."""
    days, kept = [], 0
    while kept < answers and (day := next(told, None)) is not None:
        days.append(day)
        said = day.said[BENCHES[0]]
        for command in _by_trip(said):
            log.append([as_kept(one, day.offset_min) for one in command])
        rows.passed(BENCHES[0], said)
        kept += sum(isinstance(one, Answered) for one in said)
    return days, kept


def _by_trip(said: list[Said]) -> Iterator[list[Said]]:
    begins = [nth for nth, one in enumerate(said) if isinstance(one, Opened)]
    for begin, end in zip([0, *begins], [*begins, len(said)], strict=True):
        yield said[begin:end]


def _again(first: list[Day], told: Iterator[Day]) -> Iterator[Day]:
    yield from first
    yield from told
