"""Printer and scanner pulled out in mid-action, at the whole kiosk, off screen.

Papers go through a real print server of the test's own. A queue over a bare socket takes what the socket's buffers
hold for printed; a paper that a printer can swallow at once is told as printed whatever becomes of the printer. The
paper here is larger than that.
"""

import shutil
import socket
import struct
import tempfile
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from shiboken6 import delete

from kiosk.app.kiosk import Kiosk
from kiosk.core import commands as c
from kiosk.core.agenda import next_step
from kiosk.devices.scanner import Scanner
from kiosk.paper.printer import NO_ANSWER, NOT_READY, Printed, QueuePrinter
from tests.core.department import EAR
from tests.faults.glass import GlassShift
from tests.paper.cups import PrintServer, SocketPrinter

QUEUE = "bench"
FILL = b"%" + b" " * (16 << 20)
"""A comment after the end of a PDF, larger than the buffers between server and printer."""
STALL = 250
"""Milliseconds that this machine may hold up a key between two others. No hand types here."""
needs_cups = pytest.mark.skipif(
    shutil.which("cupsd", path="/usr/sbin:/usr/bin:/usr/local/sbin") is None,
    reason="cupsd is not installed; packaging/setup.sh installs it",
)

pytestmark = pytest.mark.slow


class PulledPrinter:
    """Takes the beginning of a job, then its cable is pulled: the link is reset, and nobody answers any more."""

    def __init__(self, takes: int = 50_000) -> None:
        self.began, self.jobs_whole = threading.Event(), 0
        self._server = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._server.getsockname()[1]
        self._takes = takes
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def _serve(self) -> None:
        link, _ = self._server.accept()
        got = 0
        while got < self._takes:
            part = link.recv(8192)
            if not part:
                self.jobs_whole += 1
                break
            got += len(part)
        self._server.close()
        link.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, struct.pack("ii", 1, 0))
        link.close()
        self.began.set()

    def close(self) -> None:
        self._thread.join(5)


class LargePapers(QueuePrinter):
    """The queue, with papers that no buffer swallows."""

    def print(self, doc: str, name: str, pdf: bytes) -> Printed:
        return QueuePrinter.print(self, doc, name, pdf + FILL)


@pytest.fixture
def shift(qapp: QApplication, tmp_path: Path) -> Iterator[GlassShift]:
    """The kiosk with a tray packed up to its papers."""
    shift = GlassShift(folder=tmp_path / "store")
    kiosk = _kiosk(shift)
    shift.begin()
    yield shift
    kiosk.stop()
    kiosk.window.close()


def _kiosk(shift: GlassShift) -> Kiosk:
    assert shift.kiosk is not None
    return shift.kiosk


def _settled(shift: GlassShift, qtbot: QtBot) -> None:
    qtbot.waitUntil(lambda: not _kiosk(shift).busy(), timeout=40_000)
    QApplication.processEvents()


@needs_cups
def test_a_printer_pulled_out_in_mid_job_is_said_and_the_paper_comes_once_when_it_is_back(
    shift: GlassShift, qtbot: QtBot
) -> None:
    pulled, back = PulledPrinter(), SocketPrinter()
    try:
        with tempfile.TemporaryDirectory() as folder, PrintServer(Path(folder)) as server:
            server.add_queue(QUEUE, pulled.port)
            _kiosk(shift).printing.printer = LargePapers(queue=QUEUE, server=server.name, patience_s=8)
            shift.sign_in()
            shift.open(EAR)
            shift.count()
            shift.yes_to_all()
            shift.pack()
            _settled(shift, qtbot)
            assert pulled.began.is_set(), "the job was on its way"
            assert pulled.jobs_whole == 0
            whys = [job.why for job in shift.trip.jobs]
            assert NO_ANSWER in whys
            assert set(whys) <= {NO_ANSWER, NOT_READY}, "the first broke off, the next found the printer stopped"
            assert shift.bench.printer_down
            assert next_step(shift.bench, shift.session.here).kind == "print_failed"
            assert not server.waiting(), "nothing prints by itself later"
            server.add_queue(QUEUE, back.port)  # it is plugged in again
            server.run("cupsenable", QUEUE)
            QTest.qWait(1500)
            assert back.jobs == []
            shift.must(c.PrintAgain())
            _settled(shift, qtbot)
            assert shift.bench.printer_down == ""
            assert len(back.jobs) == len([job for job in shift.trip.jobs if not job.why])
            assert all(job.startswith(b"%PDF") and job.endswith(FILL) for job in back.jobs)
            assert len(set(back.jobs)) == len(back.jobs)
    finally:
        pulled.close()
        back.close()


@pytest.fixture
def scanner(shift: GlassShift, qtbot: QtBot) -> Iterator[Scanner]:
    kiosk = _kiosk(shift)
    scanner = Scanner(kiosk, gap_ms=STALL)
    scanner.scanned.connect(kiosk.scanned)
    scanner.broke_off.connect(kiosk.scan_broke_off)
    kiosk.window.activateWindow()
    qtbot.waitUntil(kiosk.window.isActiveWindow)
    yield scanner
    delete(scanner)  # else it hears the keys of other tests


def _scan(shift: GlassShift, text: str) -> None:
    """As a scanner does: no time between the keys."""
    window = _kiosk(shift).window.windowHandle()
    assert window is not None
    for char in text:
        if char == "\r":
            QTest.keyClick(window, Qt.Key.Key_Return)
        else:
            QTest.keyClick(window, char)  # type: ignore[call-overload]
    QTest.qWait(3 * STALL)


@pytest.mark.parametrize("half", range(1, 7))
def test_half_a_code_of_a_scanner_pulled_out_is_no_tray_and_the_next_whole_scan_works(
    half: int, shift: GlassShift, scanner: Scanner
) -> None:
    """The catalogue has TR-1 and TR-10: what is left of the longer one is the shorter one's whole code."""
    long = f"{EAR}0-22"
    desk = shift.session.desk
    tray = desk.catalogue.trays[EAR]
    trays = {**desk.catalogue.trays, long: replace(tray, code=long, name="Long set")}
    loads = {key: replace(load, trays=(*load.trays, long)) for key, load in desk.catalogue.loads.items()}
    shift.session.use(replace(desk, catalogue=replace(desk.catalogue, trays=trays, loads=loads)))
    shift.sign_in()
    scanned: list[str] = []
    scanner.scanned.connect(scanned.append)
    _scan(shift, "T2\r")  # a whole scan: this scanner closes its codes
    _scan(shift, "T1-X\r")
    before, whole = shift.store.log.head().seq, list(scanned)
    _scan(shift, long[:half])
    assert scanned == whole
    assert shift.store.log.head().seq == before
    assert shift.bench.trip is None
    if half >= 4:
        assert shift.session.glance().said() == "The scan broke off. Scan it again."
    _scan(shift, f"{long}\r")
    assert shift.trip.tray.code == long
