"""A proxy of our own on loopback, between a bench and its hub: cuts, slows, swallows."""

import select
import socket
from collections.abc import Callable
from threading import Event, Thread
from types import TracebackType
from typing import Self

Plan = Callable[[int], "Line"]
"""The number of a connection, from 0 -> what befalls it."""


class Line:
    """What befalls one connection: after so many bytes in a direction it is cut, or swallows everything (`hole`).

    `to_hub` and `to_bench` count by themselves; None: never. `slow_s`: so long between any two pieces. `flip`: the byte
    on the way to the hub in which a bit turns.
    """

    def __init__(
        self,
        *,
        to_hub: int | None = None,
        to_bench: int | None = None,
        hole: bool = False,
        slow_s: float = 0.0,
        piece: int = 65536,
        flip: int | None = None,
    ) -> None:
        self.left = {"hub": to_hub, "bench": to_bench}
        self.hole, self.slow_s, self.piece, self.flip = hole, slow_s, piece, flip


class Proxy:
    """Listens on a port of loopback and passes on to the hub, each connection by its plan."""

    def __init__(self, to: int, plan: Plan = lambda _: Line()) -> None:
        self.plan, self.connections, self.cuts = plan, 0, 0
        self.passed: list[int] = []  # bytes to the hub, a number a connection
        self.came: list[int] = []  # bytes to the bench
        self._to = to
        self._ended = Event()
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = int(self._listening.getsockname()[1])
        self._threads = [Thread(target=self._accept, daemon=True)]
        self._threads[0].start()

    def __enter__(self) -> Self:
        return self

    def __exit__(self, kind: type[BaseException] | None, fault: BaseException | None, at: TracebackType | None) -> None:
        self._ended.set()
        for thread in self._threads:
            thread.join()
        self._listening.close()

    def _accept(self) -> None:
        while not self._ended.is_set():
            if select.select([self._listening], [], [], 0.05)[0]:
                bench = self._listening.accept()[0]
                line, n = self.plan(self.connections), self.connections
                self.connections += 1
                self.passed.append(0)
                self.came.append(0)
                thread = Thread(target=self._carry, args=(bench, line, n), daemon=True)
                self._threads.append(thread)
                thread.start()

    def _carry(self, bench: socket.socket, line: Line, n: int) -> None:
        try:
            hub = socket.create_connection(("127.0.0.1", self._to), timeout=5)
        except OSError:  # the server is down: so is the way to it
            bench.close()
            return
        with bench, hub:
            ways = {bench: (hub, "hub"), hub: (bench, "bench")}
            while not self._ended.is_set():
                ready = select.select(list(ways), [], [], 0.05)[0]
                for side in ready:
                    other, name = ways[side]
                    try:
                        data = side.recv(line.piece)
                    except OSError:
                        return
                    if name == "hub":
                        data = _flipped(data, line.flip, self.passed[n])
                        self.passed[n] += len(data)
                    else:
                        self.came[n] += len(data)
                    left = line.left[name]
                    passing = data if left is None else data[:left]
                    if not self._pass(other, passing, line) or not data:
                        return
                    if left is None:
                        continue
                    line.left[name] = left - len(passing)
                    if len(passing) < len(data):
                        if not line.hole:
                            self.cuts += 1
                            return
                        self._swallow(bench)
                        return

    def _pass(self, other: socket.socket, data: bytes, line: Line) -> bool:
        if line.slow_s:
            self._ended.wait(line.slow_s)
        try:
            other.sendall(data)
        except OSError:
            return False
        return True

    def _swallow(self, bench: socket.socket) -> None:
        """Nothing comes through any more, and nobody says so."""
        while not self._ended.wait(0.05):
            if select.select([bench], [], [], 0)[0]:
                try:
                    if not bench.recv(65536):
                        return
                except OSError:
                    return


def _flipped(data: bytes, flip: int | None, passed: int) -> bytes:
    if flip is None or not passed <= flip < passed + len(data):
        return data
    turned = bytearray(data)
    turned[flip - passed] ^= 1 << flip % 8
    return bytes(turned)
