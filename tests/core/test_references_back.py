"""A reference picture that was wrongly offered or agreed to is taken back as it was agreed: by two people."""

from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.core.together.kept_references import every_reference
from kiosk.core.views import ListView, PictureView
from tests.core.department import Shift, names
from tests.core.reading_sets import sign_in
from tests.core.test_references import counting, department, offer, shown, with_references


def taken_back(shift: Shift, number: str, *who: str) -> None:
    for one in who:
        sign_in(shift, one)
        assert names(shift.must(c.TakeReferenceBack(number=number))) == ["reference_taken_back"]
    shift.must(c.SignOut())


def test_one_person_takes_nothing_away_and_it_is_said_who_did_so_far() -> None:
    shift = with_references()
    taken_back(shift, "RF-10002", "S1")
    assert "RF-10002" in counting(shift)
    sign_in(shift, "S1")
    shift.send(c.TakeReferenceBack(number="RF-10002"))
    assert "another person" in shift.session.glance().said()
    view = shown(shift, Page.REFERENCE, "RF-10002")
    assert isinstance(view, PictureView)
    assert view.lines[-1] == "Taken back by Person S1. It takes 1 more to take it away."
    assert "take reference back" not in {key.name for key in view.hand.right}


def test_two_people_take_it_away_and_the_one_before_counts_again_under_its_own_version() -> None:
    shift = with_references()
    before = counting(shift)
    assert before["RF-10004"] == 2
    taken_back(shift, "RF-10004", "S1", "E1")
    after = counting(shift)
    assert "RF-10004" not in after
    assert after["RF-10001"] == 1
    assert shift.bench.references.offered["RF-10004"].file == "reference_4.png", "it stays kept"


def test_an_older_version_taken_back_leaves_the_newest_its_number() -> None:
    shift = with_references()
    taken_back(shift, "RF-10001", "S1", "E1")
    assert counting(shift)["RF-10004"] == 2


def test_one_that_only_waits_is_taken_back_too_and_is_gone_from_the_desks_list() -> None:
    shift = department()
    shift.must(offer(1), offer(2, "red_mark"))
    taken_back(shift, "RF-10001", "S1", "E1")
    sign_in(shift, "S1")
    view = shown(shift, Page.REFERENCES)
    assert isinstance(view, ListView)
    assert [row.name for row in view.rows] == ["reference RF-10002"]
    assert [one.picture.number for one in every_reference(shift.bench, shift.session.desk)] == ["RF-10002"]


def test_at_the_bench_nobody_takes_one_back() -> None:
    shift = with_references()
    sign_in(shift, "T1")
    before = counting(shift)
    assert names(shift.send(c.TakeReferenceBack(number="RF-10001"))) == ["try_refused"]
    assert shift.refused
    assert counting(shift) == before
