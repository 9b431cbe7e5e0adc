"""Runs a program of this folder as a process of its own, and reads what it found."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[2]
PATIENCE_S = 900
"""A program that is not done by then hangs; on a busy machine it may take many times what it takes on an idle one."""


def command(module: str, *args: object) -> list[str]:
    return [sys.executable, "-m", f"tests.faults.{module}", *map(str, args)]


def begin(module: str, *args: object) -> subprocess.Popen[str]:
    return subprocess.Popen(command(module, *args), cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)


def found(run: subprocess.Popen[str], timeout: float = PATIENCE_S) -> dict[str, Any]:
    """What the program found. A program that ends badly fails the test with what it complained of."""
    said, complained = run.communicate(timeout=timeout)
    assert run.returncode == 0, complained
    told: dict[str, Any] = json.loads(said)
    return told


def run(module: str, *args: object, timeout: float = PATIENCE_S) -> dict[str, Any]:
    return found(begin(module, *args), timeout)


def run_behind(mount: str, module: str, *args: object) -> dict[str, Any]:
    """Run it in a mount namespace of its own, behind that mount. Skips where nothing can be mounted."""
    may = (
        shutil.which("unshare")
        and not subprocess.run(["unshare", "-m", "true"], check=False, capture_output=True).returncode
    )
    if not may:
        pytest.skip("mounting needs root")
    line = ["unshare", "-m", "sh", "-c", f'{mount} && exec "$@"', "sh", *command(module, *args)]
    return found(subprocess.Popen(line, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True))


def many(name: str, few: int) -> int:
    """How many of them: `few`, or as the environment asks."""
    return int(os.environ.get(f"THROUGHLIGHT_{name}", few))
