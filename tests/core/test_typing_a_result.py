"""A result of a cleaning test is typed at the desk, field by field; what was sampled is scanned or typed."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.views import ListView, MenuView, NoteView, NumberView
from tests.core.department import EAR, Shift, scan
from tests.core.test_kept_tests import SWABBED, at_desk, page


def test_the_pages_ask_field_by_field_and_scans_say_meter_and_what_was_sampled() -> None:
    shift = at_desk()
    shift.must(c.Turn(page=Page.CLEANING_TESTS))
    for name in ("new result", "kind atp", "unit RLU", "method swab"):
        touch(shift, name)
    shift.must(scan("LUM-9", Kind.UNKNOWN))
    view = shift.session.view()
    assert isinstance(view, NoteView)
    assert "meter LUM-9" in view.help
    shift.must(scan(EAR))  # of the tray: no tray is opened here
    assert shift.bench.trip is None
    asked = shift.session.view()
    assert isinstance(asked, NumberView)
    assert asked.title == "What does it read, in RLU?"
    assert asked.help == f"ATP · RLU · meter LUM-9 · Ear set · {EAR}"
    assert isinstance(asked.send, c.KeepCleaningTest)
    shift.must(replace(asked.send, value="12"))
    shown = shift.session.view()
    assert isinstance(shown, MenuView)
    assert shown.title == "ATP: 12 RLU, no level set"


def touch(shift: Shift, name: str) -> None:
    view = shift.session.view()
    assert isinstance(view, ListView | MenuView)
    foot = (*view.rows, view.main, *view.others) if isinstance(view, ListView) else view.keys
    send = next(each.send for each in (*foot, *view.hand.right) if each and each.name == name)
    assert send is not None
    shift.must(send)


@pytest.mark.parametrize(("kind", "text", "about"), [(Kind.LOAD, "W-1", "load=W-1"), (Kind.ITEM, "M|1", "item=M 1")])
def test_a_load_or_a_marked_piece_is_what_a_result_is_about(kind: Kind, text: str, about: str) -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, about="", value=""), scan(text, kind))
    asked = shift.session.view()
    assert isinstance(asked, NumberView)
    assert isinstance(asked.send, c.KeepCleaningTest)
    (kept,) = shift.must(replace(asked.send, value="3"))
    assert isinstance(kept, e.CleaningTestKept)
    assert kept.about == about


@pytest.mark.parametrize(
    ("typed", "about"), [("tr-1", "tray=TR-1"), ("w-1", "load=W-1"), ("sink  two", "other=sink two")]
)
def test_what_is_typed_is_what_the_catalogue_knows_it_as(typed: str, about: str) -> None:
    shift = at_desk()
    (kept,) = shift.must(replace(SWABBED, about=typed))
    assert isinstance(kept, e.CleaningTestKept)
    assert kept.about == about


@pytest.mark.parametrize("value", ["", ".", "-1", "NaN", "1e9", "x"])
def test_what_is_no_reading_is_not_kept(value: str) -> None:
    shift = at_desk()
    shift.send(replace(SWABBED, value=value or "."))
    assert shift.refused == "refused.test_value"
    assert not shift.bench.tests.kept


@pytest.mark.parametrize("field", ["kind", "unit", "method"])
def test_what_is_not_on_offer_is_not_kept(field: str) -> None:
    shift = at_desk()
    shift.send(replace(SWABBED, **{field: "nothing"}))
    assert shift.refused == "refused.not_asked"


def test_another_thing_is_named_by_whoever_keeps_it_and_has_no_level() -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, kind="other", unit="EU/instrument", meter="-", value="2"))
    assert isinstance(shift.session.view(), NoteView)
    shift.must(replace(SWABBED, kind="other", what="Endotoxin", unit="EU/instrument", meter="-", value="2"))
    assert (page(shift).rows[0].title, page(shift).rows[0].value) == ("Endotoxin: no level set", "2 EU/instrument")
