"""What may have been touched since: on the list and the lookback report, by which way, and what is not known."""

from dataclasses import replace

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.catalogue import Tray
from kiosk.core.commands import Page
from kiosk.core.past import lookback
from kiosk.core.past.records import LogRecords
from kiosk.core.stamp import Kept
from tests.core.department import EAR, SPARE, TUBE, Shift
from tests.core.test_desk import paper
from tests.core.test_shift_summary import a_day, texts, to_desk

OTHER = Tray(code="TR-77", name="Sinus set", items=(replace(SPARE, id="Z7"), replace(SPARE, id="Z8", qty=2)))
THIRD = Tray(code="TR-78", name="Nose set", items=(replace(SPARE, id="Z7"), replace(SPARE, id="Z8")))


def a_scope_goes_on() -> Shift:
    """The scope of the ear set was on a tray of another bench a moment later, and a piece of that in a third tray."""
    shift = a_day()
    used = next(k for k in shift.log if isinstance(k.event, e.CheckYes) and k.event.tool.startswith("SC-"))
    assert isinstance(used.event, e.CheckYes)

    def told(event: e.Event, more_ms: int, trip: str) -> Kept:
        return Kept(event=event, stamp=replace(used.stamp, at_ms=used.stamp.at_ms + more_ms, trip=trip))

    there = [
        told(e.TrayOpened(tray=OTHER, load="W-5"), -1000, "T-77"),
        told(e.CheckYes(piece="Z7", key="bore.scope", took_ms=9000, tool=used.event.tool), 1, "T-77"),
        told(e.TrayOpened(tray=THIRD, load="W-6"), 3_600_000, "T-78"),
    ]
    shift.session.desk = replace(shift.desk, records=LogRecords(lambda: {"B1": shift.log, "B2": there}))
    return to_desk(shift)


def test_the_list_shows_those_that_met_it_and_then_those_that_may_have_been_touched_each_with_its_way() -> None:
    shift = a_scope_goes_on()
    shift.session.send(c.Turn(page=Page.LOOKBACK, subject=f"tray={EAR}"))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert view.help == "2 more may have been touched since."
    met, third, other = view.rows
    assert "Last known" in met.sub
    assert third.title == "Nose set · TR-78"
    assert third.sub.startswith("By Z7, 2031-")
    assert other.title == "Sinus set · TR-77"
    assert other.sub.startswith("By scope SC-1, 2031-")
    assert f"before on {EAR}, no cleaning recorded between" in other.sub


def test_what_is_followed_up_to_a_moment_knows_nothing_of_what_came_after() -> None:
    shift = a_scope_goes_on()
    question = lookback.Question(kind="tray", value=EAR)
    both = lookback.chained(shift.session.desk.records, question)
    early = lookback.chained(shift.session.desk.records, question, until_ms=both.trips[-1].at_ms - 1)
    assert [one.trip for one in both.trips] == ["T-77", "T-78"]
    assert [one.trip for one in early.trips] == ["T-77"]
    assert lookback.chained(shift.session.desk.records, question, most=1).further == 1


@pytest.mark.parametrize("kind", ["load=W-1", "scope=SC-1", f"item={TUBE.id}", f"line={EAR}/Forceps", "bench=B1"])
def test_a_chain_begins_from_whatever_is_looked_back(kind: str) -> None:
    shift = a_scope_goes_on()
    trips = lookback.chained(shift.session.desk.records, lookback.guessed(kind, shift.desk)).trips
    assert "T-78" in {one.trip for one in trips}


def test_from_a_person_nothing_goes_on() -> None:
    shift = a_scope_goes_on()
    assert not lookback.chained(shift.session.desk.records, lookback.Question(kind="person", value="T1")).trips


@pytest.mark.parametrize("code", ["en", "es"])
def test_the_report_says_the_way_the_steps_the_last_known_place_and_what_is_not_known(code: str) -> None:
    shift = a_scope_goes_on()
    shift.session.words = resources.words(code)
    shift.must(c.RunLookback(kind="tray", value=EAR, why="audit"))
    text = texts(paper(shift, "lookback_report"))
    for said in {
        "en": ("May also have been touched", "Sinus set · TR-77 · trip T-77", "Scope SC-1 came to Z7", "2 steps from",
               "Last known: open at B2", "in another tray later: Z8.", "Gloves, towels", "2 more may have"),
        "es": ("También pudieron ser tocados", "Sinus set · TR-77 · paso T-77", "El boroscopio SC-1 llegó a Z7",
               "A 2 saltos", "Lo último: abierta en B2", "luego en otra bandeja: Z8.", "No se siguen guantes", "2 más"),
    }[code]:  # fmt: skip
        assert said in text, said
