"""What it costs to send events to the hub with every link proved there, against raw COPY of the same bytes.

`THROUGHLIGHT_MILLION=1` sends a million events instead of twenty thousand.
"""

import os
import statistics
import sys
import time
from collections.abc import Callable, Sequence
from typing import Any

import psycopg
import pytest

from kiosk.sync.hub import BATCH
from tests.sync.conftest import ground, hub, server
from tests.sync.department import Department
from tests.sync.proxy import Line, Proxy
from tests.sync.rows import Row, rows

__all__ = ["ground", "hub", "server"]

EVENTS = 1_000_000 if "THROUGHLIGHT_MILLION" in os.environ else 20_000
_COLUMNS = "seq, hlc, ver, at_ms, offset_min, trusted, policy, record, id, cls, typ, bench, who, trip, body, h"
_KINDS = (*["int8"] * 8, *["text"] * 6, "bytea", "bytea")


def _per_second(step: Callable[[], object]) -> float:
    start = time.perf_counter()
    step()
    return EVENTS / (time.perf_counter() - start)


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
def test_events_sent_with_every_link_proved_against_bare_copy(
    hub: Department, capsys: pytest.CaptureFixture[str]
) -> None:
    """Three runs in turn; prints the medians and their ratios. A time is told, never passed or failed."""
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

        with hub.root() as root:
            bare = _per_second(lambda: _copy(root, log))  # noqa: B023
        runs.append((bare, _per_second(push), _per_second(push), _per_second(pull)))
        assert hub.ask("SELECT seq FROM sync.head WHERE origin = %s", let.origin) == [(EVENTS,)]
    bare, pushed, again, pulled = (statistics.median(column) for column in zip(*runs, strict=True))
    with capsys.disabled():
        sys.stdout.write(
            f"\n{EVENTS} events: COPY {bare:,.0f}/s, push in batches of {BATCH} {pushed:,.0f}/s (ratio "
            f"{pushed / bare:.2f}), the same again {again:,.0f}/s ({again / bare:.2f}), pull {pulled:,.0f}/s"
        )


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
