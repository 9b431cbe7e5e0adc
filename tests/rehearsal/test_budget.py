"""What the tool costs a person, held to the department's limits. Source of the limits: common practice, no source."""

import sys
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.place import Place
from kiosk.rehearsal import budget
from kiosk.rehearsal.budget import BUDGET, Figure, Moment, Played, Touch
from kiosk.rehearsal.play import play_files

SCENARIOS = Path(__file__).parent.parent / "scenarios"

AT_LUMEN = Moment(page="AskView", step="check", piece="A1", lumen="bore")
NO = c.Answer(piece="A1", key="bore.swab", yes=False)
SAID_NO = e.CheckNo(piece="A1", key="bore.swab", took_ms=0)
FOUND = e.Found(n=1, piece="A1", key="bore.swab", code="bone_grit", group="soil", place=Place())
BACK = e.ItemBack(ticket="K-1", pieces=("A1",), findings=(1,), bench="wipe", gloves=True)


@pytest.fixture(scope="module")
def figures(qapp: QApplication, tmp_path_factory: pytest.TempPathFactory) -> dict[str, Figure]:
    files = [SCENARIOS / f"{name}.yaml" for name in PLAYED]
    results = play_files(files, Stage, out=tmp_path_factory.mktemp("budget"))
    assert [result.scenario for result in results if not result.held] == []
    rows = budget.table(Played(scenario=r.scenario, touches=r.touches) for r in results)
    return {figure.name: figure for figure in rows}


PLAYED = ("S01", "S06", "S08", "S09", "S17", "S20", "S44")


SECONDS = {name for name in BUDGET if "seconds" in name}


@pytest.mark.slow
@pytest.mark.parametrize("name", sorted(BUDGET.keys() - SECONDS))
def test_the_tool_costs_no_more_taps_than_its_budget(figures: dict[str, Figure], name: str) -> None:
    figure = figures[name]
    assert figure.measured is not None
    assert figure.holds, f"{figure.measured} in {figure.where}, at most {figure.budget}"


@pytest.mark.slow
def test_the_program_s_own_seconds_are_measured_and_told(
    figures: dict[str, Figure], capsys: pytest.CaptureFixture[str]
) -> None:
    for figure in (figures[name] for name in sorted(SECONDS)):
        assert figure.measured  # no verdict: how busy this machine is says nothing of the program
        with capsys.disabled():
            sys.stdout.write(f"\n{figure.name}: {figure.measured:.2f} in {figure.where}, budget {figure.budget:g}\n")


def test_each_tap_between_the_no_and_the_ticket_is_counted_and_the_work_of_the_hands_is_not() -> None:
    way = [
        Touch(at=AT_LUMEN, send=NO, kept=(SAID_NO,)),
        Touch(at=replace(AT_LUMEN, page="FindingView"), send="what"),
        Touch(at=replace(AT_LUMEN, page="FindingView"), send="where", kept=(FOUND,)),
        Touch(at=Moment(page="DecisionView", step="decide"), send=c.Turn(page=c.Page.PHOTO)),
        Touch(at=Moment(page="PhotoView", step="decide"), send="picture"),
        Touch(at=Moment(page="StepsView", step="gloves"), send="done"),
        Touch(at=Moment(page="DecisionView", step="decide"), send="confirm", kept=(BACK,)),
    ]
    assert budget.no_to_ticket(Played(scenario="X", touches=way)) == 4
    slower = [*way[:3], replace(way[1], send="a needless page"), *way[3:]]
    assert budget.no_to_ticket(Played(scenario="X", touches=slower)) == 5


def test_a_lumen_check_that_takes_three_taps_breaks_the_budget() -> None:
    yes = e.CheckYes(piece="A1", key="bore.swab", took_ms=0)
    asked = [Touch(at=AT_LUMEN, send=words) for words in ("sure?", "really?")]
    touches = [*asked, Touch(at=AT_LUMEN, send="YES", kept=(yes,))] * budget.FEWEST
    figure = {f.name: f for f in budget.table([Played(scenario="X", touches=touches)])}["taps per lumen check"]
    assert (figure.measured, figure.holds, figure.where) == (3, False, "X")


def test_an_overview_on_a_tray_without_lumens_breaks_the_budget() -> None:
    from tests.core.department import PLAIN, Shift

    shift = Shift()
    shift.sign_in()
    opened = e.TrayOpened(tray=shift.desk.catalogue.trays[PLAIN], load="W-1")
    scan = Touch(at=Moment(page="ScanView", step="scan"), send=PLAIN, kept=(opened,), scan=True)
    assert budget.taps_on_a_plain_tray(Played(scenario="X", touches=[scan])) == 0
    overview = Touch(at=Moment(page="OverviewView", step="count"), send=c.Turn())
    assert budget.taps_on_a_plain_tray(Played(scenario="X", touches=[scan, overview])) == 1


def test_not_sure_by_way_of_the_findings_breaks_the_budget() -> None:
    unsure = replace(FOUND, code="unsure", group="check")
    straight = [Touch(at=AT_LUMEN, send=replace(NO, unsure=True), kept=(SAID_NO, unsure))]
    assert budget.taps_for_dont_know(Played(scenario="X", touches=straight)) == 1
    menu = [Touch(at=AT_LUMEN, send=NO, kept=(SAID_NO,)), Touch(at=AT_LUMEN, send="not sure", kept=(unsure,))]
    assert budget.taps_for_dont_know(Played(scenario="X", touches=menu)) == 2


def test_what_was_not_played_is_said_to_be_so_and_holds_nothing() -> None:
    rows = budget.table([])
    assert {figure.holds for figure in rows} == {None}
    assert budget.as_text(rows).count("not played") == len(BUDGET)


def test_the_supervisor_called_a_sixth_time_in_a_shift_breaks_the_budget() -> None:
    calls = {("day", "supervisor"): 2, ("late", "supervisor"): 5, ("late", "tech"): 30}
    assert (budget.of_day(calls).measured, budget.of_day(calls).where, budget.of_day(calls).holds) == (5, "late", True)
    assert budget.of_day({**calls, ("day", "supervisor"): 6}).holds is False
