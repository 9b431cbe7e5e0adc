"""A print server where an installed kiosk looks for the machine's own: port 631 of this machine, if it is free."""

import socket
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from tests.paper.cups import CONF, PrintServer, SocketPrinter

QUEUE = "Bench1"


@contextmanager
def own_print_server() -> Iterator[SocketPrinter]:
    """A server with one queue, QUEUE; the printer behind it, which keeps what it is sent."""
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", 631))
        except OSError:
            pytest.skip("port 631 is taken: this machine's own print server runs")
    with tempfile.TemporaryDirectory() as folder:  # its filters run as another user: they must get in
        server = PrintServer(Path(folder))
        server.port, server.name = 631, "127.0.0.1:631"
        (Path(folder) / "cupsd.conf").write_text(CONF.format(port=631))
        printer = SocketPrinter()
        try:
            with server:
                server.add_queue(QUEUE, printer.port)
                yield printer
        finally:
            printer.close()
