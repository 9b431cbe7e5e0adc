"""Runs a command of the tool, in this process or in one of its own, and holds what it left behind."""

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[2]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ran:
    """What a command left behind."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        return json.loads(self.out)

    @property
    def complaint(self) -> str:
        """The one line of a call that is wrong: status 2, nothing on standard output."""
        assert (self.status, self.out) == (2, ""), self
        (line,) = self.err.splitlines()
        assert line.startswith("throughlight")
        return line


Run = Callable[..., Ran]


def in_a_process(words: Sequence[str], folder: Path, **environment: str) -> Ran:
    """Run `python -m kiosk` without a display, from another folder."""
    bare = {key: value for key, value in os.environ.items() if "DISPLAY" not in key and key != "QT_QPA_PLATFORM"}
    bare |= {"PYTHONPATH": str(ROOT), "XDG_DATA_HOME": str(folder / "data"), **environment}
    done = subprocess.run(
        [sys.executable, "-m", "kiosk", *words], check=False, cwd=folder, env=bare, capture_output=True, text=True,
        timeout=110,
    )  # fmt: skip
    return Ran(status=done.returncode, out=done.stdout, err=done.stderr)
