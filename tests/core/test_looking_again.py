"""The lookback report says how many packages to look at again, and what none wrong among them means."""

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from scipy.stats import hypergeom

from kiosk import resources
from kiosk.core.composing.lookback import paper_of
from kiosk.core.papers import Section
from kiosk.core.past.chains import Chains
from kiosk.core.past.lookback import Question, Traced
from kiosk.quality.department import Department
from tests.core.department import MORNING, Shift

NONE = Chains(trips=(), most=3, further=0, unclear=(), nameless=0)


def traced(n: int, state: str) -> Traced:
    return Traced(
        trip=f"1-{n:06}", station="B1", tray="TR-1", name="Ear set", loads=("W-1",), opened_ms=MORNING, state=state,
        at_ms=MORNING, package=f"B1-{n}",
    )  # fmt: skip


def nothing_kept(_sql: str, _values: Sequence[object]) -> list[Any]:
    return []


def sample(packed: int, held: int = 3, language: str = "en") -> Section | None:
    shift = Shift()
    desk = replace(shift.session.desk, numbers=Department(nothing_kept))
    g = replace(shift.session.glance(), desk=desk, words=resources.words(language))
    found = [traced(n, "packed") for n in range(packed)] + [traced(900 + n, "held") for n in range(held)]
    report = paper_of(g, Question(kind="load", value="W-1"), found, NONE)
    title = resources.words(language).say("lookback.section.sample")
    return next((section for section in report.sections if section.title == title), None)


@pytest.mark.parametrize("lot", [2, 20, 60, 388])
def test_so_many_are_looked_at_that_one_more_wrong_than_allowed_would_hardly_stay_unseen(lot: int) -> None:
    """Source: the hypergeometric distribution of scipy.stats."""
    section = sample(lot)
    assert section is not None
    assert (section.lines[0].label, section.lines[0].value) == (f"None of the {lot} is wrong", f"look at {lot}")
    for line in section.lines[1:]:
        allow, n = int(line.label.split()[2]), int(line.value.split()[2])
        if allow < lot:
            assert hypergeom.pmf(0, lot, allow + 1, n) <= 0.05
            assert n == 0 or hypergeom.pmf(0, lot, allow + 1, n - 1) > 0.05


def test_only_what_was_packed_can_be_looked_at_again_and_one_package_needs_no_sample() -> None:
    assert sample(0) is None
    assert sample(1) is None


def test_the_limits_of_a_sample_stand_under_it_in_both_languages() -> None:
    for language, word in (("en", "Facility policy decides"), ("es", "La norma de la institución decide")):
        section = sample(20, language=language)
        assert section is not None
        assert word in section.note
