"""Whole shifts walked by the gloved hand through the real station: what is kept is what was aimed at."""

from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.places import RESOURCES
from kiosk.rehearsal import walking
from kiosk.rehearsal.play import play
from kiosk.rehearsal.scenario import read_scenario
from kiosk.store.bench_store import BenchStore
from tests.touch_trial.gloved_fingers import GlovedFingers

SCENARIOS = Path(__file__).parents[1] / "scenarios"
LARGE, SMALL = (1920, 1080), (1280, 800)
WALKS = [
    pytest.param(SCENARIOS / "S06.yaml", SMALL, id="S06, 10.1 in"),
    pytest.param(SCENARIOS / "S09.yaml", LARGE, id="S09, bench and decontam, 15.6 in", marks=pytest.mark.slow),
    pytest.param(RESOURCES / "demo" / "first_look.yaml", SMALL, id="first look, 10.1 in", marks=pytest.mark.slow),
]


def kept(folder: Path) -> list[str]:
    """Everything that happened by each station's log, by name: times differ from hand to hand."""
    names = []
    for store in sorted(folder.rglob("store")):
        bench = BenchStore(store)
        names += [f"{store.relative_to(folder)}: {type(one.event).__name__}" for one in bench.read()]
        bench.close()
    return names


@pytest.mark.parametrize(("walk", "size"), WALKS)
def test_a_shift_walked_by_a_gloved_hand_keeps_what_a_steady_one_keeps(
    qapp: QApplication, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, walk: Path, size: tuple[int, int]
) -> None:
    steady = play(read_scenario(walk), Stage, tmp_path / "steady", size=size)
    hands: list[GlovedFingers] = []

    class Watched(GlovedFingers):
        def __init__(self, *given: object, **named: object) -> None:
            super().__init__(*given, **named)  # type: ignore[arg-type]
            hands.append(self)

    monkeypatch.setattr(walking, "Fingers", Watched)
    gloved = play(read_scenario(walk), Stage, tmp_path / "gloved", size=size)
    (hand,) = hands
    assert hand.landed > 20
    assert hand.others > 5
    assert (hand.wrong, gloved.missed, gloved.held) == ([], [], steady.held)
    assert len(kept(tmp_path / "gloved")) > 20
    assert kept(tmp_path / "gloved") == kept(tmp_path / "steady")
