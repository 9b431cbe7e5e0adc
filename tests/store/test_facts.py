"""The tables of facts say what the log says, however it came here, and are made anew where they do not."""

import json
from collections.abc import Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Lumen, Tray
from kiosk.core.events import Event
from kiosk.core.place import Place
from kiosk.core.stamp import Kept, local_time
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS, link
from kiosk.store.database import FILE, Store
from kiosk.store.facts import FACTS, rebuild, rows_of, unlike_facts
from kiosk.store.identity import new_id
from kiosk.store.log import Log
from kiosk.store.proving import prove_store
from kiosk.store.records import StoreRecords
from kiosk.store.rows import put
from kiosk.sync.beside import Beside
from tests.store.older import copied, keep_newer, older_store
from tests.store.shift import EVERYTHING, MORNING_MS, kept
from tests.store.test_proving import change

BORE = Lumen(name="bore", inside_mm=Decimal("3.2"), length_mm=Decimal(180))
TRAY = Tray(
    code="TR-0100",
    name="Sinus set",
    items=(Item(id="E1", name="Suction tube", type="suction_tube", lumens=(BORE,), qty=2),),
)
SPARE = Item(id="X9", name="Suction tube", type="suction_tube", lumens=(BORE,))


def trip(number: int, *events: Event) -> list[Kept]:
    """A trip of the tray with these events, a minute apart. The station's local time is UTC minus five hours."""
    every = (e.TrayOpened(tray=TRAY, load="W-7"), *events)
    return [
        kept(event, MORNING_MS + 3_600_000 * number + 60_000 * n, trip=f"T-{number}") for n, event in enumerate(every)
    ]


def yes(piece: str, method: str, tool: str = "") -> Event:
    return e.CheckYes(piece=piece, key=f"bore.{method}", took_ms=4000, tool=tool)


def found(n: int, piece: str, code: str, group: str, at_mm: int) -> Event:
    place = Place(lumen="bore", at_mm=at_mm)
    return e.Found(n=n, piece=piece, key="bore.scope", code=code, group=group, place=place)


SHIFT = [
    kept(e.SwabLotOpened(lot="SW-1"), MORNING_MS, trip=None),
    *trip(1, yes("E1#1", "swab", "2.0 mm"), yes("E1#1", "scope", "SC-1"), yes("E1#2", "swab", "2.0 mm")),
    kept(e.SwabLotOpened(lot="SW-2"), MORNING_MS + 2 * 3_600_000 - 1, trip=None),
    *trip(
        2,
        yes("E1#1", "swab", "2.0 mm"),
        e.CheckNo(piece="E1#1", key="bore.scope", took_ms=9000, tool="SC-1"),
        found(1, "E1#1", "soil_dark", "soil", 45),
        e.FindingWithdrawn(n=1),
        found(2, "E1#1", "rust", "damage", 90),
        e.CheckNo(piece="E1#2", key="look", took_ms=900, unsure=True),
        e.Replaced(out="E1#1", item=SPARE),
        yes("X9", "scope", "SC-1"),
    ),
    kept(e.ScopeCleaned(scope="SC-1"), MORNING_MS + 3 * 3_600_000, trip=None),
]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    with Store(tmp_path / "store", "B1") as store:
        Log(store).append(SHIFT)
        yield store


def rows(store: Store, sql: str) -> list[tuple[object, ...]]:
    return [tuple(row) for row in store.db.conn.execute(sql).fetchall()]


def test_each_answer_stands_with_its_day_type_method_scope_and_swab_lot(store: Store) -> None:
    assert rows(store, "SELECT trip, piece, type, lumen, method, yes, tool, lot FROM fact_answer ORDER BY day, id") == [
        ("T-1", "E1#1", "suction_tube", "bore", "swab", 1, "2.0 mm", "SW-1"),
        ("T-1", "E1#1", "suction_tube", "bore", "scope", 1, "SC-1", ""),
        ("T-1", "E1#2", "suction_tube", "bore", "swab", 1, "2.0 mm", "SW-1"),
        ("T-2", "E1#1", "suction_tube", "bore", "swab", 1, "2.0 mm", "SW-2"),
        ("T-2", "E1#1", "suction_tube", "bore", "scope", 0, "SC-1", ""),
        ("T-2", "E1#2", "suction_tube", "", "look", -1, "", ""),
        ("T-2", "X9", "suction_tube", "bore", "scope", 1, "SC-1", ""),
    ]  # fmt: skip


