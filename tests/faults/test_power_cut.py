"""What a disk may hold after a power cut: every tap that was shown by then, and nothing that was not tapped.

Source of what must be kept and what is lost without FULL: sqlite.org/pragma.html#pragma_synchronous ("WAL mode is
always consistent with synchronous=NORMAL, but WAL mode does lose durability"). It models the calls, not a disk that
lies about its sync. THROUGHLIGHT_IMAGES=100000 for the long run.
"""

from collections import Counter
from pathlib import Path

import pytest

from tests.faults.running import begin, found, many, run

ROUND = 2000
"""Images that one round of thirty taps makes, about."""
IMAGES = many("IMAGES", ROUND)

pytestmark = [pytest.mark.slow, pytest.mark.timeout(1000)]


@pytest.mark.timeout(1000 + IMAGES // 50)
def test_no_power_cut_loses_a_shown_tap(quick: Path) -> None:
    sums: Counter[str] = Counter()
    seeds = list(range(max(1, IMAGES // ROUND)))
    while seeds:
        runs = []
        for seed in [seeds.pop() for _ in range(min(2, len(seeds)))]:
            (quick / str(seed)).mkdir()
            runs.append(begin("powercut", quick / str(seed), 30, "FULL", seed))
        for each in runs:
            told = found(each)
            assert told.pop("first") == []
            sums.update(told)
    print(dict(sums))  # noqa: T201
    assert sums["wrong"] == 0
    assert sums["good"] == sums["images"] > 1000


def test_a_weaker_setting_is_found_to_lose_taps_and_to_damage_nothing(quick: Path) -> None:
    """The check of the check, and why the store asks for FULL."""
    told = run("powercut", quick, 20, "NORMAL", 1)
    assert told["lost"] > 0
    assert told.get("damaged", 0) == 0


def test_no_syncing_at_all_is_found_to_damage_the_file(quick: Path) -> None:
    """The check of the check: a damaged image is seen as one, and said."""
    told = run("powercut", quick, 20, "OFF", 1)
    assert told["damaged"] > 0
    assert told.get("changed", 0) == 0
