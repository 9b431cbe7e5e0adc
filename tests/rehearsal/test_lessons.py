"""The written lessons hold on the real screens, and their steps are what they log."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.app.stage import Stage
from kiosk.core import events as e
from kiosk.core.lessons import done
from kiosk.places import RESOURCES
from kiosk.rehearsal.play import play
from kiosk.rehearsal.scenario import read_scenario

LESSONS = sorted((RESOURCES / "lessons").glob("*.yaml"))


@pytest.mark.slow
@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_walked_as_written_is_all_right_in_both_languages(
    path: Path, qapp: QApplication, tmp_path: Path
) -> None:
    scenario = read_scenario(path)
    result = play(scenario, Stage, tmp_path)
    assert result.missed == []
    lesson = resources.lessons()[scenario.id]
    assert 3 <= len(lesson.steps) <= 8
    assert all({"en", "es"} <= set(step.say) and step.right in e.EVENTS for step in lesson.steps)
    assert all(done(lesson, [step.right for step in lesson.steps]))
    assert list(scenario.then["logged"]) == [step.right for step in lesson.steps]
