"""A clock that is set anew in the middle of a tray; the same warning twice; who comes back after quiet; no sound.

Source of each rule: JOB section 6 (clock wrong, alarm fatigue, shared login, hearing).
"""

import re
from pathlib import Path

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.desk import Now
from kiosk.core.views import SignInView, StepsView
from tests.core.department import EAR, PIN, Shift, at_work, scan

HOUR = 60


def test_a_pause_over_a_clock_set_back_is_never_a_negative_time() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.must(c.StopHere(reason="break"))
    shift.minutes(-HOUR)
    resumed = next(event for event in shift.must(scan(EAR)) if isinstance(event, e.Resumed))
    assert resumed.minutes == 0


def test_what_was_kept_stays_in_its_order_and_the_bench_folds_to_the_same() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    before = len(shift.log)
    shift.minutes(-HOUR)
    shift.yes_to_all()
    shift.pack()
    times = [kept.stamp.at_ms for kept in shift.log]
    assert times[before] < times[before - 1]
    assert shift.folded() == shift.bench
    assert shift.bench.trip is not None
    assert shift.bench.trip.packed_ms is not None


class Summer(Shift):
    """A shift whose local time jumps, while true time goes on."""

    offset = 60

    def now(self) -> Now:
        return Now(at_ms=self.at_ms, offset_min=self.offset)


def test_the_offset_is_kept_with_every_record_and_waits_are_true_time() -> None:
    shift = Summer()
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.must(c.StopHere(reason="break"))
    shift.offset = 0
    shift.minutes(20)
    resumed = next(event for event in shift.must(scan(EAR)) if isinstance(event, e.Resumed))
    assert resumed.minutes == 20
    assert [kept.stamp.offset_min for kept in shift.log][-1] == 0
    assert shift.log[0].stamp.offset_min == 60


def test_a_bench_that_is_kept_wet_over_a_clock_set_back_is_wetted_again_and_never_waits_an_hour() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("red_mark")
    shift.confirm("tray_back")
    shift.must(c.SetLabelTime(minutes=3))
    for number in range(3):
        shift.must(c.StepDone(step="bench", number=number))
    shift.minutes(-HOUR)
    shift.must(c.StepDone(step="bench", number=3))
    assert shift.session.notice == ("notice.clock_back", {})
    assert isinstance(shift.session.view(), StepsView)
    shift.send(c.StepDone(step="bench", number=3))
    assert shift.refused == "refused.still_wetting"
    shift.minutes(3)
    shift.must(c.StepDone(step="bench", number=3))
    assert e.BenchCleaned(level="full", wet_minutes=3) in shift.must(c.StepDone(step="bench", number=4))


def quick(shift: Shift) -> bool:
    """Answer the next look too fast; is it asked about?"""
    while shift.step.check is None or shift.step.check.check != "scope":
        shift.yes()
    step = shift.step
    assert step.check is not None
    shift.send(c.Answer(piece=step.piece, key=step.check.key, yes=True, took_ms=1000))
    asked = shift.session.notice is not None and shift.session.notice[0] == "notice.quick_look"
    if asked:
        shift.must(c.Answer(piece=step.piece, key=step.check.key, yes=True, took_ms=1500, sure=True))
    return asked


def test_the_same_warning_is_given_once_in_a_trip_and_the_times_are_kept() -> None:
    shift = at_work(EAR)
    assert [quick(shift), quick(shift), quick(shift)] == [True, False, False]
    looks = [kept.event for kept in shift.log if isinstance(kept.event, e.CheckYes) and kept.event.key == "bore.scope"]
    assert [look.took_ms for look in looks] == [1500, 1000, 1000]


def first_name(shift: Shift) -> str:
    shown = shift.session.view()
    assert isinstance(shown, SignInView)
    return shown.people[0].label


def test_after_quiet_the_one_who_stood_here_comes_first_and_types_only_a_number() -> None:
    shift = at_work(EAR)
    shift.must(c.SignOut(idle=True))
    assert first_name(shift) == "Still Person T1?"
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.trip.counted


def test_who_signed_out_on_purpose_is_not_asked_for() -> None:
    shift = at_work(EAR)
    shift.must(c.SignOut())
    assert "Still" not in first_name(shift)


def test_neither_rules_nor_screens_play_a_sound() -> None:
    """What a sound would say must be seen anyway: the rules and the screens are whole without one."""
    sounds = re.compile(r"QtMultimedia|QSoundEffect|QAudioSink|QApplication\.beep|\bbeep\(")
    kiosk = Path(__file__).resolve().parents[2] / "kiosk"
    rooms = [path for room in ("core", "ui", "store", "sync", "paper") for path in (kiosk / room).rglob("*.py")]
    assert len(rooms) > 100
    assert not [path.name for path in rooms if sounds.search(path.read_text(encoding="utf-8"))]
