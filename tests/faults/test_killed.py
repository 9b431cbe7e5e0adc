"""A bench that is killed with SIGKILL in the middle of a shift, over and over, on one store after the other.

After each kill: the file and every link of the chain hold, everything that the screen showed is there, nothing that was
not handed to the store is there, a command is there whole or not at all, and the bench that starts again stands where
the last kept tap left it. THROUGHLIGHT_KILLS=10000 for the long run.
"""

from collections import Counter
from pathlib import Path

import pytest

from tests.faults.running import PATIENCE_S, begin, found, many, run

KILLS = many("KILLS", 300)

pytestmark = [pytest.mark.slow, pytest.mark.timeout(1000)]


@pytest.mark.timeout(1000 + KILLS // 5)
def test_no_shown_tap_is_lost_and_none_appears_at_random_instants_of_a_shift(tmp_path: Path) -> None:
    runs = []
    for seed in (1, 2):
        folder = tmp_path / str(seed)
        folder.mkdir()
        runs.append(begin("killing", folder, KILLS // 2, seed, "loop"))
    sums: Counter[str] = Counter()
    faults: list[str] = []
    for each in runs:
        told = found(each, timeout=PATIENCE_S + KILLS // 5)
        faults += told.pop("faults")
        sums.update(told)
    print(dict(sums))  # noqa: T201
    assert faults == []
    assert sums["kills"] == KILLS
    assert sums["killed before it stood"] > KILLS / 20
    assert sums["killed in mid keep"] > KILLS / 20
    assert sums["taps shown"] > KILLS


def test_the_whole_kiosk_killed_behind_its_glass_stands_where_it_stood(tmp_path: Path) -> None:
    told = run("killing", tmp_path, many("GLASS_KILLS", 24), 3, "glass")
    assert told["faults"] == []
    assert told["taps shown"] > 24


def test_a_bench_that_shows_before_it_keeps_is_found_out(tmp_path: Path) -> None:
    """The check of the check: what is looked for above is found where it is."""
    told = run("killing", tmp_path, 60, 4, "hasty")
    assert any("shown" in fault for fault in told["faults"])
