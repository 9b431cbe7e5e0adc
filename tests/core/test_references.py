"""The department's own reference pictures: two people agree, a newer one takes the place, the older stays readable.

Issue "Seeing inside", point 6: by item type and finding, with who agreed and when; versions; shown at "What soil looks
like" for this item first.
"""

from dataclasses import replace
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.catalogue import Person
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.state.bench import Bench
from kiosk.core.together.kept_references import every_reference
from kiosk.core.views import HelpView, ListView, PictureView
from kiosk.core.vocabulary import Role
from kiosk.store.codec import from_bytes, to_bytes
from tests.core.department import EAR, PIN, Shift, desk, names, people
from tests.core.reading_sets import sign_in
from tests.core.two_benches import stations

TYPE = "fine_suction"  # of the tubes in the ear set


def offer(n: int, finding: str = "bone_grit", item_type: str = TYPE) -> c.OfferReference:
    return c.OfferReference(type=item_type, finding=finding, file=f"reference_{n}.png", sha256=f"{n:064x}")


def department() -> Shift:
    """S1 and the educator E1 at the desk."""
    educator = Person(id="E1", name="Person E1", role=Role.EDUCATOR, badge="E1", pin_hash=people()["T1"].pin_hash)
    base = desk()
    return Shift(desk=replace(base, catalogue=replace(base.catalogue, people={**people(), "E1": educator})))


def agreed(shift: Shift, number: str, *who: str) -> None:
    for one in who:
        sign_in(shift, one)
        shift.must(c.AgreeReference(number=number))
    shift.must(c.SignOut())


def with_references() -> Shift:
    """Two findings on the tubes, one on another type; of bone grit a newer version counts."""
    shift = department()
    shift.must(offer(1), offer(2, "red_mark"), offer(3, item_type="lap_takeapart"), offer(4))
    for number in ("RF-10001", "RF-10002", "RF-10003", "RF-10004"):
        agreed(shift, number, "S1", "E1")
    return shift


def shown(shift: Shift, page: Page, subject: str = "", number: int = 0) -> Any:
    shift.must(c.Turn(page=page, subject=subject, number=number))
    return shift.session.view()


def counting(shift: Shift) -> dict[str, int]:
    return {one.picture.number: one.version for one in every_reference(shift.bench, shift.session.desk) if one.newest}


def test_a_picture_counts_when_two_people_have_agreed_each_under_their_own_badge() -> None:
    shift = department()
    assert names(shift.must(offer(1))) == ["reference_offered"]
    assert counting(shift) == {}
    agreed(shift, "RF-10001", "S1")
    assert counting(shift) == {}
    sign_in(shift, "S1")
    shift.send(c.AgreeReference(number="RF-10001"))
    assert "another person" in shift.session.glance().said()
    agreed(shift, "RF-10001", "E1")
    assert counting(shift) == {"RF-10001": 1}
    kept = [one for one in shift.log if isinstance(one.event, e.ReferenceAgreed)]
    assert [(one.stamp.who, one.stamp.trip) for one in kept] == [("S1", None), ("E1", None)]


def test_at_the_bench_nobody_agrees_and_nobody_offers_at_the_glass() -> None:
    shift = department()
    shift.must(offer(1))
    sign_in(shift, "T1")
    for send in (c.AgreeReference(number="RF-10001"), offer(2)):
        assert names(shift.send(send)) == ["try_refused"]


def test_a_newer_picture_takes_the_place_and_the_older_version_stays_readable() -> None:
    shift = with_references()
    assert counting(shift) == {"RF-10002": 1, "RF-10003": 1, "RF-10004": 2}
    sign_in(shift, "S1")
    rows = shown(shift, Page.REFERENCES)
    assert isinstance(rows, ListView)
    assert "reference RF-10001" not in [row.name for row in rows.rows]
    newest = shown(shift, Page.REFERENCE, "RF-10004")
    assert isinstance(newest, PictureView)
    assert (newest.picture, newest.page, newest.pages) == ("reference_4.png", 0, 2)
    assert newest.lines[1] == "Version 2, agreed by Person S1 and Person E1, 2031-02-27."
    assert isinstance(newest.next.send, c.Turn)
    shift.must(newest.next.send)
    older: Any = shift.session.view()
    assert (older.picture, older.main) == ("reference_1.png", None)
    assert older.lines[1].startswith("Older version 1, agreed by Person S1 and Person E1")