def test_a_lumen_is_looked_at_once_at_its_first_answer_by_the_station_s_own_clock(store: Store) -> None:
    assert rows(store, "SELECT trip, piece, lumen, day, minute FROM fact_lumen") == [
        ("T-1", "E1#1", "bore", "2025-11-25", 181), ("T-1", "E1#2", "bore", "2025-11-25", 183),
        ("T-2", "E1#1", "bore", "2025-11-25", 241), ("T-2", "X9", "bore", "2025-11-25", 248),
    ]  # fmt: skip


def test_a_finding_stands_with_its_place_and_length_and_a_withdrawn_one_is_said_to_be_so(store: Store) -> None:
    assert rows(store, "SELECT trip, n, type, lumen, code, grp, at_mm, length_mm FROM fact_finding ORDER BY n") == [
        ("T-2", 1, "suction_tube", "bore", "soil_dark", "soil", 45.0, 180.0),
        ("T-2", 2, "suction_tube", "bore", "rust", "damage", 90.0, 180.0),
    ]
    assert rows(store, "SELECT * FROM fact_withdrawn") == [("T-2", 1)]


def test_trips_pieces_loads_and_scopes_stand_for_looking_back(store: Store) -> None:
    assert rows(store, "SELECT trip, bench, tray, load FROM fact_trip") == [
        ("T-1", "B1", "TR-0100", "W-7"), ("T-2", "B1", "TR-0100", "W-7"),
    ]  # fmt: skip
    assert rows(store, "SELECT trip, piece, item FROM fact_piece") == [
        ("T-1", "E1#1", "E1"), ("T-1", "E1#2", "E1"), ("T-2", "E1#1", "E1"), ("T-2", "E1#2", "E1"), ("T-2", "X9", "X9"),
    ]  # fmt: skip
    assert rows(store, "SELECT load, trip FROM fact_load") == [("W-7", "T-1"), ("W-7", "T-2")]
    assert rows(store, "SELECT scope, what FROM fact_scope") == [("SC-1", "scope_cleaned")]


def test_the_sums_of_a_day_are_those_of_its_rows_also_where_an_earlier_look_is_heard_later(store: Store) -> None:
    day = "2025-11-25"
    assert rows(store, "SELECT what, day, word, n, no FROM fact_sum") == [
        ("lot", day, "SW-1", 2, 0), ("lot", day, "SW-2", 1, 0), ("method", day, "scope", 3, 1),
        ("method", day, "swab", 3, 0), ("scope", day, "SC-1", 3, 1), ("type", day, "suction_tube", 4, 0),
    ]  # fmt: skip
    earlier = kept(yes("E1#2", "scope", "SC-1"), MORNING_MS - 86_400_000, trip="T-1")
    Log(store).append([earlier])
    assert rows(store, "SELECT day, word, n FROM fact_sum WHERE what = 'type'") == [
        ("2025-11-24", "suction_tube", 1), ("2025-11-25", "suction_tube", 3),
    ]  # fmt: skip
    assert unlike_facts(store.db.conn) == {}


def answered(events: Iterable[Kept]) -> dict[tuple[str, str, str], list[int]]:
    """A plain recount from what was kept: the times of all answers in ms by local day, check and type, in order."""
    types: dict[tuple[str | None, str], str] = {}
    found: dict[tuple[str, str, str], list[int]] = {}
    for one in events:
        event, trip = one.event, one.stamp.trip
        if isinstance(event, e.TrayOpened):
            for item in event.tray.items:
                names = [item.id] if item.qty == 1 else [f"{item.id}#{n}" for n in range(1, item.qty + 1)]
                types |= {(trip, name): item.type for name in names}
        elif isinstance(event, e.Replaced):
            types[trip, event.item.id] = event.item.type
        elif isinstance(event, e.CheckYes | e.CheckNo):
            day = local_time(one.stamp.at_ms, one.stamp.offset_min).date().isoformat()
            key = day, event.key.rpartition(".")[2], types.get((trip, event.piece), "")
            found.setdefault(key, []).append(event.took_ms)
    return {key: sorted(found[key]) for key in found}


