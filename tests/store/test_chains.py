"""Chains of contact out of a store: by hand, and against networkx on a graph spread out over time.

The graph of the random histories is built from the events as they were made, by the definition: a node is a trip, a
scope or a piece at a moment; what stays the same goes on from one moment to the next; to leave a trip by a scope or a
piece costs one step. networkx (Hagberg, Schult, Swart 2008; version as pinned) finds the cheapest ways.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from pathlib import Path

import networkx as nx  # type: ignore[import-untyped]
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Lumen, Tray
from kiosk.core.past.chains import STEPS, Chains, Start, walk
from kiosk.core.stamp import Kept
from kiosk.store.bench_store import BenchStore
from kiosk.store.chains import BEFORE, BY_SCOPE, BY_THING, NAMELESS, UNCLEAR
from kiosk.store.facts import unlike_facts
from tests.store.shift import MORNING_MS, kept

BORE = Lumen(name="bore", inside_mm=Decimal("3.2"), length_mm=Decimal(180))
MINUTE = 60_000


def item(name: str, qty: int = 1) -> Item:
    return Item(id=name, name=f"Tube {name}", type="suction_tube", lumens=(BORE,), qty=qty)


def at(minute: int) -> int:
    return MORNING_MS + minute * MINUTE


def opened(minute: int, trip: str, tray: str, *items: Item) -> Kept:
    return kept(e.TrayOpened(tray=Tray(code=tray, name=f"Set {tray}", items=items), load="W-1"), at(minute), trip=trip)


def used(minute: int, trip: str, scope: str = "SC-1", piece: str = "E1", key: str = "bore.scope") -> Kept:
    return kept(e.CheckYes(piece=piece, key=key, took_ms=4000, tool=scope), at(minute), trip=trip)


def cleaned(minute: int, scope: str = "SC-1") -> Kept:
    return kept(e.ScopeCleaned(scope=scope), at(minute), trip=None)


def put_in(minute: int, trip: str, one: Item, out: str) -> Kept:
    return kept(e.Replaced(out=out, item=one), at(minute), trip=trip)


A = opened(0, "T-A", "TR-A", item("E1"), item("E2"))
B = opened(1, "T-B", "TR-B", item("E31"))
C = opened(2, "T-C", "TR-C", item("E41"))
"""Three trays on three benches."""


@pytest.fixture
def store(tmp_path: Path) -> Iterator[BenchStore]:
    bench = BenchStore(tmp_path / "store", "B1")
    yield bench
    bench.close()


def asked(
    store: BenchStore, log: Sequence[Kept], *starts: tuple[str, int], most: int = STEPS, until: int = 0
) -> Chains:
    """What the store says, which is what the walk through the log says."""
    store.keep(list(log))
    begun = [Start(trip=trip, at_ms=at(minute)) for trip, minute in starts]
    found = store.records.chains(begun, most, until)
    assert found == walk(log, begun, most, until)
    assert unlike_facts(store.store.db.conn) == {}
    return found


def ways(found: Chains) -> list[tuple[str, str, int, int]]:
    return [(one.trip, one.thing, (one.at_ms - MORNING_MS) // MINUTE, one.steps) for one in found.trips]


def test_a_scope_not_cleaned_between_two_pieces_goes_on_to_the_second_tray(store: BenchStore) -> None:
    found = asked(store, [A, B, used(5, "T-A"), used(7, "T-B", piece="E31")], ("T-A", 0))
    (one,) = found.trips
    assert (one.kind, one.thing, one.piece, one.before, one.tray) == ("scope", "SC-1", "E31", "T-A", "TR-A")
    assert (one.at_ms, one.since_ms, one.steps, found.further) == (at(7), at(5), 1, 0)


@pytest.mark.parametrize(
    "between",
    [
        [cleaned(6)],
        [kept(e.ScopeReturned(scope="SC-1"), at(6), trip=None)],
        [
            kept(e.ScopeOutOfUse(scope="SC-1", why="soil"), at(5), trip=None),
            kept(e.ScopeReturned(scope="SC-1", load="W-9"), at(6), trip=None),
        ],
    ],
)
def test_a_scope_cleaned_or_back_from_reprocessing_between_does_not(store: BenchStore, between: list[Kept]) -> None:
    assert not asked(store, [A, B, used(5, "T-A"), *between, used(7, "T-B")], ("T-A", 0)).trips


@pytest.mark.parametrize(
    "other",
    [
        cleaned(4), cleaned(8), cleaned(6, "SC-2"),
        kept(e.ScopeOutOfUse(scope="SC-1", why="soil"), at(6), trip=None),
        kept(e.ScopeNotCleaned(scope="SC-1", reason="busy"), at(6), trip=None),
    ],
)  # fmt: skip
def test_cleaned_before_or_after_or_another_or_only_out_of_use_is_not_cleaned_between(
    store: BenchStore, other: Kept
) -> None:
    log = sorted([A, B, used(5, "T-A"), other, used(7, "T-B")], key=lambda one: one.stamp.at_ms)
    assert ways(asked(store, log, ("T-A", 0))) == [("T-B", "SC-1", 7, 1)]


def test_a_cleaning_in_the_very_moment_of_a_use_does_not_count_as_between(store: BenchStore) -> None:
    log = [A, B, C, used(5, "T-A"), cleaned(5), used(7, "T-B"), cleaned(9), used(9, "T-C")]
    assert ways(asked(store, log, ("T-A", 0))) == [("T-B", "SC-1", 7, 1), ("T-C", "SC-1", 9, 1)]


def test_time_never_runs_back(store: BenchStore) -> None:
    """The scope was on B before it was on A; on A before A met it; and C took it from B before B was reached."""
    log = [A, B, C, used(3, "T-B"), used(4, "T-A"), used(5, "T-C"), cleaned(6), used(8, "T-A"), used(9, "T-B")]
    assert ways(asked(store, log, ("T-A", 7))) == [("T-B", "SC-1", 9, 1)]


def test_a_piece_that_lies_in_another_tray_later_takes_it_there(store: BenchStore) -> None:
    again, later = opened(60, "T-A2", "TR-A", item("E1"), item("E2")), opened(90, "T-D", "TR-D", item("E2"))
    found = asked(store, [A, again, later], ("T-A", 0))
    (one,) = found.trips
    assert (one.kind, one.thing, one.trip, one.before, one.tray) == ("item", "E2", "T-D", "T-A2", "TR-A")
    assert (one.at_ms, one.since_ms) == (at(90), at(60))


def test_a_spare_counts_from_the_moment_it_came_and_until_it_was_taken_out(store: BenchStore) -> None:
    spare = item("X1")
    log = [A, B, put_in(10, "T-A", spare, "E2"), put_in(20, "T-B", spare, "E31")]
    assert ways(asked(store, log, ("T-A", 0))) == [("T-B", "X1", 20, 1)]
    log = [opened(100, "T-E", "TR-E", item("E7")), put_in(110, "T-E", item("E8"), "E7"),
           opened(120, "T-F", "TR-F", item("E7")), opened(130, "T-G", "TR-G", item("E8"))]  # fmt: skip
    store.keep(log)
    for minute, reached in ((105, {"T-F", "T-G"}), (115, {"T-G"}), (125, {"T-G"}), (131, set())):
        begun = [Start(trip="T-E", at_ms=at(minute))]
        assert {one.trip for one in store.records.chains(begun).trips} == reached
        assert store.records.chains(begun) == walk(log, begun)


def test_pieces_that_nobody_told_apart_are_named_as_not_known(store: BenchStore) -> None:
    log = [opened(0, "T-A", "TR-A", item("E5", 2), item("E6")), opened(9, "T-B", "TR-B", item("E5"), item("E6", 3))]
    found = asked(store, log, ("T-A", 0))
    assert (found.trips, found.unclear) == ((), ("E5", "E6"))


def test_a_piece_of_several_is_told_apart_by_its_mark(store: BenchStore) -> None:
    log = [
        opened(0, "T-A", "TR-A", item("E5", 2)), kept(e.MarkRead(piece="E5#2", mark="SH-31"), at(3), trip="T-A"),
        opened(9, "T-B", "TR-B", item("E9", 2)), kept(e.MarkRead(piece="E9#1", mark="SH-31"), at(12), trip="T-B"),
    ]  # fmt: skip
    assert ways(asked(store, log, ("T-A", 0))) == [("T-B", "SH-31", 12, 1)]


def test_a_scope_that_was_not_named_is_counted_as_not_known(store: BenchStore) -> None:
    assert asked(store, [A, B, used(4, "T-A", scope=""), used(5, "T-B", scope="")], ("T-A", 0)).nameless == 1


def test_no_more_steps_are_followed_than_asked_for_and_what_lies_further_is_counted(store: BenchStore) -> None:
    trips = [opened(n, f"T-{n}", f"TR-{n}", item(f"E{n}")) for n in range(6)]
    hops = [used(10 + 2 * n + more, f"T-{n + more}", f"SC-{n}") for n in range(5) for more in (0, 1)]
    found = asked(store, [*trips, *hops], ("T-0", 0))
    assert ways(found) == [(f"T-{n}", f"SC-{n - 1}", 9 + 2 * n, n) for n in (1, 2, 3)]
    assert (found.most, found.further) == (3, 1)
    assert len(store.records.chains([Start(trip="T-0", at_ms=at(0))], 6).trips) == 5


def test_what_came_after_the_moment_asked_for_is_not_looked_at(store: BenchStore) -> None:
    log = [A, B, C, used(5, "T-A"), used(7, "T-B"), used(9, "T-C")]
    assert ways(asked(store, log, ("T-A", 0), until=at(8))) == [("T-B", "SC-1", 7, 1)]


def test_a_trip_that_met_it_late_is_passed_through_early_where_a_chain_reaches_it_before(store: BenchStore) -> None:
    log = [A, B, C, used(5, "T-A"), used(6, "T-B"), used(7, "T-B", "SC-2"), used(8, "T-C", "SC-2")]
    assert ways(asked(store, log, ("T-A", 0), ("T-B", 30))) == [("T-C", "SC-2", 8, 2)]


MINUTES = 6
TRIPS, TRAYS, SCOPES, ITEMS = 8, 4, 3, 4
HISTORIES = 120

step_of_a_history = st.tuples(
    st.integers(0, 2),  # minutes since the step before
    st.sampled_from(["open", "use", "use", "use", "clean", "out", "return", "put_in"]),
    st.integers(0, TRIPS - 1),
    st.integers(0, SCOPES - 1),
    st.integers(0, ITEMS - 1),
    st.integers(1, 2),
)


class History:
    """A history and its graph: trips, scopes and pieces at moments. All its names are its own."""

    def __init__(self, name: int, steps: Sequence[tuple[int, str, int, int, int, int]]) -> None:
        self.name, self.log, minute = name, [], 0
        self.trays: dict[str, str] = {}
        self.uses: set[tuple[str, int, str]] = set()
        self.cleanings: set[tuple[str, int]] = set()
        self.stays: set[tuple[str, int, str]] = set()  # only what is there once
        self.gone: set[tuple[str, int, str]] = set()
        for more, what, trip_n, scope_n, item_n, qty in steps:
            minute += more
            trip, scope, one = f"T-{name}-{trip_n}", f"SC-{name}-{scope_n}", item(f"E-{name}-{item_n}", qty)
            if what == "open" and trip not in self.trays:
                self.trays[trip] = f"TR-{name}-{trip_n % TRAYS}"
                self.log.append(opened(minute, trip, self.trays[trip], one, item(f"F-{name}-{trip_n}")))
                self.stays |= {(f"F-{name}-{trip_n}", minute, trip)} | ({(one.id, minute, trip)} if qty == 1 else set())
            elif what == "use" and trip in self.trays:
                self.log.append(used(minute, trip, scope, piece=one.id))
                self.uses.add((scope, minute, trip))
            elif what == "put_in" and trip in self.trays:
                out = f"E-{name}-{(item_n + 1) % ITEMS}"
                self.log.append(put_in(minute, trip, item(one.id), out))
                self.stays.add((one.id, minute, trip))
                self.gone.add((out, minute, trip))
            elif what == "clean":
                self.log.append(cleaned(minute, scope))
                self.cleanings.add((scope, minute))
            elif what == "return":
                self.log.append(kept(e.ScopeReturned(scope=scope), at(minute), trip=None))
                self.cleanings.add((scope, minute))
            elif what == "out":
                self.log.append(kept(e.ScopeOutOfUse(scope=scope, why="soil"), at(minute), trip=None))
        self.end = minute + 1

    def graph(self) -> "nx.DiGraph[tuple[object, ...]]":
        graph: nx.DiGraph[tuple[object, ...]] = nx.DiGraph()
        for trip in self.trays:
            for minute in range(self.end):
                graph.add_edge(("trip", trip, minute), ("trip", trip, minute + 1), weight=0)
        for scope in {scope for scope, _, _ in self.uses}:
            moments = sorted({minute for name, minute, _ in self.uses if name == scope})
            for name, minute, trip in self.uses:
                if name == scope:
                    graph.add_edge(("trip", trip, minute), ("leaves", scope, minute), weight=1)
                    graph.add_edge(("comes", scope, minute), ("trip", trip, minute), weight=0)
            for minute in moments:
                graph.add_edge(("comes", scope, minute), ("leaves", scope, minute), weight=0)
            for one, other in pairwise(moments):
                if not any(name == scope and one < minute < other for name, minute in self.cleanings):
                    graph.add_edge(("leaves", scope, one), ("comes", scope, other), weight=0)
        for thing, came, trip in self.stays:
            gone = [minute for name, minute, other in self.gone if (name, other) == (thing, trip) and minute > came]
            for minute in range(came, min([self.end, *gone]) + 1):
                graph.add_edge(("trip", trip, minute), ("thing", thing, self.trays[trip], minute), weight=1)
            for tray in set(self.trays.values()) - {self.trays[trip]}:
                for minute in range(came):
                    graph.add_edge(("thing", thing, tray, minute), ("trip", trip, came), weight=0)
        return graph

    def reached(self, starts: Sequence[tuple[str, int]], most: int) -> tuple[dict[str, tuple[int, int]], int]:
        """Trip -> earliest minute and steps, within so many; how many trips lie one step further."""
        sources = {("trip", trip, minute) for trip, minute in starts}
        far = nx.multi_source_dijkstra_path_length(self.graph(), sources, cutoff=most + 1)
        known, found, further = {trip for trip, _ in starts}, dict[str, tuple[int, int]](), set()
        for trip in set(self.trays) - known:
            there = {n: far[node] for n in range(self.end + 1) if (node := ("trip", trip, n)) in far}
            near = [n for n, steps in there.items() if steps <= most]
            if near:
                found[trip] = (min(near), there[min(near)])
            elif there:
                further.add(trip)
        return found, len(further)


def test_the_chains_of_random_histories_are_those_of_a_general_graph_library(store: BenchStore) -> None:
    seen: Counter[str] = Counter()

    @settings(max_examples=HISTORIES, deadline=None, suppress_health_check=list(HealthCheck))
    @given(
        st.lists(step_of_a_history, min_size=30, max_size=60),
        st.lists(st.tuples(st.integers(0, TRIPS - 1), st.integers(0, MINUTES)), min_size=1, max_size=2),
        st.integers(1, 3),
    )
    def holds(steps: list[tuple[int, str, int, int, int, int]], begun: list[tuple[int, int]], most: int) -> None:
        seen["histories"] += 1
        for n in range(TRIPS):
            steps.insert(4 * n, (1, "open", n, 0, steps[n][4], steps[n][5]))
        history = History(seen["histories"], steps)
        starts = [(trip, n) for number, n in begun if (trip := f"T-{history.name}-{number}") in history.trays]
        starts = [(trip, min(n, history.end)) for trip, n in starts]
        store.keep(history.log)
        sent = [Start(trip=trip, at_ms=at(minute)) for trip, minute in starts]
        found = store.records.chains(sent, most)
        told, further = history.reached(starts, most) if starts else ({}, 0)
        assert {one.trip: (one.at_ms, one.steps) for one in found.trips} == {
            trip: (at(minute), steps) for trip, (minute, steps) in told.items()
        }
        assert found.further == further
        assert found == walk(history.log, sent, most)
        seen.update(f"{one.kind} {one.steps}" for one in found.trips)
        seen["further"] += further > 0
        seen["unclear"] += bool(found.unclear)

    holds()
    assert not {"stay", "scope", "trip"} & set(unlike_facts(store.store.db.conn))
    assert min(seen[what] for what in ("scope 1", "scope 2", "item 1", "item 2", "further", "unclear")) > 5, seen


def test_every_step_of_the_walk_goes_by_an_index(store: BenchStore) -> None:
    store.keep([A, B, C, used(5, "T-A"), used(7, "T-B")])
    values = {"news": "[]", "ways": "[]", "reached": "[]", "until": 0}
    for sql in (BY_SCOPE, BY_THING, BEFORE, UNCLEAR, NAMELESS):
        plan = [row[3] for row in store.store.db.conn.execute(f"EXPLAIN QUERY PLAN {sql}", values)]
        scanned = {line.split()[1] for line in plan if line.startswith("SCAN")}
        assert not {name for name in scanned if name in set("bhnopstu") or name.startswith("fact_")}, scanned
        assert sum(line.startswith("SEARCH") for line in plan) >= 1
