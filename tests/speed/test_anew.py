"""How long a bug takes the bench away, beside a plain start of the same store."""

import time
from pathlib import Path

import pytest

from tests.app.driven import code, prepare, run
from tests.speed.conftest import Tell
from tests.speed.figures import Figure

pytestmark = pytest.mark.slow
RUNS = 5


@pytest.mark.timeout(600)
def test_a_bug_to_the_screen_again_against_a_plain_start(tmp_path: Path, tell: Tell) -> None:
    """From the fault itself to the first page of the program that took its place. The issue asks for under 3 s."""
    ours, plain = [], []
    text = code(guard='sys.modules["numpy"] = None')  # the test set has it, the run-time set has not
    for n in range(RUNS):
        prepare(tmp_path / f"store{n}")
        began = time.time()
        plain.append(run(tmp_path / f"store{n}", "start", text=text)[0]["at"] - began)
        _, before, after, *_ = run(tmp_path / f"store{n}", "bug", text=text)
        ours.append(after["at"] - before["at"])
    tell(Figure(what="a bug to the screen again", against="a plain start", ours=ours, base=plain, unit="s"))