def test_the_times_of_a_day_are_those_of_a_plain_recount_from_the_log_each_to_the_millisecond(store: Store) -> None:
    more = [replace(one, stamp=replace(one.stamp, trip=one.stamp.trip and "T-8")) for one in EVERYTHING]
    Log(store).append(more)
    kept_so = {
        (day, method, type_): sorted(json.loads(f"[{took}]"))
        for day, method, type_, took in store.db.conn.execute("SELECT day, method, type, took FROM fact_took")
    }
    assert kept_so == answered(Log(store).read())
    assert kept_so["2025-11-25", "scope", "suction_tube"] == [4000, 4000, 9000]
    moments = {
        (local.date().isoformat(), local.hour * 60 + local.minute)
        for one in Log(store).read()
        if isinstance(one.event, e.CheckYes | e.CheckNo)
        for local in [local_time(one.stamp.at_ms, one.stamp.offset_min)]
    }
    assert set(rows(store, "SELECT day, minute FROM fact_minute")) == moments


def test_the_times_of_a_store_of_before_are_made_from_its_answers(tmp_path: Path) -> None:
    older_store(tmp_path / "store", SHIFT, version=10)
    with Store(tmp_path / "store", "B1") as store:
        assert len(rows(store, "SELECT * FROM fact_took")) == 3
        assert unlike_facts(store.db.conn) == {}
        Log(store).append([kept(yes("E1#2", "scope", "SC-1"), MORNING_MS + 4 * 3_600_000, trip="T-1")])
        took = rows(store, "SELECT took FROM fact_took WHERE method = 'scope'")
        assert [sorted(json.loads(f"[{text}]")) for (text,) in took] == [[4000, 4000, 4000, 9000]]
        assert unlike_facts(store.db.conn) == {}


@pytest.mark.parametrize("said", ["'1'", "took || ',5'", "'no times'", "''", "'1],[2'"])
def test_times_that_were_changed_are_found_and_made_anew(store: Store, tmp_path: Path, said: str) -> None:
    folder = tmp_path / "store"
    store.close()
    change(folder, f"UPDATE fact_took SET took = {said} WHERE method = 'scope'", "DELETE FROM fact_minute")
    names = [fault.names["name"] for fault in prove_store(folder).faults if fault.key == "facts"]
    assert names == ["took", "minute"]
    with Store(folder) as again, again.transaction() as connection:
        rebuild(connection)
    assert not [fault for fault in prove_store(folder).faults if fault.key == "facts"]


def test_facts_made_anew_are_those_that_came_with_the_events(store: Store) -> None:
    Log(store).append([replace(one, stamp=replace(one.stamp, trip=one.stamp.trip and "T-8")) for one in EVERYTHING])
    before = {name: rows(store, rows_of(name)) for name in FACTS}
    assert unlike_facts(store.db.conn) == {}
    with store.transaction() as connection:
        rebuild(connection)
    assert {name: rows(store, rows_of(name)) for name in FACTS} == before
    assert all(before[name] for name in FACTS)


def test_an_event_that_is_not_kept_leaves_no_fact(store: Store) -> None:
    before = {name: rows(store, rows_of(name)) for name in FACTS}
    with pytest.raises(RuntimeError), store.transaction() as connection:  # noqa: PT012
        put(connection, store.origin, store.bench, trip(5, yes("E1#1", "scope", "SC-1")))
        raise RuntimeError
    assert {name: rows(store, rows_of(name)) for name in FACTS} == before


