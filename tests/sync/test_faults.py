"""The way to the hub is cut, slow, silent or garbled, the server is killed: every event is there once, in its place.

`THROUGHLIGHT_CUTS` and `THROUGHLIGHT_KILLS` turn the counts up for a long run.
"""

import os
import random
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from threading import Thread
from time import sleep
from typing import Any

import pytest

from kiosk.store.keys import SignedHead
from kiosk.store.outage import Outage
from kiosk.sync.exchange import Sent, send_own
from kiosk.sync.hub import BATCH, Answer, Hub
from tests.sync.department import Department, new_department
from tests.sync.logs import Listed
from tests.sync.proxy import Line, Proxy
from tests.sync.rows import rows
from tests.sync.server import Server

pytestmark = pytest.mark.postgres

CUTS = int(os.environ.get("THROUGHLIGHT_CUTS", "60"))
LONG = 120 if "THROUGHLIGHT_CUTS" not in os.environ else 7200
KILLS = int(os.environ.get("THROUGHLIGHT_KILLS", "3"))


def send(own: Listed, door: Hub) -> Sent:
    return send_own(own, door, sent_ms=lambda: 0)


def _grow(own: Listed, n: int) -> None:
    own.kept += rows(own.let.origin, n, after=len(own.kept), before=own.hash_of(len(own.kept)) or bytes(32))


def _spoken(hub: Department, own: Listed) -> tuple[int, int, int]:
    """Bytes to the hub before a push and with it, and bytes back in all: measured through a proxy that does nothing."""
    with Proxy(hub.server.port) as proxy:
        hub.hub(own.let, port=proxy.port).heads()
        send(own, hub.hub(own.let, port=proxy.port))
        return proxy.passed[0], proxy.passed[1], proxy.came[1]


