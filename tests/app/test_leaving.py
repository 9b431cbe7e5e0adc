"""The way out of the bench: a supervisor's, kept in the log, to the end of the program or to the set-up."""

from pathlib import Path

import pytest

from kiosk.app.station_file import FILE, read_station
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.set_up import OF_DEPARTMENT, Ask
from tests.app.driven import prepare, run
from tests.core.department import EAR, Shift, at_work, names


def test_a_tech_does_not_leave_the_bench_and_the_try_is_kept() -> None:
    shift = at_work(EAR)
    kept = shift.send(c.LeaveStation(to="close"))
    assert kept
    assert "station_left" not in names(kept)
    assert shift.bench.who is not None


@pytest.mark.parametrize("to", ["close", "set_up"])
def test_the_desk_says_back_what_happens_before_a_supervisor_leaves(to: str) -> None:
    shift = Shift()
    shift.sign_in("S1")
    shift.must(c.Turn(page=c.Page.DESK))
    keys: list[v.Key] = []
    for _ in range(3):
        page = shift.session.view()
        assert isinstance(page, v.MenuView)
        keys += page.keys
        more = next((key for key in page.keys if key.name == "more of the desk"), None)
        if more is None or more.send is None:
            break
        shift.must(more.send)
    turn = c.Turn(page=c.Page.LEAVE, subject=to)
    assert turn in [key.send for key in keys]
    shift.must(turn)
    said = shift.session.view()
    assert isinstance(said, v.StopView)
    assert said.main is not None
    assert said.main.send == c.LeaveStation(to=to)
    kept = shift.must(said.main.send)
    assert names(kept)[0] == "station_left"
    assert shift.bench.who is None


def test_nobody_leaves_to_anywhere_else() -> None:
    shift = Shift()
    shift.sign_in("S1")
    assert not shift.send(c.LeaveStation(to="shell"))


@pytest.mark.slow
def test_a_supervisor_closes_the_program(tmp_path: Path) -> None:
    prepare(tmp_path / "store")
    told = run(tmp_path / "store", "close")
    assert [row.get("page") for row in told if "page" in row] == []


@pytest.mark.slow
def test_a_supervisor_leaves_to_the_set_up_and_the_next_start_goes_on_with_it(tmp_path: Path) -> None:
    """What is the department's is not asked again; a start after a cut stands on the page that was not answered."""
    prepare(tmp_path / "store")
    told = run(tmp_path / "store", "set_up")
    assert told[-1]["page"] == Ask.CARD
    left = read_station(tmp_path / "store" / FILE)
    assert set(left.answered) == {ask.value for ask in OF_DEPARTMENT}
    assert run(tmp_path / "store", "start")[-1]["page"] == Ask.CARD


@pytest.mark.slow
def test_a_store_that_was_never_set_up_begins_with_the_language(tmp_path: Path) -> None:
    assert run(tmp_path / "store", "start")[0]["page"] == Ask.LANGUAGE
