"""The counters of told days, recounted by plain SQL over the bodies of the event table; nothing of ours counts here.

Not recounted so, because they are states and no events: trays_open_at_end, holds_open and tickets_waiting are (by what
was begun and not ended); pieces_checked, lumens_checked, lumens_not_seen, dried_again and bench_fixed need the plan's
fold (which YES was the last one planned), repeat_items needs failed checks in a row over trips, load_alerts the load of
a trip. What no event of these days moves (discarded, rush, overrides, offline_minutes, trays_reopened, conflicts) is 0.
"""

from collections.abc import Iterator
from datetime import UTC, date, datetime, time, timedelta
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk import resources
from kiosk.rehearsal.story import tell
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import FILE

UNTIL, OFFSET_MIN, DAYS = date(2031, 3, 4), -300, 30
SHIFTS = {"day": ("07:00", "15:00"), "late": ("15:00", "23:00"), "night": ("23:00", "07:00")}
"""Written here again: the recount shares nothing with the policy's reader."""

BODY = "json_extract(CAST(body AS TEXT), '$.{}')"
ONE = "SELECT count(*) FROM event WHERE typ = '{}' AND {{span}}"
SAYS = "SELECT count(*) FROM event WHERE typ = '{}' AND json_extract(CAST(body AS TEXT), '$.{}') = '{}' AND {{span}}"
BY_SQL = {
    "trays_opened": ONE.format("tray_opened"),
    "trays_packed": ONE.format("packed"),
    "trays_back": ONE.format("tray_back"),
    "repairs": ONE.format("repair_tagged"),
    "quarantined": ONE.format("quarantined"),
    "replaced": ONE.format("replaced"),
    "second_looks": ONE.format("second_look_asked"),
    "holds_placed": ONE.format("hold_placed"),
    "copies": ONE.format("reprinted"),
    "scope_cleans": ONE.format("scope_cleaned"),
    "scope_out_of_use": ONE.format("scope_out_of_use"),
    "exposures": ONE.format("exposure_noted"),
    "wrong_scans": ONE.format("wrong_scan"),
    "corrections": ONE.format("correction"),
    "labels_voided": ONE.format("label_voided"),
    "tickets": "SELECT count(*) FROM event WHERE typ IN ('item_back', 'tray_back') AND {span}",
    "items_back": (
        "SELECT coalesce(sum(json_array_length(CAST(body AS TEXT), '$.pieces')), 0) FROM event "
        "WHERE typ IN ('item_back', 'tray_back') AND {span}"
    ),
    "bench_full": SAYS.format("bench_cleaned", "level", "full"),
    "bench_wipe": SAYS.format("bench_cleaned", "level", "wipe"),
    "handwritten_tickets": SAYS.format("ticket_handwritten", "doc", "return_ticket"),
    **{
        group: (
            f"SELECT count(DISTINCT trip || '/' || {BODY.format('piece')}) FROM event f WHERE typ = 'finding' "
            f"AND {BODY.format('group')} = '{group}' AND {{span}} AND NOT EXISTS (SELECT 1 FROM event w WHERE "
            "w.typ = 'finding_withdrawn' AND w.trip = f.trip AND json_extract(CAST(w.body AS TEXT), '$.n') = "
            "json_extract(CAST(f.body AS TEXT), '$.n'))"
        )
        for group in ("soil", "foreign", "wet", "blocked", "damage")
    },
    "tickets_waiting": (
        "SELECT count(*) FROM event t WHERE t.typ IN ('item_back', 'tray_back') AND {before} AND NOT EXISTS "
        "(SELECT 1 FROM event r WHERE r.typ IN ('ticket_received', 'ticket_closed') AND r.at_ms < {end} AND "
        "json_extract(CAST(r.body AS TEXT), '$.ticket') = json_extract(CAST(t.body AS TEXT), '$.ticket'))"
    ),
    "trays_open_at_end": (
        "SELECT count(*) FROM event t WHERE t.typ = 'tray_opened' AND {before} AND NOT EXISTS (SELECT 1 FROM event x "
        "WHERE x.trip = t.trip AND x.typ IN ('packed', 'packed_short', 'tray_back', 'tray_let_go') AND x.at_ms < {end})"
    ),
}
LOCAL = "(at_ms + offset_min * 60000)"


@pytest.fixture(scope="module")
def told(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("recount") / "B1"
    tell(folder, bench_number=1, days=DAYS, until=UNTIL, seed=20260411, offset_min=OFFSET_MIN)
    return folder


def _spans() -> Iterator[tuple[tuple[str, date], int, int]]:
    for back in range(1, DAYS + 1):
        for name, (begins, ends) in SHIFTS.items():
            day = UNTIL - timedelta(days=back)
            start = datetime.combine(day, time.fromisoformat(begins), UTC)
            end = datetime.combine(day, time.fromisoformat(ends), UTC)
            end += timedelta(days=1) if end <= start else timedelta()
            yield (name, day), int(start.timestamp() * 1000), int(end.timestamp() * 1000)


@pytest.mark.slow
def test_every_shift_recounted_by_sql_has_the_same_figures(told: Path) -> None:
    reader = sqlite3.connect(f"{(told / FILE).resolve().as_uri()}?mode=ro", uri=True)
    by_sql = {
        shift: {
            name: reader.execute(
                sql.format(
                    span=f"{LOCAL} >= {start} AND {LOCAL} < {end}",
                    before=f"t.at_ms < {end - OFFSET_MIN * 60_000}",
                    end=end - OFFSET_MIN * 60_000,
                )
            ).fetchone()[0]
            for name, sql in BY_SQL.items()
        }
        for shift, start, end in _spans()
    }  # fmt: skip
    reader.close()
    store, policy = BenchStore(told), resources.policy()
    moved: set[str] = set()
    for shift, counted in by_sql.items():
        book = store.records.book(shift, policy, 1_930_500_000_000)
        got = {name: book[name] for name in BY_SQL}
        assert got == counted, shift
        moved |= {name for name, number in counted.items() if number}
    store.close()
    assert len(BY_SQL) >= 15
    assert len(moved) >= 15, sorted(set(BY_SQL) - moved)