@pytest.mark.slow
@pytest.mark.timeout(LONG)
def test_a_connection_cut_at_any_byte_loses_nothing_and_doubles_nothing(
    hub: Department, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each try is cut somewhere: on the way there, or in the answer after the hub has kept the batch."""
    b1, chance = hub.let_in("B1"), random.Random(600)
    own, ambiguous, cut = Listed(b1, rows(b1.origin, 100)), 0, 0
    sign_in, whole, back = _spoken(hub, own)

    def plan(n: int) -> Line:
        if n % 2:
            return Line(to_hub=chance.randrange(sign_in, whole + 200))
        return Line(to_bench=chance.randrange(back - 100, back))  # in the answer to the push, or just before

    with Proxy(hub.server.port, plan) as proxy:
        while proxy.cuts < CUTS:
            _grow(own, 100)
            known = hub.ask("SELECT seq FROM sync.head")[0][0]
            door = hub.hub(b1, port=proxy.port)
            try:
                send(own, door)
            except Outage as outage:
                cut += outage.key == "hub_away"
                ambiguous += hub.ask("SELECT seq FROM sync.head")[0][0] > known
            hub.open.pop().close()
        cuts = proxy.cuts
    send(own, hub.hub(b1))
    assert hub.stored(b1.origin) == own.kept
    assert cut > 0
    assert ambiguous > 0  # else nothing was shown: the hub had kept it and the bench was not told
    with capsys.disabled():
        sys.stdout.write(f"\n{cuts} cuts, {ambiguous} of them after the hub had kept the batch, {len(own.kept)} events")


@pytest.mark.slow
def test_bits_that_turn_on_the_way_are_never_kept(hub: Department) -> None:
    """Without TLS, which would see them first: the chain alone has to."""
    b1, chance = hub.let_in("B1"), random.Random(7)
    own = Listed(b1, rows(b1.origin, 40))
    sign_in, whole, _ = _spoken(hub, own)
    told = []
    with Proxy(hub.server.port, lambda _: Line(flip=chance.randrange(sign_in, whole))) as proxy:
        for _ in range(60):
            _grow(own, 40)
            door = hub.hub(b1, port=proxy.port)
            try:
                told += [verdict.kind for verdict in send(own, door).verdicts]
            except Outage as outage:
                told.append(outage.key)
            hub.open.pop().close()
            stored = hub.stored(b1.origin)
            assert stored == own.kept[: len(stored)]
    assert "damaged" not in told
    send(own, hub.hub(b1))
    assert hub.stored(b1.origin) == own.kept


def test_a_batch_that_came_damaged_is_sent_once_more_and_taken(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own, door, pushed = Listed(b1, rows(b1.origin, 20)), hub.hub(b1), []

    class Garbled:
        """The real hub, reached over a way that garbles the first so many batches."""

        def __init__(self, times: int) -> None:
            self.times, self.heads, self.pull = times, door.heads, door.pull

        def push(
            self, origin: str, rows: Sequence[Sequence[Any]], *, sent_ms: int, signed: SignedHead | None = None
        ) -> Answer:
            batch = list(rows)
            pushed.append(len(batch))
            if len(pushed) <= self.times:
                batch[5] = (*batch[5][:14], b"{}", batch[5][15])
            return door.push(origin, batch, sent_ms=sent_ms, signed=signed)

    sent = send_own(own, Garbled(2), sent_ms=lambda: 0)
    assert [(verdict.kind, verdict.seq) for verdict in sent.verdicts] == [("garbled", 6)]
    assert hub.stored(b1.origin) == []
    pushed.clear()
    assert send_own(own, Garbled(1), sent_ms=lambda: 0).verdicts == []
    assert hub.stored(b1.origin) == own.kept


@pytest.mark.parametrize("where", ["before the sign-in", "in the sign-in", "in the batch", "in the answer"])
def test_a_link_that_swallows_everything_is_cut_and_the_next_try_goes_on(hub: Department, where: str) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 100))
    sign_in, whole, back = _spoken(hub, own)
    _grow(own, 100)
    line = {
        "before the sign-in": Line(to_hub=0, hole=True),
        "in the sign-in": Line(to_bench=30, hole=True),
        "in the batch": Line(to_hub=(sign_in + whole) // 2, hole=True),
        "in the answer": Line(to_bench=back - 20, hole=True),
    }[where]
    with Proxy(hub.server.port, lambda n: line if n == 0 else Line()) as proxy:
        door = hub.hub(b1, port=proxy.port, patience_s=0.5)
        with pytest.raises(Outage) as told:
            send(own, door)
        assert told.value.key in {"hub_silent", "hub_away"}
        assert send(own, door).waiting == 0
        assert proxy.connections == 2
    assert hub.stored(b1.origin) == own.kept


def test_a_slow_way_in_small_pieces_carries_everything(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 60))
    with Proxy(hub.server.port, lambda _: Line(slow_s=0.002, piece=700)) as proxy:
        assert send(own, hub.hub(b1, port=proxy.port, patience_s=30)).rows == 60
    assert hub.stored(b1.origin) == own.kept


def test_a_hub_that_nobody_answers_for_is_said_to_be_away(hub: Department) -> None:
    b1 = hub.let_in("B1")
    with Proxy(hub.server.port) as proxy:
        port = proxy.port
    with pytest.raises(Outage) as told:
        hub.hub(b1, port=port).heads()
    assert told.value.key == "hub_away"


def test_a_hub_that_takes_nothing_says_so_and_takes_it_later(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 10))
    with hub.root() as root:
        root.execute(f"ALTER DATABASE {hub.name} SET default_transaction_read_only = on".encode())
        with pytest.raises(Outage) as told:
            send(own, hub.hub(b1))
        root.execute(f"ALTER DATABASE {hub.name} RESET default_transaction_read_only".encode())
    assert told.value.key == "hub_full"
    assert send(own, hub.hub(b1)).rows == 10


@pytest.fixture
def alone(ground: Path) -> Iterator[Department]:
    """A hub on a server of its own, to be killed."""
    server = Server(ground / f"alone{random.randrange(10**9)}")
    department = new_department(server)
    yield department
    for hub in department.open:
        hub.close()
    server.stop()


@pytest.mark.slow
@pytest.mark.timeout(LONG)
def test_a_server_killed_in_the_middle_of_batches_loses_nothing_it_answered_for(
    alone: Department, capsys: pytest.CaptureFixture[str]
) -> None:
    lets, chance = [alone.let_in(f"B{n}") for n in range(1, 4)], random.Random(12)
    owns = [Listed(let, []) for let in lets]
    answered = [0, 0, 0]
    ended = False

    def work(n: int) -> None:
        door = Hub(alone.server.url(alone.name), plain=True, user=lets[n].login, password=lets[n].password)
        while not ended:
            if len(owns[n].kept) == answered[n]:
                _grow(owns[n], 3 * BATCH // 2)
            try:
                answered[n] += send(owns[n], door).rows
                answered[n] = len(owns[n].kept)
            except Outage:
                sleep(0.05)
        door.close()

    threads = [Thread(target=work, args=(n,), daemon=True) for n in range(3)]
    for thread in threads:
        thread.start()
    try:
        for _ in range(KILLS):
            sleep(0.2 + chance.random())
            alone.server.kill()
            before = list(answered)
            alone.server.start()
            for n, let in enumerate(lets):
                stored = alone.stored(let.origin)
                assert len(stored) >= before[n]
                assert stored == owns[n].kept[: len(stored)]
    finally:
        ended = True
    for thread in threads:
        thread.join(60)
        assert not thread.is_alive()
    for own in owns:
        send(own, alone.hub(own.let))
        assert alone.stored(own.let.origin) == own.kept
    with capsys.disabled():
        sys.stdout.write(f"\n{KILLS} kills, {sum(len(own.kept) for own in owns)} events, none lost, none doubled")
