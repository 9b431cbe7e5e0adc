"""Cleaning tests at the desk: results with unit, method and meter, by the department's levels; they clear nothing.

Sources: the published levels beside `PUBLISHED`; light units of two meters "read on a different relative scale" and are
not compared (Whiteley and others, a record of Western Sydney University); a low reading never overrides soil that was
seen (PLOS ONE 2014;9(6):e99951); action levels are criteria for washing processes (ISO 15883-5:2021).
"""

from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import waiting
from kiosk.core.cleaning_tests import Grade, KeptTest, LevelFault, Marker, Result, by_scale, highest, is_more
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.evolve import evolve
from kiosk.core.folds.cleaning_tests import MOST
from kiosk.core.papers import Report
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.together.kept_tests import every_test, unanswered
from kiosk.core.views import AskView, ListRow, ListView, MenuView, NoteView
from tests.core.department import EAR, PIN, PLAIN, Shift, at_work, desk, names, scan
from tests.core.two_benches import stations

LEVELS = {"atp RLU LUM-7": [100, 250], "protein µg/cm²": ["3", "6.4"]}
SWABBED = c.KeepCleaningTest(kind="atp", unit="RLU", method="swab", meter="LUM-7", about=f"tray={EAR}", value="40")


def at_desk(**policy: Any) -> Shift:
    shift = Shift(desk=desk(cleaning_levels=LEVELS, **policy))
    shift.must(c.EnterPin(person="S1", pin=PIN))
    return shift


def on_list(shift: Shift) -> list[waiting.Line]:
    found = waiting.lines(shift.bench, shift.session.desk, shift.now())
    return [line for line in waiting.some(found, waiting.RULED) if line.kind == "test"]


def page(shift: Shift, where: Page = Page.CLEANING_TESTS, subject: str = "") -> ListView:
    shift.must(c.Turn(page=where, subject=subject))
    view = shift.session.view()
    assert isinstance(view, ListView)
    return view


def test_a_result_is_kept_with_unit_method_meter_and_the_levels_of_then() -> None:
    shift = at_desk()
    (kept,) = shift.must(replace(SWABBED, value="120"))
    assert kept == e.CleaningTestKept(
        number="CT-10001", kind="atp", value="120", unit="RLU", method="swab", meter="LUM-7", about=f"tray={EAR}",
        alert="100", action="250", level_unit="RLU",
    )  # fmt: skip
    shift.session.use(desk(cleaning_levels={"atp RLU LUM-7": [10, 20]}))
    (test,) = every_test(shift.bench, shift.session.desk)
    assert test.grade is Grade.ALERT  # by the levels of then, not by those of today


@pytest.mark.parametrize(
    ("value", "grade"),
    [("99", Grade.UNDER), ("100", Grade.ALERT), ("249", Grade.ALERT), ("250", Grade.ACTION)],
)
def test_a_result_lies_under_the_levels_at_alert_or_at_action_by_the_departments_own(value: str, grade: Grade) -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, value=value))
    assert every_test(shift.bench, shift.session.desk)[0].grade is grade


def test_no_published_level_counts_before_the_department_has_set_it() -> None:
    assert resources.policy().cleaning_levels == ()
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    kept = shift.must(replace(SWABBED, kind="protein", unit="µg/cm²", value="900"))
    assert names(kept) == ["cleaning_test_kept"]
    assert every_test(shift.bench, shift.session.desk)[0].grade is None
    assert page(shift).rows[0].title == "Protein: no level set"
    assert not on_list(shift)


def test_a_result_at_action_is_told_to_the_lead_and_waits_on_the_list_until_a_word_is_said() -> None:
    shift = at_desk()
    assert names(shift.must(replace(SWABBED, value="251"))) == ["cleaning_test_kept", "lead_told"]
    assert names(shift.must(replace(SWABBED, value="249"))) == ["cleaning_test_kept"]
    (line,) = on_list(shift)
    assert (line.about, line.station) == ("CT-10001", "B1")
    (row,) = [row for row in page(shift, Page.NEEDS).rows if row.name == "test CT-10001"]
    assert row.title == f"CT-10001: ATP 251 RLU at action, Ear set · {EAR}"
    assert row.send == c.Turn(page=Page.CLEANING_TEST, subject="CT-10001")
    shift.minutes(5 * 24 * 60)
    assert on_list(shift)  # it stays, however long ago
    shift.send(c.AnswerCleaningTest(test="CT-10002", done="back"))
    assert shift.refused == "refused.not_asked"
    shift.must(c.AnswerCleaningTest(test="CT-10001", done="back"))
    assert not on_list(shift)
    shift.send(c.AnswerCleaningTest(test="CT-10001", done="again"))
    assert shift.refused == "refused.not_asked"


