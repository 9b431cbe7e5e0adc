"""On a bare Debian the package installs, its kiosk comes up, a tray is walked by touch, papers lie in a print queue.

Against the outside: dpkg, apt, systemd's own check of units, the dynamic linker, an X server whose touch screen is
its own driver for tests, a print server, the store's own proof.
"""

import re
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image

from tests.packaging import walked
from tests.packaging.bare_debian import BareDebian, why_not
from tests.packaging.first_page import departs, first_page
from tests.packaging.glassless import PACKAGES, Glassless
from tests.packaging.print_server import QUEUE, own_print_server

ROOT = Path(__file__).resolve().parents[2]
REASON = why_not()
pytestmark = [
    pytest.mark.slow,
    pytest.mark.timeout(1800),
    pytest.mark.skipif(bool(REASON), reason=REASON or "runs"),
]
STORE = "/var/lib/throughlight/demo"
DEMO = "/usr/lib/throughlight/program/_internal/kiosk/shipped/resources/demo"
PIN = "604721"
"""Of P-24: resources/demo/README.md."""
OUT = ROOT / "out" / "install"


def _script(*words: str | Path) -> None:
    done = subprocess.run(
        ["bash", *map(str, words)], cwd=ROOT, capture_output=True, text=True, check=False, timeout=1200
    )
    assert done.returncode == 0, done.stdout[-2000:] + done.stderr[-4000:]


def _package(version: str, frozen: Path | None = None) -> Path:
    """The package of this checkout under a version of the test's."""
    _script("packaging/deb", "--version", version, "--frozen", frozen or "build/frozen/dist")
    (found,) = (ROOT / "build/deb").glob(f"throughlight_{version}_*.deb")
    return found


def _in_force(debian: BareDebian) -> str:
    return str((debian.root / "usr/lib/throughlight/current").readlink())


@pytest.fixture(scope="module")
def debian(tmp_path_factory: pytest.TempPathFactory) -> Iterator[BareDebian]:
    """A bare Debian on which the package is installed by apt, with nothing but what the package asks for."""
    _script("packaging/frozen")
    debian = BareDebian(tmp_path_factory.mktemp("debian") / "root")
    debian.install(debian.take(_package("0.0.1")))
    yield debian
    subprocess.run(["rm", "-rf", "--one-file-system", str(debian.root)], check=False)


def test_every_library_that_the_program_asks_for_came_with_the_package(debian: BareDebian) -> None:
    # What lies in a wheel's own `.libs` is found by way of whoever asks for it, not by itself.
    program = "/usr/lib/throughlight/program"
    asked = "-type f ! -path '*.libs/*' \\( -name '*.so*' -o -name throughlight \\)"
    told = debian.run("sh", "-c", f"find {program} {asked} -exec ldd {{}} + 2>&1")
    assert "libQt6Core" in told
    assert sorted(set(re.findall(r"(\S+) => not found", told))) == []


def test_the_package_brings_its_user_and_a_unit_that_the_service_manager_takes(debian: BareDebian) -> None:
    assert debian.run("getent", "passwd", "throughlight").strip().endswith(":/var/lib/throughlight:/usr/sbin/nologin")
    assert debian.run("stat", "-c", "%U %a", "/var/lib/throughlight").split() == ["throughlight", "700"]
    debian.install("systemd")
    said = debian.run("systemd-analyze", "verify", "/usr/lib/systemd/system/throughlight-kiosk.service")
    assert "throughlight" not in said, said


def test_the_program_folder_is_root_s_and_nobody_else_writes_it(debian: BareDebian) -> None:
    folder = "/usr/lib/throughlight"
    assert debian.run("find", folder, "(", "!", "-user", "root", "-o", "-perm", "/022", ")", "!", "-type", "l") == ""


def test_the_first_start_asks_for_the_language_and_keeps_the_answer(
    debian: BareDebian, qapp: object, tmp_path: Path
) -> None:
    # Without a demo and without a bench's number, as the package comes.
    page = first_page(walked.SIZE, tmp_path)
    kept = debian.root / "var/lib/throughlight/bench/station.yaml"
    debian.install(*PACKAGES)
    OUT.mkdir(parents=True, exist_ok=True)
    glass = Glassless(debian, tmp_path)
    try:
        glass.session()

        def stands() -> bool:
            glass.picture(OUT / "set-up.png")
            return departs(OUT / "set-up.png", page.picture) < 0.01

        glass.wait_for(stands, "the page of the language")
        time.sleep(1)
        glass.finger.touch(*page.keys["Español"])
        glass.wait_for(lambda: kept.is_file() and "language: es" in kept.read_text(), "the answer", at_most_s=10)
        time.sleep(2)
        glass.picture(OUT / "set-up-next.png")
    finally:
        glass.close()
    assert departs(OUT / "set-up-next.png", page.picture) > 0.01


