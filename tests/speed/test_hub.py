"""What it costs to send events to the hub with every link proved there, against raw COPY of the same bytes."""

import sys
import time
from collections.abc import Sequence
from typing import Any

import psycopg
import pytest

from kiosk.sync.hub import BATCH
from tests.speed.conftest import Tell
from tests.speed.figures import EVENTS, Figure, took_ms
from tests.sync.conftest import ground, hub, server
from tests.sync.department import Department
from tests.sync.proxy import Line, Proxy
from tests.sync.rows import Row, rows

__all__ = ["ground", "hub", "server"]

_COLUMNS = "seq, hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h"
_SIZE = (
    "SELECT sum(pg_total_relation_size(inhrelid))::int8, (SELECT sum(length(body))::int8 FROM sync.event) "
    "FROM pg_inherits WHERE inhparent = 'sync.event'::regclass"
)
_KINDS = (*["int8"] * 8, *["text"] * 6, "bytea", "bytea")


def _copy(root: "psycopg.Connection[tuple[Any, ...]]", log: Sequence[Row]) -> None:
    """Binary COPY of the same columns into a table without index, in one transaction."""
    with root.transaction():
        root.execute("DROP TABLE IF EXISTS bare")
        root.execute("CREATE TABLE bare AS SELECT " + ", ".join(f"NULL::{k} AS c{n}" for n, k in enumerate(_KINDS)))
    with root.transaction(), root.cursor().copy("COPY bare FROM STDIN (FORMAT binary)") as copy:
        copy.set_types(_KINDS)
        for row in log:
            copy.write_row(row)


@pytest.mark.slow
@pytest.mark.postgres
@pytest.mark.timeout(3600)
def test_events_sent_with_every_link_proved_against_bare_copy(hub: Department, tell: Tell) -> None:
    """Three runs in turn, each of a bench of its own with a log of its own."""
    runs: list[tuple[float, float, float, float]] = []
    for n in range(3):
        let = hub.let_in(f"B{n + 1}")
        log, door = rows(let.origin, EVENTS), hub.hub(let, patience_s=60)

        def push() -> None:
            for at in range(0, EVENTS, BATCH):
                assert door.push(let.origin, log[at : at + BATCH], sent_ms=0).code == "ok"  # noqa: B023

        def pull() -> None:
            after = 0
            while got := door.pull(let.origin, after, 2000):  # noqa: B023
                after = got[-1][0]
            assert after == EVENTS

        with hub.root() as root:
            bare = took_ms(lambda: _copy(root, log))  # noqa: B023
        runs.append((bare, took_ms(push), took_ms(push), took_ms(pull)))
        assert hub.ask("SELECT seq FROM sync.head WHERE origin = %s", let.origin) == [(EVENTS,)]
    ((size, bodies),) = hub.ask(_SIZE)
    bare_ms, pushed, again, pulled = zip(*runs, strict=True)
    against = "bare binary COPY of the same rows, no index"
    what = f"{EVENTS:,} events to the hub, batches of {BATCH}, one bench"
    tell(Figure(what=what, against=against, ours=pushed, base=bare_ms, goal=4))
    tell(Figure(what=f"{what}, the same again", against=against, ours=again, base=bare_ms, goal=2))
    tell(Figure(what=f"{EVENTS:,} events from the hub", against=against, ours=pulled, base=bare_ms))
    count = 3 * EVENTS
    what = "bytes at the hub per event, indexes included"
    tell(Figure(what=what, against="its canonical body", ours=[size / count], base=[bodies / count], unit="B"))


@pytest.mark.slow
@pytest.mark.postgres
def test_how_long_a_dead_link_is_waited_for(hub: Department, capsys: pytest.CaptureFixture[str]) -> None:
    """With the product's own patience; printed."""
    from kiosk.store.outage import Outage

    let = hub.let_in("B1")
    waits = []
    for line in (Line(to_hub=0, hole=True), Line(to_bench=40, hole=True), Line(to_hub=2500, hole=True)):
        plan = {0: line}
        with Proxy(hub.server.port, plan.__getitem__) as proxy:
            door = hub.hub(let, port=proxy.port)
            start = time.perf_counter()
            with pytest.raises(Outage):
                door.push(let.origin, rows(let.origin, 200), sent_ms=0)
            waits.append(time.perf_counter() - start)
    with capsys.disabled():
        sys.stdout.write("\na dead link is given up after " + ", ".join(f"{wait:.2f} s" for wait in waits))