def test_what_another_station_kept_gives_the_same_facts_and_what_it_tells_again_gives_none(tmp_path: Path) -> None:
    with Store(tmp_path / "first", "B2") as other:
        Log(other).append(SHIFT[:4])
        there = copied(tmp_path / "first", tmp_path / "there")
    with Store(there, "B2") as moved:
        Log(moved).append(SHIFT[4:])
        told = {name: rows(moved, rows_of(name)) for name in FACTS if name != "lot"}
    here = BenchStore(tmp_path / "here", "B1")
    for folder in (there, tmp_path / "first"):
        ear = Beside(folder)
        while said := ear.fetch(here.heard.heads()):
            here.heard.take(said.origin, said.rows, was=said.was, public_key=said.public_key)
        ear.close()
    assert {name: rows(here.store, rows_of(name)) for name in FACTS if name != "lot"} == told
    assert unlike_facts(here.store.db.conn) == {}
    here.close()


@pytest.mark.parametrize(
    "body",
    [b"not json", b"[]", b'{"tray": 3}', b'{"piece": {"a": 1}, "key": 7, "took_ms": "x"}', b'{"key": "bore.swab"}',
     b'{"tray": {"items": [{"id": "A", "qty": 1e15}, 3, null]}}', b'{"place": [], "n": "n"}', b"\xff\xfe",
     *(b'{"piece": "A", "key": "bore.swab", "took_ms": %s}' % took for took in (b'"x"', b"[1]", b"1e300", b"-5"))],
)  # fmt: skip
@pytest.mark.parametrize("typ", ["tray_opened", "check_yes", "check_no", "finding", "finding_withdrawn", "replaced"])
def test_a_body_that_nobody_can_read_is_kept_all_the_same(store: Store, typ: str, body: bytes) -> None:
    last = Log(store).head().seq
    keep_newer(store, typ, "info", trip="T-9", body=body)
    keep_newer(store, "swab_lot_opened", "info", trip=None, body=body)
    assert Log(store).head().seq == last + 2
    assert unlike_facts(store.db.conn) == {}
    assert len(rows(store, "SELECT * FROM fact_piece")) <= 5 + 200


@pytest.mark.parametrize("at_ms", [-(10**18), -1, 10**15, 9 * 10**18])
@pytest.mark.parametrize("offset_min", [-(9 * 10**18), -100_000, 9 * 10**18])
def test_a_clock_beyond_all_days_stops_nothing_and_gives_no_fact_without_a_day(
    store: Store, at_ms: int, offset_min: int
) -> None:
    """As another station may send it: the log takes any numbers, so its facts must."""
    last = Log(store).head()
    for typ, body in (
        ("tray_opened", b'{"tray":{"code":"T","name":"T","items":[{"id":"A","type":"t"}]},"load":"W-1"}'),
        ("check_yes", b'{"piece":"A","key":"bore.swab","took_ms":5,"tool":"2.0 mm"}'),
        ("check_no", b'{"piece":"A","key":"bore.scope","took_ms":9000000000000000000,"tool":"SC-1"}'),
        ("finding", b'{"n":1,"piece":"A","key":"bore.scope","code":"c","group":"soil","place":{"at_mm":1e400}}'),
        ("scope_cleaned", b'{"scope":"SC-1"}'),
        ("swab_lot_opened", b'{"lot":"SW-9"}'),
    ):
        keep_newer(store, typ, "info", trip="T-99", body=body, at_ms=at_ms, offset_min=offset_min)
    assert Log(store).head().seq == last.seq + 6
    assert unlike_facts(store.db.conn) == {}


BAD_OPENINGS = (
    b'{"tray":{"code":"C","name":"n","items":["abc"]}}',
    b'{"tray":{"code":"C","name":"n","items":[{"id":"E1","type":"t","lumens":["x"]}]}}',
    b'{"tray":{"code":"C","name":"n","items":[{"id":"E1","type":"t","lumens":"x"}, 3, null, [1]]}}',
    b'{"tray":{"code":"C","name":"n","items":{"a":"b"}}}',
)


@pytest.mark.parametrize("opening", BAD_OPENINGS)
def test_a_finding_is_kept_whatever_another_log_said_of_its_tray(store: Store, opening: bytes) -> None:
    keep_newer(store, "tray_opened", "info", trip="T-1", body=opening)
    last = Log(store).head().seq
    Log(store).append([kept(found(9, "E1#1", "tissue", "soil", 45), trip="T-1")])
    keep_newer(store, "replaced", "info", trip="T-1", body=b'{"item":"x","out":3}')
    assert Log(store).head().seq == last + 2
    assert unlike_facts(store.db.conn) == {}