def test_a_tray_is_walked_by_touch_and_its_papers_lie_in_a_print_queue(
    debian: BareDebian, qapp: object, tmp_path: Path
) -> None:
    hand = walked.walk(Path(__file__).with_name("one_tray.yaml"), tmp_path / "hand")
    assert hand.missed == []
    debian.install(*PACKAGES)
    debian.run("throughlight-bench", "catalogue", "load", DEMO, "--store", STORE)
    OUT.mkdir(parents=True, exist_ok=True)
    notified = socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM)
    notified.bind(str(debian.root / "tmp/notify"))
    (debian.root / "tmp/notify").chmod(0o777)
    notified.settimeout(60)
    with own_print_server() as printer:
        glass = Glassless(debian, tmp_path)
        try:
            watched = ("NOTIFY_SOCKET=/tmp/notify", "WATCHDOG_USEC=20000000")
            glass.session("DEMO=yes", "BENCH=1", f"PRINTER={QUEUE}", "CUPS_SERVER=127.0.0.1:631", *watched)
            assert notified.recv(100) == b"READY=1"
            assert notified.recv(100) == b"WATCHDOG=1"
            time.sleep(2)
            glass.picture(OUT / "first.png")
            deeds = walked.with_pin(hand.deeds, PIN)
            walked.do(deeds, glass.finger, glass.wedge, before_tray=lambda: glass.picture(OUT / "scan.png"))
            time.sleep(2)
            glass.picture(OUT / "done.png")
            glass.wait_for(lambda: len(printer.jobs) == 2, "the papers", at_most_s=30)
        finally:
            glass.close()
            notified.close()
    assert all(job.startswith(b"%PDF-") for job in printer.jobs)
    with Image.open(OUT / "scan.png") as shown:
        assert shown.size == walked.SIZE
        assert len(shown.convert("RGB").getcolors(1 << 24) or ()) > 20
    assert "holds" in debian.run("throughlight-bench", "verify", "--store", STORE)
    assert walked.names_in(debian.root / STORE[1:]) == hand.events


def test_an_upgrade_keeps_the_store_and_its_program(debian: BareDebian) -> None:
    debian.run("throughlight-bench", "catalogue", "load", DEMO, "--store", STORE)
    before = debian.run("throughlight-bench", "verify", "--json", "--store", STORE)
    debian.install(debian.take(_package("0.0.2")))
    assert _in_force(debian) == "program"
    assert debian.run("throughlight-bench", "verify", "--json", "--store", STORE) == before
    assert (debian.root / "var/lib/throughlight/before-upgrade/demo.db").is_file()
    assert (debian.root / "usr/lib/throughlight/before/throughlight").is_file()


def test_a_program_that_does_not_hold_the_store_gives_way_to_the_one_before(debian: BareDebian, tmp_path: Path) -> None:
    (tmp_path / "throughlight").mkdir()
    bad = tmp_path / "throughlight" / "throughlight"
    bad.write_text("#!/bin/sh\necho 'event 1 does not hold'\nexit 1\n")
    bad.chmod(0o755)
    (tmp_path / "needs.txt").write_text("")
    said = debian.install(debian.take(_package("0.0.3", tmp_path)))
    assert "the one before goes on" in said
    assert _in_force(debian) == "before"
    assert "version 0.0.3 is installed and not in force" in debian.run("throughlight", "--version")
    assert "holds" in debian.run("throughlight-bench", "verify", "--store", STORE)
    debian.install(debian.take(_package("0.0.4")))
    assert _in_force(debian) == "program"
    assert "not in force" not in debian.run("throughlight", "--version")


def test_when_it_is_taken_away_the_records_stay(debian: BareDebian) -> None:
    debian.run("apt-get", "-q", "-y", "purge", "throughlight")
    assert not (debian.root / "usr/lib/throughlight").exists()
    assert (debian.root / STORE[1:] / "throughlight.db").is_file()
