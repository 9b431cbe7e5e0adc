"""The service manager hears that the kiosk is up and not hung. Against sd_notify(3) and sd_watchdog_enabled(3)."""

import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtCore import QCoreApplication

from kiosk.app.watchdog import Watchdog, every_ms


@pytest.fixture
def manager(tmp_path: Path) -> Iterator[socket.socket]:
    """The service manager's end of the socket."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as end:
        end.bind(str(tmp_path / "notify"))
        end.settimeout(5)
        yield end


def _turn(seconds: float) -> None:
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        QCoreApplication.processEvents()
        time.sleep(0.005)


def _heard(manager: socket.socket) -> list[bytes]:
    manager.setblocking(False)
    out = []
    while True:
        try:
            out.append(manager.recv(100))
        except BlockingIOError:
            return out


def test_the_manager_hears_that_it_is_up_then_pings_then_that_it_ends(
    qapp: object, manager: socket.socket, tmp_path: Path
) -> None:
    dog = Watchdog({"NOTIFY_SOCKET": str(tmp_path / "notify"), "WATCHDOG_USEC": "100000"})
    dog.start()
    _turn(0.4)
    dog.stop()
    heard = _heard(manager)
    assert heard[:2] == [b"READY=1", b"WATCHDOG=1"]
    assert heard.count(b"WATCHDOG=1") >= 3
    assert heard[-1] == b"STOPPING=1"


def test_a_hung_event_loop_pings_no_more(qapp: object, manager: socket.socket, tmp_path: Path) -> None:
    dog = Watchdog({"NOTIFY_SOCKET": str(tmp_path / "notify"), "WATCHDOG_USEC": "100000"})
    dog.start()
    _heard(manager)
    time.sleep(0.4)
    assert _heard(manager) == []
    dog.stop()


def test_a_name_that_begins_with_an_at_sign_is_an_abstract_socket(qapp: object) -> None:
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as end:
        end.bind("\0throughlight-watchdog-test")
        Watchdog({"NOTIFY_SOCKET": "@throughlight-watchdog-test"}).start()
        assert _heard(end) == [b"READY=1"]


@pytest.mark.parametrize(
    ("given", "ms"), [("20000000", 10_000), ("1000", 1), ("", 0), ("soon", 0), ("0", 0), ("-5", 0)]
)
def test_it_pings_at_half_of_what_is_asked(given: str, ms: int) -> None:
    assert every_ms({"WATCHDOG_USEC": given}) == ms


def test_without_a_manager_nothing_is_sent_and_a_manager_that_is_gone_stops_nothing(
    qapp: object, tmp_path: Path
) -> None:
    Watchdog({}).start()
    dog = Watchdog({"NOTIFY_SOCKET": str(tmp_path / "none"), "WATCHDOG_USEC": "100000"})
    dog.start()
    dog.stop()
