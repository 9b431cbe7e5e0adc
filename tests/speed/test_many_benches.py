"""Two hundred benches at one hub: real stores, real couriers, a real server, at the pace of a real day.

The quiet hours of a day bring nothing new, so a slice of its busiest hour is run, and one at its mean; then what a day
brings is sent as fast as it goes: a tenth of it, and all of it with THROUGHLIGHT_MILLION=1. Times are printed, never
passed or failed on.
"""

import random
import statistics
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from kiosk.store.database import Store
from kiosk.store.heard import Heard
from kiosk.store.log import Log
from kiosk.sync.courier import Courier
from kiosk.sync.entry import Entry
from kiosk.sync.hub import BATCH
from tests.speed.figures import MILLION, took_ms
from tests.store.shift import yes
from tests.sync.conftest import ground
from tests.sync.department import Department, Let, new_department
from tests.sync.rows import rows
from tests.sync.server import Server, needs_one
from tests.sync.test_healing import memory

__all__ = ["ground", "memory"]
pytestmark = [pytest.mark.slow, pytest.mark.postgres, pytest.mark.timeout(3600)]

DEPARTMENTS, BENCHES = 10, 20
"""Of the hub, and of each department."""
DECONTAM = 0
"""Which of a department's stations is decontam's: it waits for others' answers, and is woken."""
A_DAY, HOURS, PEAK = 5000, 20, 4
"""Events of a bench in a day, the hours that they come in, the busiest hour against the mean.

Assumed, as in DEVELOPERS.md."""
SLICE_S = 60 if MILLION else 6
PATIENCE_S = 120
"""What has not come by then does not come; on a busy machine it may take many times what it takes on an idle one."""
MEAN = DEPARTMENTS * BENCHES * A_DAY / HOURS / 3600
"""Events a second of all benches."""


class Seat:
    """One bench: its store and its courier."""

    def __init__(self, store: Store, courier: Courier) -> None:
        self.store, self.courier = store, courier
        self.log, self.heard = Log(store), Heard(store)


@pytest.fixture(scope="module")
def roomy(ground: Path) -> Iterator[Server]:
    """A server of its own with room for every bench's line."""
    needs_one()
    server = Server(ground / "many", connections=DEPARTMENTS * BENCHES + 40)
    yield server
    server.stop()


@pytest.fixture
def hub(roomy: Server) -> Iterator[Department]:
    """A hub on it."""
    department = new_department(roomy)
    yield department
    department.close()


@pytest.fixture
def seats(hub: Department, memory: Path) -> Iterator[list[Seat]]:
    """Every bench, let in, its courier on the way. Their stores lie in memory: each has a disk of its own in truth."""
    found = []
    for d in range(DEPARTMENTS):
        for b in range(BENCHES):
            name, dept = f"B{b + 1}", f"{hub.dept}x{d}"
            store = Store(memory / f"{d}-{b}", name)
            let = hub.let_in(name, dept=dept, origin=store.origin)
            entry = Entry(login=let.login, password=let.password, department=dept)
            url = hub.server.url(hub.name)
            courier = Courier(store.folder, url, entry, plain=True, quick=b == DECONTAM, patience_s=20)
            found.append(Seat(store, courier))
    for seat in found:
        seat.courier.start()
    while not all(seat.courier.state.ok_ms for seat in found):
        time.sleep(0.1)
    yield found
    with ThreadPoolExecutor(max_workers=20) as together:
        list(together.map(lambda seat: seat.courier.stop(), found))
    for seat in found:
        seat.store.close()


