"""Cuts a connection that does not answer in time. libpq knows no such limit: a dead link would be waited for."""

import socket
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from threading import Condition, Thread
from time import monotonic


class Watchdog:
    """Watches one connection at a time, from a thread of its own. `cut` says whether it had to bite."""

    def __init__(self) -> None:
        self.cut = False
        self._change = Condition()
        self._due: float | None = None
        self._line: socket.socket | None = None
        self._ended = False
        self._thread = Thread(target=self._run, name="watchdog", daemon=True)
        self._thread.start()

    @contextmanager
    def over(self, handle: int, seconds: float) -> Iterator[None]:
        """While the block runs: the connection behind this file handle is shut after so long."""
        line = socket.socket(fileno=socket.dup(handle))
        with self._change:
            self.cut, self._line, self._due = False, line, monotonic() + seconds
            self._change.notify()
        try:
            yield
        finally:
            with self._change:
                self._due = self._line = None
            line.close()

    def close(self) -> None:
        """End the thread."""
        with self._change:
            self._ended = True
            self._change.notify()
        self._thread.join()

    def _run(self) -> None:
        with self._change:
            while not self._ended:
                left = None if self._due is None else self._due - monotonic()
                if left is None or left > 0:
                    self._change.wait(left)
                elif self._line is not None:
                    self.cut, self._due = True, None
                    with suppress(OSError):  # the other side closed it first
                        self._line.shutdown(socket.SHUT_RDWR)
