"""When the bench sounds, and that the screen says the same: by the policy two sounds, or many, or none."""

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.app.sounding import AGAIN_MS, Sounding
from kiosk.app.stage import Stage
from kiosk.core import commands as c
from kiosk.core.meaning import Kind
from kiosk.core.views import AskView
from kiosk.devices.tones import SOUNDS
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import read_scenario
from kiosk.rehearsal.world import build
from kiosk.ui.parts.key_path import targets
from tests.core.department import EAR, Shift, at_work, scan
from tests.core.two_sides import item_sent, two_sides

Played = list[tuple[str, str]]


class _Ear:
    """Hears what would be played."""

    def __init__(self) -> None:
        self.heard: Played = []

    def play(self, name: str, level: str) -> None:
        assert name in SOUNDS
        self.heard.append((name, level))


class _Bench:
    """A bench with sounds, sent to as the kiosk sends."""

    def __init__(self, shift: Shift) -> None:
        self.shift, self.ear, self.now = shift, _Ear(), 0
        self.sounding = Sounding(shift.session, self.ear, lambda: self.now)

    def send(self, send: c.Send) -> Played:
        self.ear.heard.clear()
        before = self.shift.session.notice
        kept = self.shift.session.send(send)
        self.sounding.follow(send, kept, before)
        return list(self.ear.heard)


def _answer(shift: Shift, *, yes: bool, unsure: bool = False) -> c.Answer:
    step = shift.step
    assert step.check is not None
    return c.Answer(piece=step.piece, key=step.check.key, yes=yes, unsure=unsure, took_ms=90_000)


def test_a_scan_that_is_taken_is_short_and_one_that_is_not_is_long_with_its_sentence() -> None:
    bench = _Bench(Shift())
    bench.shift.sign_in("T1")
    assert bench.send(scan("TR-99")) == [("not_taken", "normal")]
    assert bench.shift.session.notice is not None
    assert bench.send(scan(EAR)) == [("taken", "normal")]
    assert bench.send(scan("W-0", Kind.SCOPE)) == [("not_taken", "normal")]
    assert bench.shift.session.notice is not None


def test_with_two_sounds_touches_and_answers_are_silent_and_what_is_refused_is_not() -> None:
    bench = _Bench(at_work())
    assert bench.send(c.Turn(page=c.Page.OVERVIEW)) == []
    assert bench.send(c.Turn()) == []
    assert bench.send(_answer(bench.shift, yes=True)) == []
    assert bench.send(c.ChooseSetting(key="foot", value="left")) == [("not_taken", "normal")]
    assert bench.shift.session.notice == ("refused.not_asked", {})
    bench.sounding.not_taken()
    assert bench.ear.heard == [("not_taken", "normal")]  # of the command before: the guard's is none of the two


def test_with_many_sounds_each_answer_has_its_own() -> None:
    bench = _Bench(at_work(sounds="many", sound_level="low"))
    assert bench.send(c.Turn(page=c.Page.OVERVIEW)) == [("taken", "low")]
    bench.send(c.Turn())
    assert bench.send(_answer(bench.shift, yes=True)) == [("yes", "low")]
    assert bench.send(_answer(bench.shift, yes=True)) == [("yes", "low")]
    unsure = _answer(bench.shift, yes=False, unsure=True)
    assert bench.send(unsure) == [("unsure", "low")]
    bench.ear.heard.clear()
    bench.sounding.not_taken()
    assert bench.ear.heard == [("not_taken", "low")]


def test_what_comes_by_itself_makes_no_sound() -> None:
    bench = _Bench(at_work(sounds="many"))
    for send in (c.Heard(), c.SignOut(idle=True), c.Started(last_alive_ms=None)):
        assert bench.send(send) == []


def test_without_a_player_everything_goes_on() -> None:
    shift = at_work()
    sounding = Sounding(shift.session, None, lambda: 0)
    kept = shift.session.send(_answer(shift, yes=True))
    sounding.follow(c.Turn(), kept, None)
    sounding.not_taken()
    sounding.look()