def test_that_a_result_was_typed_wrong_is_asked_a_second_time_and_no_leads_back() -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, value="251"))
    shift.must(c.Turn(page=Page.CLEANING_TEST, subject="CT-10001"))
    one = shift.session.view()
    assert isinstance(one, MenuView)
    key = next(key for key in one.keys if key.name == "done mistyped")
    assert key.send is not None
    assert shift.send(key.send) == []
    asks = shift.session.view()
    assert isinstance(asks, AskView)
    assert asks.title == "Was this result typed wrong?"
    assert "CT-10001" in asks.help
    assert asks.no.send == c.Turn(page=Page.CLEANING_TEST, subject="CT-10001")
    assert on_list(shift)
    assert asks.yes.send is not None
    assert names(shift.must(asks.yes.send)) == ["cleaning_test_answered"]
    assert not on_list(shift)
    shift.must(c.Turn(page=Page.TEST_MISTYPED, subject="CT-10001"))
    assert not isinstance(shift.session.view(), AskView)


def test_a_result_at_action_stays_on_the_handover_too() -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, value="251"))
    assert [line.kind for line in waiting.handed(shift.bench, shift.session.desk, shift.now())] == ["test"]


@pytest.mark.parametrize("value", ["0", "99", "251"])
def test_a_tray_with_a_finding_is_held_as_before_whatever_a_test_reads(value: str) -> None:
    shift = at_work(EAR, cleaning_levels=LEVELS)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit")
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    trip = next(iter(shift.bench.trips.values()))
    assert trip.holds
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    before = shift.bench
    kept = shift.must(replace(SWABBED, value=value))
    assert set(names(kept)) <= {"cleaning_test_kept", "lead_told"}
    assert replace(shift.bench, tests=before.tests) == before  # no piece, hold, plan or paper is another
    shift.must(scan(EAR))
    shift.send(c.PlaceIndicators(count=1), c.ChoosePackaging(kind="wrap"), c.PackAndPrint())
    assert shift.refused
    (row,) = [row for row in _record(shift, trip.id) if "LUM-7" in row.title]
    assert f"{value} RLU" in row.value
    assert any("Bone grit" in row.sub or "bone" in row.sub.lower() for row in _record(shift, trip.id))


def _record(shift: Shift, trip: str) -> list[ListRow]:
    rows: list[ListRow] = []
    for number in range(9):
        shift.must(c.Turn(page=Page.TRIP, subject=trip, number=number))
        view = shift.session.view()
        assert isinstance(view, ListView)
        rows += view.rows if view.page == number else ()
    return rows


@given(
    st.decimals(0, 1000, places=1),
    st.sampled_from([f"tray={EAR}", "load=W-1", "item=M-1", "other=x"]),
    st.sampled_from(["10", "", "250"]),
)
def test_whatever_a_result_says_the_fold_changes_nothing_but_the_results(
    value: Decimal, about: str, action: str
) -> None:
    before = _held_bench()
    event = e.CleaningTestKept(
        number="CT-1", kind="atp", value=str(value), unit="RLU", method="swab", meter="M", about=about, action=action,
        level_unit="RLU", trip=next(iter(before.trips)),
    )  # fmt: skip
    for each in (event, e.CleaningTestAnswered(test="CT-1", done="again")):
        after = evolve(before, Kept(event=each, stamp=_stamp()))
        assert after.tests != before.tests
        assert replace(after, tests=before.tests) == before
        before = after


def _held_bench() -> Bench:
    if not _HELD:
        shift = at_work(EAR)
        shift.yes_until("A1.bore.swab")
        shift.no("bone_grit")
        _HELD.append(shift.bench)
    return _HELD[0]


