"""What charts are held against, and what they never say."""

from dataclasses import replace
from datetime import date

import pytest

from kiosk import resources
from kiosk.core import events as e
from kiosk.core.composing.charted import baseline_of
from kiosk.core.past.figures import Asked, By
from kiosk.core.past.records import LogRecords
from tests.core.department import MORNING, Shift
from tests.store.shift import kept

SINCE, UNTIL = date(2031, 2, 4), date(2031, 3, 3)


def held_against(found: int, of: int) -> bool:
    """Is a baseline of these numbers, told by another station, taken for findings a day?"""
    told = e.BaselineFixed(about="a_day//", since="2031-02-04", until="2031-03-03", found=found, of=of)
    shift = Shift()
    records = LogRecords(lambda: {"B2": [kept(told, MORNING, trip=None)]})
    shift.session.desk = replace(shift.session.desk, records=records)
    return baseline_of(shift.session.glance(), Asked(by=By.A_DAY, since=SINCE, until=UNTIL)) is not None


@pytest.mark.parametrize(("found", "of"), [(10**400, 1), (10**120, 28), (5, 10**400), (-1, 28), (3, 0)])
def test_a_baseline_that_is_no_count_is_passed_over_whoever_told_it(found: int, of: int) -> None:
    assert not held_against(found, of)
    assert held_against(40, 28)


@pytest.mark.parametrize(
    ("code", "praise"), [("en", ("better", "well", "Good", "keep it")), ("es", ("mejor", "bien", "Bien", "consérvelo"))]
)
def test_fewer_findings_are_never_told_as_better_work(code: str, praise: tuple[str, ...]) -> None:
    """Where nobody can see nothing is found: fewer may be less soil, or less seen."""
    texts = resources.words(code).texts
    fewer = {key: text for key, text in texts.items() if key.startswith("numbers.next.") and "below" in key}
    assert len(fewer) == 5
    assert not [key for key, text in fewer.items() if any(word in text for word in praise)]
    assert not any(word in texts["numbers.nothing_found"] for word in praise)
