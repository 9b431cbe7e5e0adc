"""A wheel installed in a bare venv opens the demo department. Against pip, and sd_notify(3) for "it is up"."""

import os
import signal
import socket
import subprocess
import sys
import sysconfig
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
pytestmark = [pytest.mark.slow, pytest.mark.skipif(sys.platform != "linux", reason="listens on a Unix socket")]


def _run(*command: str | Path, cwd: Path, **own: str) -> str:
    done = subprocess.run(
        list(map(str, command)),
        cwd=cwd,
        env=_machine(cwd, **own),
        capture_output=True,
        text=True,
        check=False,
        timeout=200,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout


def _machine(home: Path, **own: str) -> dict[str, str]:
    return {"PATH": os.environ["PATH"], "HOME": str(home), "LANG": "C.UTF-8", "QT_QPA_PLATFORM": "offscreen", **own}


@pytest.fixture(scope="module")
def venv(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A venv with the wheel of this checkout in it, and a path file for the libraries that it asks for."""
    out = tmp_path_factory.mktemp("wheel")
    quiet = ("--no-deps", "--no-index", "--quiet", "--disable-pip-version-check")
    _run(sys.executable, "-m", "pip", "wheel", *quiet, "--no-build-isolation", "--wheel-dir", out, ROOT, cwd=out)
    (wheel,) = out.glob("throughlight-*.whl")
    venv = out / "venv"
    _run(sys.executable, "-m", "venv", "--without-pip", venv, cwd=out)
    python = venv / "bin" / "python"
    _run(sys.executable, "-m", "pip", "--python", python, "install", *quiet, wheel, cwd=out)
    (packages,) = venv.glob("lib/python*/site-packages")
    (packages / "libraries.pth").write_text(sysconfig.get_path("purelib"))
    return venv


def test_the_installed_program_is_the_wheel_s_own_with_db_and_resources(venv: Path, tmp_path: Path) -> None:
    ask = "import kiosk.places as p; print(p.__file__, p.DB, p.RESOURCES)"
    places = _run(venv / "bin" / "python", "-c", ask, cwd=tmp_path).split()
    assert all(Path(place).is_relative_to(venv) for place in places), places
    assert (Path(places[2]) / "policy.yaml").is_file()


def test_the_installed_program_opens_the_demo_department(venv: Path, tmp_path: Path) -> None:
    program = venv / "bin" / "throughlight"
    (demo,) = venv.glob("lib/python*/site-packages/kiosk/shipped/resources/demo")
    _run(program, "catalogue", "load", demo, "--store", tmp_path / "bench", cwd=tmp_path)  # so that no month is told
    with socket.socket(socket.AF_UNIX, socket.SOCK_DGRAM) as up, (tmp_path / "log").open("wb") as log:
        up.bind(str(tmp_path / "up"))
        up.settimeout(120)
        own = _machine(tmp_path, NOTIFY_SOCKET=str(tmp_path / "up"))
        kiosk = subprocess.Popen(
            [program, "--demo", "--store", tmp_path / "bench"], env=own, cwd=tmp_path, stdout=log, stderr=log
        )
        try:
            assert up.recv(100) == b"READY=1"
        finally:
            kiosk.send_signal(signal.SIGTERM)
            status = kiosk.wait(60)
    assert status == 0, (tmp_path / "log").read_text()
