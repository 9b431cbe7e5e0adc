"""When the bench sounds, and that the screen says the same: by the policy two sounds, or many, or none."""

from kiosk import resources
from kiosk.app.sounding import AGAIN_MS, Sounding
from kiosk.core import commands as c
from kiosk.core.meaning import Kind
from kiosk.devices.tones import SOUNDS
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
