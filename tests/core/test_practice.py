"""The practice: marked, apart, and its lessons say what was right, with no points, no clock and no names."""

from dataclasses import replace
from pathlib import Path

import pytest

from kiosk import resources
from kiosk.app.departments import PRACTICE_PIN, demo_catalogue, for_practice
from kiosk.app.opening import station_name
from kiosk.cli import main
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.views import ListView, SignInView
from kiosk.pins import PINS
from kiosk.store.bench_store import BenchStore, Outage
from kiosk.sync.beside import Beside
from tests.core.department import EAR, PLAIN, Shift, at_work
from tests.core.department import desk as small_desk


def practice() -> Shift:
    return Shift(desk=replace(small_desk(), practice=True, lessons=resources.lessons()))


def test_every_screen_of_the_practice_says_so() -> None:
    shift = practice()
    view = shift.session.view()
    assert isinstance(view, SignInView)
    assert "PRACTICE" in view.warning
    assert PRACTICE_PIN in view.warning
    seen = {view.head.notice}
    shift.sign_in()
    for page in (None, c.Page.LESSONS, c.Page.STOP, c.Page.SETTINGS):
        shift.must(c.Turn(page=page))
        seen.add(shift.session.view().head.notice)
    shift.must(c.Turn())
    shift.open(EAR)
    shift.count()
    while shift.step.kind == "check":
        seen.add(shift.session.view().head.notice)
        shift.yes()
    assert seen == {"PRACTICE"}
    assert at_work().session.view().head.notice == ""


def test_a_lesson_says_afterwards_what_was_done_and_nothing_about_who_or_how_fast() -> None:
    shift = practice()
    shift.sign_in()
    begun = shift.must(c.BeginLesson(lesson="L1"))
    assert begun == [e.LessonBegun(lesson="L1")]
    assert shift.log[-1].stamp.who is None
    shift.must(c.Turn())
    shift.open(PLAIN)
    shift.count()
    shift.must(c.Turn(page=c.Page.LESSON_END))
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert [row.value for row in view.rows][:3] == ["done", "done", "still to do"]
    told = str((view.title, view.rows))
    assert not any(word in told for word in ("second", "minute", "points", "Person"))


def test_lessons_belong_to_the_practice_alone() -> None:
    shift = at_work()
    shift.send(c.BeginLesson(lesson="L1"))
    assert shift.refused == "refused.not_asked"


def test_a_practice_is_heard_by_nobody_and_says_so_in_its_summary(tmp_path: Path, capsys) -> None:  # type: ignore[no-untyped-def]
    shift = practice()
    shift.sign_in()
    store = BenchStore(tmp_path / "practice", station_name("clean", 1, practice=True))
    store.keep(shift.log)
    store.close()
    real = BenchStore(tmp_path / "bench", station_name("clean", 2))
    beside = Beside(tmp_path / "practice")
    told = beside.fetch(real.heard.heads())
    assert told is not None
    with pytest.raises(Outage):
        real.heard.take(told.origin, told.rows, public_key=told.public_key)
    assert list(real.heard.read()) == []
    beside.close()
    real.close()
    with pytest.raises(Outage):
        BenchStore(tmp_path / "practice", station_name("clean", 1))
    assert main(["summary", "--shift", "day", "--date", "2031-03-04", "--store", str(tmp_path / "practice")]) == 0
    assert capsys.readouterr().out.startswith("PRACTICE")


def test_everybodys_number_in_the_practice_is_the_one_on_its_first_page() -> None:
    people = for_practice(demo_catalogue(1)).people.values()
    assert all(PINS.matches(PRACTICE_PIN, person.pin_hash) for person in people)
