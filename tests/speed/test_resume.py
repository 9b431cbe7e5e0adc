"""After a kill: the scan of a half-done tray to the very check that was open, painted; against a bare page turn."""

import os
import time
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtTest import QTest

from kiosk.app.stage import Stage
from kiosk.core.views import AskView, ScanView
from kiosk.places import RESOURCES
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from tests.speed.bare_touch import BARE, BareStack, bare_touch, paint
from tests.speed.conftest import Tell
from tests.speed.figures import Figure

RUNS = 9
HALF = 6
"""Of the demo play: signed in, the tray scanned and counted, one piece done and one begun."""


@pytest.mark.slow
@pytest.mark.usefixtures("qapp")
def test_a_resume_after_a_kill_stands_at_the_very_check(tmp_path: Path, tell: Tell) -> None:
    scenario = read_scenario(RESOURCES / "demo" / "first_look.yaml")
    player = Player(scenario, build(scenario), Stage, out=tmp_path / "store", size=(1920, 1080), pictures=False)
    for action in scenario.when[:HALF]:
        player.step_up(action)
        getattr(player, f"do_{action['do']}")(action)
    open_check, tray = player.view(), str(scenario.when[1]["tray"])
    assert isinstance(open_check, AskView)
    stack = BareStack()
    stack.show()
    file = os.open(tmp_path / "bare", os.O_CREAT | os.O_RDWR)
    bare_touch(stack, file)
    ours: list[float] = []
    bare: list[float] = []
    for _ in range(RUNS):
        bare.append(1000 * bare_touch(stack, file))
        player.do_power_cut({})
        player.do_power_back({})
        player.scan(player.who)
        player.type_pin()
        player.walk(lambda _, step: step.kind != "startup", "sign_in")
        assert isinstance(player.view(), ScanView)
        QTest.qWait(600)  # what is loaded after the first screen is loaded; a person fetches the tray
        start = time.perf_counter()
        player.stage.kiosk.scanned(tray)
        paint()
        ours.append(1000 * (time.perf_counter() - start))
        resumed = player.view()
        assert isinstance(resumed, AskView)
        assert replace(resumed, hand=open_check.hand) == open_check  # a last answer may be taken back for a while only
    os.close(file)
    player.close()
    what = "resume after a kill: scan of a half-done tray to its open check"
    tell(Figure(row=3, what=what, against=BARE, ours=ours, base=bare, goal=3))
