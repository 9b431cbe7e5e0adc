"""Looking back over the logs: what met a load, a scope, a lot; what is known of each since, and what is not."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.past import lookback
from kiosk.core.place import Place
from kiosk.core.stamp import Kept
from kiosk.core.vocabulary import Role
from tests.core.department import EAR, PIN, PLAIN, Shift, at_work, names, people, scan
from tests.core.test_desk import desk_with, paper
from tests.core.test_shift_summary import a_day, texts, to_desk


def question(shift: Shift, text: str) -> tuple[str, ...]:
    return lookback.met(shift.desk.records, lookback.guessed(text, shift.desk))


def test_what_a_load_met_is_found_with_its_last_known_place_and_what_is_not_known() -> None:
    shift = to_desk(a_day())
    trips = question(shift, "W-1")
    assert len(trips) == 2
    shift.must(c.RunLookback(kind="load", value="W-1", why="load_bad"))
    report = paper(shift, "lookback_report")
    text = texts(report)
    assert "2 trips met washer load W-1" in text
    assert "Last known: packed as B1-" in text
    assert "Last known: held at B1." in text
    assert "Whether a package was used" in text
    assert "known up to" in text
    for person in people().values():
        assert person.name not in text


@pytest.mark.parametrize(
    ("text", "many"),
    [
        ("SC-1", 1), ("A1", 1), (EAR, 1), (PLAIN, 1), (f"{PLAIN}/Forceps", 1), ("B1", 2), ("B2", 0), ("W-9", 0),
        ("item=X1", 0), ("person=T1", 2), ("person=T2", 0), ("time=", 2),
    ],
)  # fmt: skip
def test_a_lookback_finds_the_trips_that_met_it_and_no_other(text: str, many: int) -> None:
    assert len(question(to_desk(a_day()), text)) == many


def test_a_swab_lot_is_looked_back_from_its_box_to_the_next() -> None:
    shift = a_day()
    first = shift.log[0].stamp
    for lot, at_ms in (("4711", first.at_ms - 1), ("4712", shift.log[-1].stamp.at_ms)):
        shift.log.append(Kept(event=_lot(lot), stamp=replace(first, at_ms=at_ms, trip=None)))
    assert len(question(shift, "lot=4711")) == 1
    assert question(shift, "lot=4712") == ()


def _lot(lot: str) -> e.Event:
    from dataclasses import fields

    given: dict[str, object] = {field.name: "" for field in fields(e.SwabLotOpened) if field.name != "lot"}
    return e.SwabLotOpened(lot=lot, **given)


def test_a_complaint_opens_from_the_package_number_and_may_be_no_tray_of_ours() -> None:
    shift = to_desk(a_day())
    number = next(kept.event.number for kept in shift.log if isinstance(kept.event, e.Packed))
    shift.session.send(c.Turn(page=Page.LOOKBACK))
    shift.session.send(scan(number, Kind.LABEL))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert [row.value for row in view.rows] == ["B1"]
    shift.session.send(c.Turn(page=Page.LOOKBACK))
    shift.session.send(scan("B7-310304-0001", Kind.LABEL))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert "may not be a tray of ours" in view.nothing


def test_a_second_run_is_a_new_number_and_the_first_stays() -> None:
    shift = to_desk(a_day())
    numbers = []
    for _ in range(2):
        shift.must(c.RunLookback(kind="load", value="W-1", why="audit"))
        numbers.append(paper(shift, "lookback_report").number)
    assert numbers == ["LB-10001", "LB-10002"]
    runs = [kept.event for kept in shift.log if isinstance(kept.event, e.LookbackRun)]
    assert [run.number for run in runs] == numbers


def test_by_person_only_a_supervisor_looks_back_and_only_after_the_reason_is_kept() -> None:
    shift = to_desk(a_day())
    shift.session.send(c.Turn(page=Page.LOOKBACK, subject="person=T1"))
    assert isinstance(shift.session.view(), v.MenuView)
    assert not shift.session.send(c.RunLookback(kind="person", value="T1", why=""))
    shift.must(c.RunLookback(kind="person", value="T1", why="trouble"))
    text = texts(paper(shift, "lookback_report"))
    assert "Person T1" not in text
    teacher = replace(people()["S1"], id="E1", role=Role.EDUCATOR, badge="E1")
    catalogue = replace(shift.desk.catalogue, people={**people(), "E1": teacher})
    teach = Shift(desk=replace(shift.desk, catalogue=catalogue))
    teach.must(c.EnterPin(person="E1", pin=PIN))
    assert names(teach.send(c.RunLookback(kind="person", value="T1", why="trouble"))) == ["try_refused"]
    assert teach.refused == "refused.not_at_desk"
    assert teach.send(c.RunLookback(kind="load", value="W-1", why="trouble"))


def test_a_withdrawn_finding_stands_on_no_lookback() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=10))
    shift.must(c.TakeBack())
    (one,) = lookback.trace(shift.desk.records, question(shift, EAR), shift.desk.policy)
    assert one.found == ()


def test_answers_that_could_not_be_so_stand_on_the_lookback() -> None:
    """A YES through the scope after a second, and one through a scope that another bench had taken out of use."""
    shift = at_work(EAR, look_time="off")
    shift.yes_until("A1.bore.scope")
    shift.yes(took_ms=1_000)
    shift.yes_to_all()
    (one,) = lookback.trace(shift.desk.records, question(shift, EAR), shift.desk.policy)
    assert (one.fast, one.out_of_use) == (1, 0)
    used = next(kept for kept in shift.log if isinstance(kept.event, e.CheckYes) and kept.event.tool.startswith("SC-"))
    assert isinstance(used.event, e.CheckYes)
    stamp = replace(used.stamp, at_ms=used.stamp.at_ms - 1, trip=None)
    shift.log.insert(0, Kept(event=e.ScopeOutOfUse(scope=used.event.tool, why="soil"), stamp=stamp))
    (one,) = lookback.trace(shift.desk.records, question(shift, EAR), shift.desk.policy)
    assert one.out_of_use >= 1
    shift.must(c.StopHere(reason="end_of_shift"), c.SignOut())
    desk_with(shift)
    shift.must(c.RunLookback(kind="tray", value=EAR, why="audit"))
    said = texts(paper(shift, "lookback_report"))
    assert "sooner than the pace: 1" in said
    assert "a scope that was out of use: " in said
