"""Every row of the job's exceptions names what holds it, and what it names is there."""

import re
from pathlib import Path

from tests.rehearsal.test_scenarios import PLAYED

TESTS = Path(__file__).resolve().parents[1]
README = (TESTS / "scenarios" / "README.md").read_text("utf-8")
ROWS_OF_THE_JOB = 60


def _table(title: str) -> dict[str, str]:
    """Row -> what stands beside it, of the table under a title."""
    part = README.partition(f"## {title}\n")[2].partition("\n## ")[0]
    cells = [line.strip("|").split("|") for line in part.splitlines() if line.startswith("|")]
    return {row[0].strip(): row[1].strip() for row in cells[2:]}


HELD = _table("What holds each row of the job's exceptions")
OPEN = _table("Rows that no test holds yet")


def test_every_row_of_the_job_is_held_or_said_not_to_be() -> None:
    assert len(HELD) + len(OPEN) == ROWS_OF_THE_JOB
    assert not HELD.keys() & OPEN.keys()


def test_what_holds_a_row_is_there() -> None:
    for row, by in HELD.items():
        tests = re.findall(r"`([\w/]+\.py)`::`(\w+)`", by)
        shifts = re.findall(r"\bS\d\d\b", by)
        assert tests or shifts, row
        for file, name in tests:
            assert re.search(rf"^def {name}\(", (TESTS.parent / file).read_text("utf-8"), re.MULTILINE), (
                f"{row}: {name}"
            )
        assert set(shifts) <= set(PLAYED), row
