"""A bench's store of many events: ten days of the demo department as the rules played them, told over and over.

Each time ten days later and with the next numbers of trips; linked, signed once a minute, bookmarked as a bench does.
Trays that were left open at the end of the ten days are left out: nobody would ever come back to them. Dates inside
the bodies, tickets and loads stay those of the first ten days.
"""

import re
from collections.abc import Iterator, Sequence
from datetime import date
from itertools import count, islice
from pathlib import Path
from typing import Any

from kiosk.app.keeper import SIGN_EVERY_MS
from kiosk.rehearsal.story import tell
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS, FIRST, link
from kiosk.store.identity import new_id, tick

DAYS, UNTIL, SEED = 10, date(2031, 3, 5), 740926
TRAY = 65
"""Events since the last note of the fold when the bench was killed: about one tray's."""

_TRIP = re.compile(rb"\b1-(\d{6})\b")
_INSERT = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
_SIGNED = "INSERT INTO signed_head (origin, seq, hlc, h, at_ms, sig) VALUES (?, ?, ?, ?, ?, ?)"
_AT_ONCE = 20_000


def make_long_store(folder: Path, events: int) -> None:
    """Make a store of so many events, closed as a killed bench leaves it: a tray after the last note of the fold."""
    tell(folder.with_name("told"), bench_number=1, days=DAYS, until=UNTIL, seed=SEED)
    told = BenchStore(folder.with_name("told"), "B1")
    left = {trip.id for trip in told.bench().trips.values() if not trip.ended}
    days = [tuple(getattr(row, name) for name in COLUMNS) for row in told.log.rows() if row.trip not in left]
    told.close()
    store = BenchStore(folder, "B1")
    more = _over_and_over(days)
    _put(store, islice(more, events - TRAY))
    store.records.bench_at(store.store.origin, events - TRAY)
    store.records.put_down()
    store.snapshot(store.bench())
    _put(store, islice(more, TRAY))
    signed = store.heads.newest()
    assert signed is not None
    store.store.keys.note(signed)
    store.close()


def _over_and_over(days: Sequence[tuple[Any, ...]]) -> Iterator[tuple[Any, ...]]:
    trips = 1 + max(int(row[13].removeprefix("1-")) for row in days if row[13])
    length_ms = DAYS * 86_400_000
    for turn in count():

        def later(found: re.Match[bytes]) -> bytes:
            return b"1-%06d" % (int(found[1]) + turn * trips)  # noqa: B023

        for row in days:
            trip = _TRIP.sub(later, row[13].encode()).decode() if row[13] else None
            at_ms, body = row[3] + turn * length_ms, _TRIP.sub(later, row[14])
            yield (*row[:3], at_ms, *row[4:13], trip, body)


def _put(store: BenchStore, rows: Iterator[tuple[Any, ...]]) -> None:
    """Put rows at the end of the log, many in a transaction: what is measured is the file, not its making."""
    origin, newest = store.store.origin, store.heads.newest()
    signed_ms = newest.at_ms if newest else 0
    while some := list(islice(rows, _AT_ONCE)):
        head = store.log.head()
        seq, hlc, before = head.seq, head.hlc, head.h or FIRST
        with store.store.transaction() as connection:
            for row in some:
                seq, hlc = seq + 1, tick(hlc, row[3])
                values = (seq, hlc, *row[2:8], new_id(hlc), *row[9:])
                before = link(before, origin, values)
                connection.execute(_INSERT, (*values, before))
                if row[3] - signed_ms >= SIGN_EVERY_MS:
                    signed_ms = row[3]
                    head_now = store.store.keys.sign(origin, seq, hlc, before, signed_ms)
                    assert head_now is not None
                    connection.execute(_SIGNED, (origin, seq, hlc, before, signed_ms, head_now.sig))