def _slice(hub: Department, seats: Sequence[Seat], a_second: float) -> str:
    """So many events a second of all benches, in real time; what was waited for, and what it took."""
    chance = random.Random(7)
    kept: dict[tuple[str, int], float] = {}
    waits: dict[tuple[int, str, int], float] = {}
    before, cpu = hub.server.seconds(), time.process_time()
    began, now = time.time(), time.time()
    due = began + chance.expovariate(a_second)
    while now < began + SLICE_S or (len(waits) < len(kept) * (BENCHES - 1) and now < began + SLICE_S + PATIENCE_S):
        while due <= now < began + SLICE_S:
            seat = chance.choice(seats)
            (event,) = seat.log.append([yes(1)])
            kept[seat.store.origin, event.seq] = time.time()
            seat.courier.nudge()
            due += chance.expovariate(a_second)
        for n, seat in enumerate(seats):
            for segment in seat.courier.take():
                seat.heard.take(segment.origin, segment.rows, was=segment.was, public_key=segment.public_key)
                for row in segment.rows:
                    then = kept.get((segment.origin, row[0]))
                    if then is not None:  # of this slice
                        waits.setdefault((n, segment.origin, row[0]), time.time() - then)
                seat.courier.nudge()
        time.sleep(0.005)
        now = time.time()
    took = time.time() - began
    server, own = hub.server.seconds() - before, time.process_time() - cpu
    stored = hub.ask("SELECT origin::text, seq, extract(epoch FROM recv)::float8 FROM sync.event")
    to_hub = [recv - kept[origin, seq] for origin, seq, recv in stored if (origin, seq) in kept]
    assert len(to_hub) == len(kept), "not everything came to the hub"
    assert len(waits) == len(kept) * (BENCHES - 1), "not everything came to every neighbor"
    decontam = [wait for (n, _, _), wait in waits.items() if n % BENCHES == DECONTAM]
    others = [wait for (n, _, _), wait in waits.items() if n % BENCHES != DECONTAM]
    return (
        f"{len(kept)} events of {len(seats)} benches in {SLICE_S} s ({len(kept) / SLICE_S:.0f} a second): "
        f"at the hub after {_spread(to_hub)}; "
        f"in decontam after {_spread(decontam)}; at every other bench after {_spread(others)}; "
        f"of one core the server {100 * server / took:.0f} %, all couriers and stores {100 * own / took:.0f} %"
    )


def _spread(seconds: Sequence[float]) -> str:
    cuts = statistics.quantiles(seconds, n=100)
    return f"{cuts[49]:.2f} s (95 of 100: {cuts[94]:.2f}, most {max(seconds):.2f})"


def test_two_hundred_benches_at_the_pace_of_a_day(
    hub: Department, seats: list[Seat], capsys: pytest.CaptureFixture[str]
) -> None:
    for what, a_second in (("the mean of a day", MEAN), ("its busiest hour", PEAK * MEAN)):
        said = _slice(hub, seats, a_second)
        with capsys.disabled():
            sys.stdout.write(f"\n{what}: {said}")


def test_all_that_two_hundred_benches_keep_in_a_day_sent_at_once(
    hub: Department, capsys: pytest.CaptureFixture[str]
) -> None:
    """As after a day without the network: every bench sends what it has, then one of each department fetches it all."""
    lets: list[list[Let]] = [
        [hub.let_in(f"B{b + 1}", dept=f"{hub.dept}x{d}") for b in range(BENCHES)] for d in range(DEPARTMENTS)
    ]
    events = A_DAY if MILLION else A_DAY // 10
    before = hub.server.seconds()

    def send(let: Let) -> None:
        log, door = rows(let.origin, events), hub.hub(let, patience_s=120)
        for at in range(0, events, BATCH):
            assert door.push(let.origin, log[at : at + BATCH], sent_ms=0).code == "ok"
        door.hang_up()

    def fetch(let: Let, others: Sequence[Let]) -> None:
        door = hub.hub(let, patience_s=120)
        for other in others:
            after = 0
            while got := door.pull(other.origin, after, 2000):
                after = got[-1][0]
            assert after == events

    def all_of(step: Callable[..., None], *of: Sequence[object]) -> float:
        with ThreadPoolExecutor(max_workers=20) as together:
            return took_ms(lambda: list(together.map(step, *of))) / 1000

    sent = all_of(send, [let for each in lets for let in each])
    fetched = all_of(fetch, [each[0] for each in lets], [each[1:] for each in lets])
    count = DEPARTMENTS * BENCHES * events
    assert hub.ask("SELECT sum(seq)::int8 FROM sync.head") == [(count,)]
    with capsys.disabled():
        sys.stdout.write(
            f"\n{count:,} events, 20 benches at once: made and sent in {sent:.0f} s ({count / sent:,.0f} a second); "
            f"fetched by one bench of each department in {fetched:.0f} s "
            f"({count * (BENCHES - 1) / BENCHES / fetched:,.0f} a second); "
            f"the server took {hub.server.seconds() - before:.0f} s of a core"
        )
