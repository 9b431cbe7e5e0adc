"""The catalogue by touch: every change a new version with who and why; open trips keep the record they began with."""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.viewing.records import unconfirmed
from kiosk.core.views import ListView, MenuView, NoteView, NumberView
from kiosk.core.vocabulary import Check, Feature, Learnt
from tests.core.department import BIG, EAR, HOLD, PIN, Shift, at_work


def at_desk() -> Shift:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    return shift


def touch(shift: Shift, name: str) -> None:
    """Touch the row or key of that name on the page."""
    view = shift.session.view()
    assert isinstance(view, ListView | MenuView)
    rows = view.rows if isinstance(view, ListView) else ()
    foot = (view.main, *view.others) if isinstance(view, ListView) else view.keys
    keys: list[Any] = [*rows, *(key for key in foot if key), *view.hand.right]
    send = next(each.send for each in keys if each.name == name)
    assert send is not None
    shift.must(send)


def test_an_unknown_lumen_is_measured_looked_up_and_confirmed_once_and_then_known() -> None:
    shift = at_desk()
    shift.must(c.Turn(page=c.Page.DESK))
    before = len(unconfirmed(shift.session.desk.catalogue))
    shift.must(c.Turn(page=c.Page.RECORDS))
    touch(shift, "unconfirmed")
    touch(shift, "unconfirmed A4 bore")
    touch(shift, "bore inside_mm")
    asked = shift.session.view()
    assert isinstance(asked, NumberView)
    assert isinstance(asked.send, c.KeepItem)
    shift.must(replace(asked.send, value="2.4"))
    assert len(unconfirmed(shift.session.desk.catalogue)) == before
    touch(shift, "bore source")
    asked = shift.session.view()
    assert isinstance(asked, NoteView)
    assert isinstance(asked.done.send, c.KeepItem)
    shift.must(replace(asked.done.send, value="IFU binder 3, page 12, 2030-05"))
    item = shift.session.desk.catalogue.trays[HOLD].items[0]
    assert (item.lumens[0].inside_mm, item.lumens[0].learnt, item.version) == (Decimal("2.4"), Learnt.IFU, 3)
    assert len(unconfirmed(shift.session.desk.catalogue)) == before - 1
    last = shift.log[-1]
    assert isinstance(last.event, e.RecordCorrected)
    assert (last.stamp.who, last.event.source) == ("S1", "IFU binder 3, page 12, 2030-05")
    assert shift.session.desk.catalogue.version == shift.desk.catalogue.version + 2


def test_open_trips_keep_their_record_and_the_next_trip_has_the_new_one() -> None:
    shift = at_work(EAR)
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    shift.must(c.KeepTray(tray=EAR, line="Forceps", want=5))
    old = next(iter(shift.bench.trips.values()))
    assert [line.want for line in old.tray.lines if line.name == "Forceps"] == [4]
    tray = shift.session.desk.catalogue.trays[EAR]
    assert [line.want for line in tray.lines if line.name == "Forceps"] == [5]
    assert tray.version == 2


def test_lines_are_added_counted_anew_and_taken_out() -> None:
    shift = at_desk()
    shift.must(c.KeepTray(tray=EAR, line="Ear hook"))
    asked = shift.session.view()
    assert isinstance(asked, NumberView)
    assert asked.field == "want"
    shift.must(c.KeepTray(tray=EAR, line="Ear hook", want=2), c.KeepTray(tray=EAR, line="Forceps", want=0))
    assert [line.name for line in shift.session.desk.catalogue.trays[EAR].lines][-1] == "Ear hook"
    shift.send(c.KeepTray(tray=EAR, line="Ear hook"))
    assert shift.refused == "refused.line_there"
    shift.send(c.KeepTray(tray=EAR, line="Bent tube", want=0))
    assert shift.refused == "refused.line_of_item"
    shift.must(c.KeepTray(tray=EAR, name="Ear set, small"))
    assert shift.session.desk.catalogue.trays[EAR].name == "Ear set, small"


def test_shape_and_what_the_ifu_forbids_are_put_in_and_taken_out_by_touch() -> None:
    shift = at_desk()
    shift.must(c.Turn(page=c.Page.ITEM_RECORD, subject=f"{BIG}/A1/forbid/bore"))
    touch(shift, "forbid scope")
    shift.must(c.Turn(page=c.Page.ITEM_RECORD, subject=f"{BIG}/A1/feature/bore"))
    touch(shift, "feature curved")
    way = shift.session.desk.catalogue.trays[BIG].items[1].lumens[0]
    assert (way.forbid, way.features) == (frozenset({Check.SCOPE}), frozenset())
    assert Feature.CURVED in shift.session.desk.catalogue.trays[EAR].items[0].lumens[0].features
    plan = shift.desk.make_plan(
        shift.session.desk.catalogue.trays[BIG].items, shift.desk.policy, shift.desk.catalogue.kit, frozenset()
    )
    assert Check.SCOPE not in {check.check for check in plan[1].checks}


@pytest.mark.parametrize("value", ["", "0", "-1", "x", "9999", "NaN", "1e999"])
def test_a_size_that_can_not_be_is_told_in_one_sentence_and_nothing_changes(value: str) -> None:
    shift = at_desk()
    before = shift.session.desk.catalogue
    shift.send(c.KeepItem(tray=EAR, item="A1", field="inside_mm", lumen="bore", value=value))
    assert shift.refused == "refused.record_value"
    assert shift.session.desk.catalogue == before


def test_a_tech_edits_no_sizes() -> None:
    shift = at_work(EAR)
    for send in (
        c.KeepItem(tray=EAR, item="A1", field="inside_mm", lumen="bore", value="2"),
        c.KeepTray(tray=EAR, name="Mine"),
        c.KeepKit(field="air_station"),
        c.KeepLoad(load="W-2", released=True),
    ):
        shift.send(send)
        assert shift.refused == "refused.supervisor_only"


def test_kit_and_loads_are_changed_by_touch() -> None:
    shift = at_desk()
    shift.must(c.Turn(page=c.Page.KIT_RECORD))
    touch(shift, "air_station")
    touch(shift, "gone SC-2")
    kit = shift.session.desk.catalogue.kit
    assert (kit.air_station, [scope.id for scope in kit.scopes]) == (False, ["SC-1"])
    shift.must(c.Turn(page=c.Page.LOAD_RECORDS))
    touch(shift, "load W-2")
    assert shift.session.desk.catalogue.loads["W-2"].released