_HELD: list[Bench] = []


def _stamp() -> Stamp:
    return Stamp(at_ms=1, offset_min=0, trusted=True, who="S1", trip=None, policy=1, record=1)


def test_light_units_without_a_meter_are_not_kept_and_other_units_may_be() -> None:
    shift = at_desk()
    shift.send(replace(SWABBED, meter="-"))
    assert shift.refused == "refused.test_meter"
    assert not shift.must(replace(SWABBED, meter=""))  # its page asks for it
    assert isinstance(shift.session.view(), ListView | NoteView)
    assert not shift.bench.tests.kept
    (kept,) = shift.must(replace(SWABBED, kind="protein", unit="µg/cm²", meter="-", value="1.0"))
    assert isinstance(kept, e.CleaningTestKept)
    assert kept.meter == ""


def test_light_units_of_two_meters_are_grouped_apart_and_never_compared() -> None:
    shift = at_desk()
    shift.must(SWABBED, replace(SWABBED, meter="LUM-9", value="900"), replace(SWABBED, value="60"))
    rows = page(shift).rows
    assert [row.title for row in rows] == ["ATP · meter LUM-7: under the levels", "ATP · meter LUM-9: no level set"]
    of_seven = page(shift, subject="CT-10001").rows
    assert [row.name for row in of_seven] == ["test CT-10003", "test CT-10001"]
    mine, theirs, later = every_test(shift.bench, shift.session.desk)
    assert is_more(later, mine)
    assert highest([mine, later]) == later
    for pair in ((mine, theirs), (theirs, later)):
        with pytest.raises(LevelFault, match="never compared"):
            is_more(*pair)
        with pytest.raises(LevelFault, match="never compared"):
            highest(pair)
    assert theirs.grade is None  # LUM-7's levels say nothing of LUM-9


def test_a_meter_is_the_same_one_typed_or_scanned() -> None:
    shift = at_desk()
    (kept,) = shift.must(replace(SWABBED, meter=" lum-7 "))
    assert isinstance(kept, e.CleaningTestKept)
    assert kept.meter == "LUM-7"


@given(st.lists(st.tuples(st.sampled_from(["M-1", "M-2", ""]), st.sampled_from(["RLU", "µg/cm²"]), st.integers(0, 99))))
def test_no_group_holds_light_units_of_two_meters(told: list[tuple[str, str, int]]) -> None:
    tests = [
        KeptTest(number=f"{n}", result=Result(marker=Marker.ATP, value=Decimal(v), unit=unit, meter=meter), at_ms=n)
        for n, (meter, unit, v) in enumerate(told)
    ]
    groups = by_scale(tests).values()
    assert sum(len(group) for group in groups) == len(tests)
    for group in groups:
        assert len({(t.result.unit, t.result.meter if t.result.light else "") for t in group}) == 1
        assert highest(group).result.value == max(t.result.value for t in group)


def test_only_who_works_at_the_desk_keeps_results_and_only_a_supervisor_answers_them() -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, value="300"), c.SignOut())
    shift.sign_in("T1")
    shift.send(SWABBED)
    assert shift.refused or shift.session.notice == ("refused.not_at_desk", {"name": "Person T1", "who": "T1"})
    shift.send(c.AnswerCleaningTest(test="CT-10001", done="back"))
    assert len(shift.bench.tests.kept) == 1
    assert not shift.bench.tests.done


def test_a_result_typed_wrong_stays_in_the_list_and_is_not_counted() -> None:
    shift = at_desk()
    shift.must(replace(SWABBED, value="2500"), c.AnswerCleaningTest(test="CT-10001", done="mistyped"))
    shift.must(replace(SWABBED, value="25"))
    assert not on_list(shift)
    rows = page(shift, subject="CT-10001").rows
    assert [(row.title, row.value) for row in rows] == [
        (f"Ear set · {EAR}: under the levels", "25 RLU"),
        (f"Ear set · {EAR}: typed wrong", "2500 RLU"),
    ]
    paper = _paper(shift)
    assert paper.headline == (
        "Results: 1. At action: 0. At alert: 0. By the levels set at that time.", "Typed wrong and not counted: 1.",
    )  # fmt: skip
    assert paper.sections[0].note == "Highest: 25 RLU (CT-10002)."


