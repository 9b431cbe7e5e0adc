"""The full cleaning of a bench: five steps, each whole on every panel; the label time runs at the step that is wet."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.place import Place
from kiosk.core.views import Key, StepsView
from kiosk.ui.audit import violations
from tests.core.department import Shift, scan
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import OTHERS, TONSILS, department, in_spanish, open_tray, show, stand

SUPERVISOR = Key(label="Supervisor", icon="lock", name="supervisor", send=c.Turn(page=c.Page.NAMES))


def to_be_cleaned() -> Shift:
    """Blood was seen while three other trays stand open at the bench."""
    shift = department()
    shift.sign_in()
    for code in OTHERS:
        shift.must(scan(code), c.StopHere(reason="called_away"))
    open_tray(shift, TONSILS)
    shift.no("red_mark", Place())
    shift.confirm("tray_back")
    return shift


def steps_of(shift: Shift) -> StepsView:
    view = shift.session.view()
    assert isinstance(view, StepsView)
    return view


@pytest.mark.parametrize("ruled", [False, True], ids=["plain", "with the supervisor's key"])
@pytest.mark.parametrize("spanish", [False, True], ids=["en", "es larger"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_step_stands_whole(qapp: QApplication, panel: str, spanish: bool, ruled: bool) -> None:
    shift = to_be_cleaned()
    if spanish:
        in_spanish(shift)
    window, clock = stand(qapp, shift, panel)
    wrong = []
    for number in range(5):
        for typed in (False, True) if number == 2 else (True,):
            if number == 2 and typed:
                shift.must(c.SetLabelTime(minutes=3))
            view = steps_of(shift)
            show(window, shift, clock)
            window.show_view(replace(view, others=(SUPERVISOR, *view.others)) if ruled else view)
            clock.now += 1_000
            assert window.current is not None
            wrong += [f"step {number + 1}: {line}" for line in violations(window.current, window.glass)]
        if number == 3:
            shift.minutes(3)
        shift.must(c.StepDone(step="bench", number=number))
    window.close()
    assert wrong == []


def test_the_label_time_runs_at_the_wet_step_and_that_step_is_not_passed_before() -> None:
    shift = to_be_cleaned()
    shift.must(c.SetLabelTime(minutes=3), *(c.StepDone(step="bench", number=n) for n in range(3)))
    view = steps_of(shift)
    assert view.steps[view.now] == "Keep it wet for the whole label time."
    assert view.timer_ms == 180_000
    assert view.since_ms == shift.bench.wet_since_ms
    shift.send(c.StepDone(step="bench", number=3))
    assert shift.refused == "refused.still_wetting"
    assert steps_of(shift).now == 3
    shift.minutes(3)
    shift.must(c.StepDone(step="bench", number=3))
    assert steps_of(shift).now == 4
    shift.must(c.StepDone(step="bench", number=4))
    assert shift.step.kind == "gloves"


def test_that_the_tool_has_no_number_is_said_only_until_one_was_typed() -> None:
    shift = to_be_cleaned()
    assert any("no number" in line for line in steps_of(shift).cautions)
    shift.must(c.SetLabelTime(minutes=3))
    assert steps_of(shift).cautions == ()