@pytest.mark.parametrize("opening", BAD_OPENINGS)
def test_a_store_of_before_with_such_a_tray_is_opened(tmp_path: Path, opening: bytes) -> None:
    origin = older_store(tmp_path / "store", SHIFT, version=8)
    assert origin
    connection = sqlite3.connect(str(tmp_path / "store" / FILE), isolation_level=None)
    seq, hlc, h = connection.execute("SELECT seq, hlc, h FROM event ORDER BY seq DESC LIMIT 1").fetchone()
    row = (
        seq + 1,
        hlc + 1,
        1,
        hlc >> 16,
        0,
        1,
        1,
        1,
        new_id(hlc + 1),
        "info",
        "tray_opened",
        "B1",
        "P-1",
        "T-2",
        opening,
    )
    sql = f"INSERT INTO event ({', '.join(COLUMNS)}) VALUES ({', '.join('?' * len(COLUMNS))})"
    connection.execute(sql, (*row, link(h, origin, row)))
    connection.close()
    with Store(tmp_path / "store", "B1") as store:
        assert len(rows(store, "SELECT * FROM fact_finding")) == 2
        assert unlike_facts(store.db.conn) == {}


def test_a_copied_store_goes_on_with_the_swab_lot_in_use_and_verifies(tmp_path: Path) -> None:
    with Store(tmp_path / "first", "B1") as first:
        Log(first).append(SHIFT[:3])
    there = copied(tmp_path / "first", tmp_path / "there")
    with Store(there, "B1") as moved:
        Log(moved).append([SHIFT[4]])
        assert [lot for (lot,) in rows(moved, "SELECT lot FROM fact_answer WHERE method = 'swab'")] == ["SW-1", "SW-1"]
    assert [fault for fault in prove_store(there).faults if fault.key == "facts"] == []


def test_half_a_letter_in_a_heard_body_stops_no_figure(store: Store) -> None:
    keep_newer(store, "check_yes", "info", trip="T-1", body=b'{"piece":"E1#1","key":"bore.scope","tool":"SC-\\ud800"}')
    records = StoreRecords(store)
    tools = [tool for (tool,) in records.ask("SELECT DISTINCT tool FROM fact_answer WHERE method = 'scope' ORDER BY 1")]
    assert tools[0] == "SC-1"
    assert tools[1].startswith("SC-\ufffd")
    assert len(records.ask("SELECT lot FROM fact_lot")) == 2
    records.close()


def test_an_event_of_a_newer_program_gives_no_fact(store: Store) -> None:
    before = rows(store, "SELECT * FROM fact_answer")
    keep_newer(store, "check_yes", "info", trip="T-1", ver=2, body=b'{"piece":"E1#1","key":"bore.scope"}')
    assert rows(store, "SELECT * FROM fact_answer") == before


def test_a_store_of_before_has_its_facts_when_it_is_opened(tmp_path: Path) -> None:
    older_store(tmp_path / "store", SHIFT, version=8)
    with Store(tmp_path / "store", "B1") as store:
        assert len(rows(store, "SELECT * FROM fact_answer")) == 7
        assert unlike_facts(store.db.conn) == {}


def test_a_fact_that_was_changed_is_found_and_made_anew(store: Store, tmp_path: Path) -> None:
    folder = tmp_path / "store"
    store.close()
    change(folder, "UPDATE fact_answer SET yes = 1 WHERE yes = 0", "DELETE FROM fact_load")
    proof = prove_store(folder)
    assert [(fault.key, fault.names["name"]) for fault in proof.faults] == [
        ("facts", "load"), ("facts", "answer"), ("facts", "sum"),
    ]  # fmt: skip
    with Store(folder) as again, again.transaction() as connection:
        rebuild(connection)
    assert not [fault for fault in prove_store(folder).faults if fault.key == "facts"]
