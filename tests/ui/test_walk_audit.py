"""Every screen that a walked tray brings up is measured: sizes, gaps, clipping, overlap, letters, contrast.

Limits: shared look of the house (millimeters after Colle and Hiszem 2004; letters after ISO 9241-3, 16 minutes of arc
least). Contrast: WCAG 2.x, 7:1 for words (1.4.6), 3:1 for edges (1.4.11), by coloraide.
"""

from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from coloraide import Color
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.core.settings import CHOICES
from kiosk.core.views import View
from kiosk.places import RESOURCES
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import Scenario, read_scenario
from kiosk.rehearsal.world import build
from kiosk.ui.audit import records, violations
from kiosk.ui.window import Window

SCENARIOS = Path(__file__).parent.parent / "scenarios"
WALKS = (RESOURCES / "demo" / "first_look.yaml", *(SCENARIOS / f"{name}.yaml" for name in ("S04", "S05", "S07", "S21")))


class Wide(Stage):
    """A 24-inch panel of 1920x1080."""

    px_per_mm = 3.61


PANELS: dict[str, tuple[type[Stage], tuple[int, int]]] = {
    "15.6 in": (Stage, (1920, 1080)),
    "10.1 in": (Stage, (1280, 800)),
    "24 in": (Wide, (1920, 1080)),
}


@cache
def contrast(one: str, other: str) -> float:
    """Contrast ratio by WCAG 2.x."""
    return float(Color(one).contrast(other, method="wcag21"))


def watcher(found: list[str]) -> Callable[[Window, View], None]:
    """Notes every violation on the screens it sees."""

    def watch(window: Window, view: View) -> None:
        screen = window.current
        assert screen is not None
        where = f"{type(view).__name__} {view.title!r}: "
        found.extend(where + fault for fault in violations(screen, window.glass))
        texts = [record for record in records(screen) if record.kind == "text" and record.text]
        pale = [record for record in texts if contrast(record.fg, record.bg) < 7]
        found.extend(f"{where}{each.text!r} has contrast {contrast(each.fg, each.bg):.1f}" for each in pale)

    return watch


def in_language(scenario: Scenario, language: str) -> Scenario:
    """The same shift in a house of this language."""
    policy = scenario.given.get("policy") or {}
    spoken = {**policy, "set": {**(policy.get("set") or {}), "house_language": language}}
    return replace(scenario, given={**scenario.given, "policy": spoken})


@pytest.mark.slow
@pytest.mark.parametrize("language", CHOICES["language"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("walk", WALKS, ids=lambda path: path.stem)
def test_every_screen_of_a_walk_is_within_the_measures(
    walk: Path, panel: str, language: str, qapp: QApplication, tmp_path: Path
) -> None:
    make, size = PANELS[panel]
    scenario = in_language(read_scenario(walk), language)
    player = Player(scenario, build(scenario), make, out=tmp_path, size=size, pictures=False)
    found: list[str] = []
    player.camera.watch = watcher(found)
    try:
        player.play()
    finally:
        player.close()
    assert sorted(set(found)) == []
