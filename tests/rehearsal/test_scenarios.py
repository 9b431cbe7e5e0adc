"""The written shifts hold on the real screens. Source of each: the scenario file itself, common practice."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.places import RESOURCES
from kiosk.rehearsal.play import play
from kiosk.rehearsal.scenario import ScenarioFault, read_scenario

SCENARIOS = Path(__file__).parent.parent / "scenarios"
PLAYED = (
    "S01", "S02", "S03", "S04", "S05", "S06", "S07", "S08", "S09", "S10", "S11", "S12", "S13", "S14", "S15", "S16",
    "S17", "S18", "S19", "S20", "S21", "S22", "S23", "S24", "S41", "S42", "S44", "S45", "S46", "S47", "S48",
    "S49", "S50", "S51", "S52", "S53", "S54", "S55", "S56", "S57", "S58", "S71",
)  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize("name", PLAYED)
def test_the_written_shift_holds(name: str, qapp: QApplication, tmp_path: Path) -> None:
    result = play(read_scenario(SCENARIOS / f"{name}.yaml"), Stage, tmp_path)
    assert result.missed == []
    assert result.checked > 5


@pytest.mark.slow
@pytest.mark.parametrize("size", [(1280, 800), (1920, 1080)])
def test_the_demo_tray_holds_on_both_frames(size: tuple[int, int], qapp: QApplication, tmp_path: Path) -> None:
    result = play(read_scenario(RESOURCES / "demo" / "first_look.yaml"), Stage, tmp_path, size=size)
    assert result.missed == []


def test_a_play_that_differs_is_told_so(qapp: QApplication, tmp_path: Path) -> None:
    scenario = read_scenario(SCENARIOS / "S05.yaml")
    wrong = {
        **scenario.then,
        "summary": {"wet": 7},
        "disposition": {"E1": "quarantine"},
        "not_seen": {"E1.bore": "all"},
    }
    from dataclasses import replace

    result = play(replace(scenario, then=wrong), Stage, tmp_path)
    assert {miss["where"] for miss in result.missed} == {
        "then.summary.wet",
        "then.disposition.E1",
        "then.not_seen",
    }


def test_an_action_that_can_not_be_played_is_refused_with_its_place(tmp_path: Path) -> None:
    file = tmp_path / "odd.yaml"
    file.write_text("id: X\ngiven: {}\nwhen: [{do: fly}]\nthen: {}\n")
    with pytest.raises(ScenarioFault, match=r"odd\.yaml: action 1: `fly` can not be played yet"):
        read_scenario(file)