def test_as_delivered_there_are_two_sounds_and_the_policy_has_a_word_for_each_choice() -> None:
    policy = resources.policy()
    assert (policy.sounds, policy.sound_level) == ("two", "normal")


def test_a_new_return_is_called_out_in_decontam_once_and_again_after_five_minutes_until_it_is_taken_in() -> None:
    sides, now, dirty, clean = two_sides(), [0], _Ear(), _Ear()
    here = Sounding(sides.dirty.session, dirty, lambda: now[0])
    there = Sounding(sides.bench.session, clean, lambda: now[0])
    sides.hear()
    here.look()
    assert dirty.heard == []  # nothing waits
    sides = item_sent()
    here = Sounding(sides.dirty.session, dirty, lambda: now[0])
    there = Sounding(sides.bench.session, clean, lambda: now[0])
    sides.hear()
    for at in (1_000, 2_000, 200_000):
        now[0] = at
        here.look()
        there.look()
    assert dirty.heard == [("new_return", "normal")]
    now[0] = 1_000 + AGAIN_MS
    here.look()
    assert dirty.heard == [("new_return", "normal")] * 2
    sides.at_decontam(scan("K-10001", Kind.TICKET))
    now[0] += 2 * AGAIN_MS
    here.look()
    there.look()
    assert len(dirty.heard) == 2
    assert clean.heard == []  # the one who sent it is not called


@pytest.fixture
def player(qapp: QApplication, tmp_path: Path) -> Iterator[Player]:
    scenario = read_scenario(Path(__file__).parent.parent / "scenarios" / "S01.yaml")
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    yield player
    player.close()


def _heard(kiosk: Any, **policy: str) -> Played:
    """Sounds of a running kiosk, from here on."""
    ear = _Ear()
    kiosk.sounding._player = ear
    desk = kiosk.session.desk
    kiosk.session.use(replace(desk, policy=replace(desk.policy, **policy)))
    return ear.heard


def test_the_running_bench_sounds_when_the_sentence_is_on_the_screen(player: Player) -> None:
    player.who = "T1"
    player.do_sign_in({})
    kiosk: Any = player.stage.kiosk
    heard = _heard(kiosk)
    kiosk.scanned("no such label")
    assert heard == [("not_taken", "normal")]
    assert "no such label" in kiosk.session.view().notice
    kiosk.scanned("TR-0417")
    assert heard[1:] == [("taken", "normal")]
    assert kiosk.session.bench.trip is not None


def test_a_touch_that_the_guard_lets_go_by_is_low_where_there_are_many_sounds(player: Player) -> None:
    player.who = "T1"
    player.do_sign_in({})
    kiosk: Any = player.stage.kiosk
    heard = _heard(kiosk, sounds="many")
    kiosk.send(c.Turn(page=c.Page.STOP))
    target = targets(kiosk.window.current)[0]
    heard.clear()
    QTest.mouseClick(target, Qt.MouseButton.LeftButton)  # the page is new: 350 ms are not over
    assert heard == [("not_taken", "normal")]


def test_the_foot_key_answers_yes_at_the_running_bench_for_whoever_chose_it(player: Player) -> None:
    player.who = "T1"
    player.do_sign_in({})
    kiosk: Any = player.stage.kiosk
    kiosk.window.path.foot_key = Qt.Key.Key_F13
    kiosk.scanned("TR-0417")
    player.do_count({"lines": "all", "is": "ok"})
    while not isinstance(kiosk.session.view(), AskView) or kiosk.step() != "check":
        kiosk.send(c.Turn())
    step = player.stage.kiosk.session.glance().step
    assert step.check is not None
    for chosen in ("none", "yes"):
        kiosk.send(c.ChooseSetting(key="foot", value=chosen))
        kiosk.clock.advance(60_000)
        QTest.keyClick(kiosk.window, Qt.Key.Key_F13)
        answered = kiosk.session.glance().step != step
        assert answered is (chosen == "yes")