def _paper(shift: Shift) -> Report:
    shift.must(c.PrintReport(doc="cleaning_tests"))
    job = shift.bench.jobs[-1]
    return compose_report(shift.session.paper_glance(), ReportOrder(doc=job.doc, number=job.number))


def test_the_page_has_a_section_for_each_scale_and_no_name() -> None:
    shift = at_desk()
    shift.must(SWABBED, replace(SWABBED, meter="LUM-9", value="900"), replace(SWABBED, about="load=W-1", value="300"))
    shift.must(replace(SWABBED, kind="protein", unit="µg/cm²", value="3.5"))
    paper = _paper(shift)
    titles = [section.title for section in paper.sections]
    assert titles[:-1] == ["Protein · µg/cm²", "ATP · RLU · meter LUM-7", "ATP · RLU · meter LUM-9"]
    assert [line.value for line in paper.sections[1].lines] == ["300 RLU: action", "40 RLU: under the levels"]
    assert "levels then: alert 100, action 250 RLU" in paper.sections[1].lines[0].note
    text = repr(paper)
    assert "Person" not in text
    assert "One" not in paper.sections[-1].paragraphs
    assert "A test shows one sample. The device IFU and facility policy decide." in paper.sections[-1].paragraphs


def test_other_stations_results_stand_in_the_same_list_and_wait_for_the_same_lead() -> None:
    known = stations("B1", "B2")
    for name in ("B1", "B2"):
        known[name].session.use(replace(known[name].session.desk, policy=resources.policy({"cleaning_levels": LEVELS})))
        known[name].must(c.EnterPin(person="S1", pin=PIN))
    known["B2"].must(replace(SWABBED, value="700"))
    known.meet()
    here = known["B1"]
    assert [(station, test.number) for station, test in unanswered(here.bench, here.session.desk)] == [
        ("B2", "CT-20001")
    ]
    here.must(c.AnswerCleaningTest(test="CT-20001", done="process"))
    known.meet()
    assert not on_list(known["B2"])


def test_a_result_about_an_open_tray_names_its_trip_and_one_about_a_load_stands_with_each_of_its_trays() -> None:
    shift = at_work(PLAIN, cleaning_levels=LEVELS)
    trip = shift.trip.id
    shift.must(c.StopHere(reason="break"), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    shift.must(replace(SWABBED, about=f"tray={PLAIN}"), replace(SWABBED, about="load=W-1"), SWABBED)
    assert [test.trip for test in shift.bench.tests.kept] == [trip, "", ""]
    told = [row.sub.partition(" · ")[0] for row in _record(shift, trip) if "LUM-7" in row.title]
    assert sorted(told) == ["Plain set", "load W-1"]


def test_the_oldest_results_make_room_and_one_at_action_stays_until_it_is_answered() -> None:
    bench = Bench()
    for n in range(MOST + 3):
        event = e.CleaningTestKept(
            number=f"CT-{n}", kind="atp", value="300" if n < 2 else "1", unit="RLU", method="swab", meter="M",
            about="load=W-1", action="250", level_unit="RLU",
        )  # fmt: skip
        bench = evolve(bench, Kept(event=event, stamp=_stamp()))
        if n == 0:
            bench = evolve(bench, Kept(event=e.CleaningTestAnswered(test="CT-0", done="back"), stamp=_stamp()))
    assert [test.number for test in bench.tests.kept[:2]] == ["CT-1", "CT-3"]
    assert bench.tests.made == MOST + 3


@pytest.mark.parametrize("change", [{"kind": "prion"}, {"value": "x"}, {"level_unit": "µg/side"}, {"value": "-1"}])
def test_the_fold_takes_whatever_another_program_kept(change: dict[str, str]) -> None:
    event = e.CleaningTestKept(
        number="CT-1", kind="atp", value="1", unit="RLU", method="swab", meter="M", about="load=W-1", action="250",
        level_unit="RLU",
    )  # fmt: skip
    bench = evolve(Bench(), Kept(event=replace(event, **change), stamp=_stamp()))  # type: ignore[arg-type]
    assert bench.tests.made == 1
    assert [test.grade for test in bench.tests.kept] in ([], [None])
