"""The way to the printer, against a real print server on loopback; nothing prints by itself later."""

import shutil
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.paper.printer import NO_ANSWER, NO_FOLDER, FolderPrinter, PrinterDown, QueuePrinter
from kiosk.paper.render import render
from tests.paper.cups import PrintServer, SocketPrinter, free_port
from tests.paper.invented import PLAIN_TICKET

QUEUE = "bench"
needs_cups = pytest.mark.skipif(
    shutil.which("cupsd", path="/usr/sbin:/usr/bin:/usr/local/sbin") is None,
    reason="cupsd is not installed; packaging/setup.sh installs it",
)


@pytest.fixture(scope="module")
def pdf() -> bytes:
    return render(PLAIN_TICKET)


@pytest.fixture
def device() -> Iterator[SocketPrinter]:
    device = SocketPrinter()
    yield device
    device.close()


@pytest.fixture
def server(device: SocketPrinter) -> Iterator[PrintServer]:
    """In a folder of its own: the server's printing user may not enter the folders of the tests."""
    with tempfile.TemporaryDirectory() as folder, PrintServer(Path(folder)) as server:
        server.add_queue(QUEUE, device.port)
        yield server


def _bench(server: PrintServer, patience_s: float = 10) -> QueuePrinter:
    return QueuePrinter(queue=QUEUE, server=server.name, patience_s=patience_s)


def _jobs_after(device: SocketPrinter, seconds: float) -> list[bytes]:
    time.sleep(seconds)
    return device.jobs


def test_without_a_printer_a_paper_is_a_file_in_the_folder_that_is_named(tmp_path: Path, pdf: bytes) -> None:
    printed = FolderPrinter(tmp_path / "papers").print("return_ticket", "K-20418", pdf)
    assert Path(printed.where) == tmp_path / "papers" / "return_ticket-K-20418.pdf"
    assert Path(printed.where).read_bytes() == pdf
    assert len(list((tmp_path / "papers").iterdir())) == 1


def test_a_second_copy_never_overwrites_the_first(tmp_path: Path) -> None:
    printer = FolderPrinter(tmp_path)
    places = [printer.print("tag", "../R 1", data).where for data in (b"first", b"second")]
    assert [Path(place).read_bytes() for place in places] == [b"first", b"second"]
    assert {Path(place).parent for place in places} == {tmp_path}


def test_a_folder_that_can_not_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "papers").write_text("a file in the way")
    with pytest.raises(PrinterDown) as down:
        FolderPrinter(tmp_path / "papers").print("tag", "R-1", b"%PDF")
    assert down.value.sentence == NO_FOLDER


def test_a_print_server_that_is_away_is_said_at_once() -> None:
    started = time.monotonic()
    with pytest.raises(PrinterDown) as down:
        QueuePrinter(queue=QUEUE, server=f"127.0.0.1:{free_port()}").print("tag", "R-1", b"%PDF")
    assert down.value.sentence == NO_ANSWER == "The printer does not answer. Your work is saved."
    assert time.monotonic() - started < 10


def test_a_machine_without_print_commands_is_a_printer_down(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(PrinterDown):
        QueuePrinter(queue=QUEUE).print("tag", "R-1", b"%PDF")


@needs_cups
@pytest.mark.slow
def test_the_printer_receives_exactly_the_paper(server: PrintServer, device: SocketPrinter, pdf: bytes) -> None:
    assert _bench(server).print("return_ticket", "K-20418", pdf).where == QUEUE
    assert _jobs_after(device, 0.3) == [pdf]
    assert not server.waiting()


@needs_cups
@pytest.mark.slow
def test_a_stopped_queue_keeps_no_job_that_prints_when_it_comes_back(
    server: PrintServer, device: SocketPrinter, pdf: bytes
) -> None:
    server.run("cupsdisable", QUEUE)
    with pytest.raises(PrinterDown):
        _bench(server).print("return_ticket", "K-20418", pdf)
    assert not server.waiting()
    server.run("cupsenable", QUEUE)
    assert not _jobs_after(device, 1.5)
    _bench(server).print("return_ticket", "K-20419", b"%PDF the next one")
    assert _jobs_after(device, 0.5) == [b"%PDF the next one"]


@needs_cups
@pytest.mark.slow
def test_a_queue_that_takes_no_jobs_is_said(server: PrintServer, device: SocketPrinter, pdf: bytes) -> None:
    server.run("cupsreject", QUEUE)
    with pytest.raises(PrinterDown):
        _bench(server).print("return_ticket", "K-20418", pdf)
    server.run("cupsaccept", QUEUE)
    assert not _jobs_after(device, 1.0)


@needs_cups
@pytest.mark.slow
def test_a_printer_switched_off_gets_nothing_when_it_is_switched_on(
    server: PrintServer, device: SocketPrinter, pdf: bytes
) -> None:
    server.add_queue("off", free_port())
    started = time.monotonic()
    with pytest.raises(PrinterDown) as down:
        QueuePrinter(queue="off", server=server.name, patience_s=5).print("return_ticket", "K-20418", pdf)
    assert time.monotonic() - started < 5.5
    assert down.value.sentence == NO_ANSWER
    assert not server.waiting()
    server.add_queue("off", device.port)  # somebody switches it on
    server.run("cupsenable", "off")
    assert not _jobs_after(device, 2.0)


@needs_cups
@pytest.mark.slow
def test_a_job_that_the_server_gave_up_was_not_printed(server: PrintServer, pdf: bytes) -> None:
    """A queue set to drop jobs that fail: the job leaves the queue as one that was printed does."""
    gone = f"lpd://127.0.0.1:{free_port()}/q?contimeout=1"
    server.run("lpadmin", "-p", "drops", "-E", "-v", gone, "-m", "raw", "-o", "printer-error-policy=abort-job")
    with pytest.raises(PrinterDown):
        QueuePrinter(queue="drops", server=server.name).print("tag", "R-1", pdf)
    assert not server.waiting()


@needs_cups
@pytest.mark.slow
def test_a_printer_that_hangs_does_not_hang_the_bench(server: PrintServer, pdf: bytes) -> None:
    hung = SocketPrinter(hangs=True)
    try:
        server.add_queue("hung", hung.port)
        started = time.monotonic()
        with pytest.raises(PrinterDown):
            QueuePrinter(queue="hung", server=server.name, patience_s=5).print("tag", "R-1", pdf * 200)
        assert time.monotonic() - started < 5.5
        assert not server.waiting()
    finally:
        hung.close()


@needs_cups
@pytest.mark.slow
def test_a_server_that_dies_and_comes_back_prints_nothing_of_before(
    server: PrintServer, device: SocketPrinter, pdf: bytes, monkeypatch: pytest.MonkeyPatch
) -> None:
    printer = _bench(server)
    run = QueuePrinter._run

    def dies_after_the_job_is_in(
        self: QueuePrinter, command: list[str], end: float, data: bytes = b"", allow: tuple[str, ...] = ()
    ) -> str:
        said = run(self, command, end, data, allow)
        if "hold" in command:
            server.stop()
        return said

    monkeypatch.setattr(QueuePrinter, "_run", dies_after_the_job_is_in)
    with pytest.raises(PrinterDown):
        printer.print("return_ticket", "K-20418", pdf)
    monkeypatch.undo()
    server.start()
    assert not _jobs_after(device, 2.0)
    assert server.waiting()  # it is there, but held
    printer.print("return_ticket", "K-20418", b"%PDF the next one")
    assert _jobs_after(device, 0.5) == [b"%PDF the next one"]
    assert not server.waiting()