def test_at_what_soil_looks_like_this_items_own_pictures_come_first_those_of_likely_findings_before_others() -> None:
    shift = with_references()
    shift.sign_in("T1")
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    codes = shift.session.desk.choices["swab"]
    assert codes.index("red_mark") < codes.index("bone_grit")
    first, second, third = (shown(shift, Page.SOIL, number=n) for n in range(3))
    assert [view.picture for view in (first, second)] == ["reference_2.png", "reference_4.png"]
    assert isinstance(third, HelpView)
    assert first.pages == third.pages
    assert third.page == 2
    assert first.next.send == c.Turn(page=Page.SOIL, number=1)
    assert third.previous.send == c.Turn(page=Page.SOIL, number=1)
    plain = Shift()
    plain.sign_in("T1")
    plain.open(EAR)
    plain.count()
    plain.yes_until("A1.bore.swab")
    without = shown(plain, Page.SOIL)
    assert isinstance(without, HelpView)
    assert without.entries == third.entries
    assert without.pages == third.pages - 2


def test_the_wall_page_shows_what_counts_for_the_type_with_who_agreed_and_when() -> None:
    shift = with_references()
    sign_in(shift, "E1")
    shift.must(c.PrintReport(doc="reference_page", about=TYPE))
    paper = compose_report(
        shift.session.paper_glance(), ReportOrder(doc="reference_page", number="RP-10001", about=TYPE)
    )
    assert [(one.file, one.words) for one in paper.sections[0].pictures] == [
        ("reference_4.png", "Bone or grit. Version 2, agreed by Person S1 and Person E1, 2031-02-27."),
        ("reference_2.png", "Red or red-brown mark. Version 1, agreed by Person S1 and Person E1, 2031-02-27."),
    ]
    shift.send(c.PrintReport(doc="reference_page", about="eye_tip"))
    assert shift.refused
    sign_in(shift, "T1")
    shift.send(c.PrintReport(doc="reference_page", about=TYPE))
    assert shift.refused


@pytest.mark.parametrize(
    ("command", "said"),
    [
        (offer(9, item_type="teapot"), "No item type has the code teapot."),
        (offer(9, "lovely"), "No finding has the code lovely."),
        (offer(1), "This picture is offered for it already."),
    ],
)
def test_what_cannot_be_offered_is_told_in_one_sentence(command: c.OfferReference, said: str) -> None:
    shift = department()
    shift.must(offer(1))
    shift.send(command)
    assert shift.session.glance().said() == said


def test_two_people_may_agree_at_two_stations_and_both_then_show_it() -> None:
    apart = stations("B1", "B2")
    apart["B1"].must(offer(1))
    apart.meet()
    agreed(apart["B1"], "RF-10001", "S1")
    agreed(apart["B2"], "RF-10001", "S2")
    assert counting(apart["B1"]) == {}
    apart.meet()
    assert counting(apart["B1"]) == counting(apart["B2"]) == {"RF-10001": 1}


def test_what_the_pictures_fold_to_comes_back_from_a_snapshot_and_touches_no_tray() -> None:
    shift = with_references()
    assert shift.folded() == shift.bench
    assert from_bytes(Bench, to_bytes(shift.bench)).references == shift.bench.references
    assert shift.bench.trips == {}


def test_a_word_stands_once_and_pin_and_badge_are_asked_at_the_sign_in() -> None:
    shift = with_references()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    shift.send(c.AgreeReference(number="RF-10004"))
    assert shift.refused
    shift.send(c.AgreeReference(number="RF-19999"))
    assert shift.refused
