"""A disk that fails while the bench works: said in words, nothing half kept, and it goes on when the disk is well."""

from pathlib import Path

import pytest

from tests.faults.running import run

pytestmark = [pytest.mark.slow, pytest.mark.timeout(1000)]


@pytest.mark.parametrize(("kind", "key"), [("once", "disk"), ("for_good", "disk"), ("full", "disk_full")])
def test_a_disk_that_fails_at_any_call_is_said_and_what_was_shown_stands(kind: str, key: str, quick: Path) -> None:
    told = run("bad_disk", quick, kind)
    assert told["first"] == []
    assert told["wrong"] == 0
    assert min(told["calls"]) > 20
    said = told["said"]
    assert set(said) <= {key, "nothing, as nothing was amiss"}
    assert said[key] > sum(told["calls"]) / 2
