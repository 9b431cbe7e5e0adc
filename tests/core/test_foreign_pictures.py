"""What other stations told of pictures is held to the same rules as what is made here, and stops nothing."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.readings import ReadingPicture
from kiosk.core.stamp import Kept
from kiosk.core.together.kept_readings import every_set, readers_of
from kiosk.core.views import PictureView
from tests.core.department import EAR, Shift
from tests.core.reading_sets import SET, all_read, pictures, sign_in, with_set
from tests.core.test_references import TYPE, agreed, counting, department, offer, shown, with_references
from tests.core.two_benches import stations

OTHER = "ab" * 16


def hear(shift: Shift, *events: e.Event) -> None:
    """Bench 2 tells these."""
    stamp = replace(shift.log[-1].stamp, who=None)
    shift.session.hear("B2", [Kept(event=event, stamp=stamp) for event in events])


def foreign_reference(shift: Shift) -> None:
    """Bench 2 has newer findings: a picture of one that is not known here counts."""
    hear(shift, e.ReferenceOffered(number="RF-20001", type=TYPE, finding="glitter", file="g.png", sha256="9" * 64))
    for who in ("S1", "E1"):
        stamp = replace(shift.log[-1].stamp, who=who)
        shift.session.hear("B2", [Kept(event=e.ReferenceAgreed(number="RF-20001"), stamp=stamp)])


def test_a_reference_of_a_finding_that_is_not_known_here_is_shown_by_its_code() -> None:
    shift = with_references()
    foreign_reference(shift)
    sign_in(shift, "S1")
    view = shown(shift, Page.REFERENCE, "RF-20001")
    assert isinstance(view, PictureView)
    assert view.title == "glitter"
    assert view.lines == ("Version 1, agreed by Person E1 and Person S1, 2031-02-27.",)


def test_at_what_soil_looks_like_it_does_not_stop_the_work() -> None:
    shift = with_references()
    foreign_reference(shift)
    shift.sign_in("T1")
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    assert [shown(shift, Page.SOIL, number=n).title for n in range(3)][-1] == "glitter"


@pytest.mark.parametrize("who", ["T1", "nobody"])
def test_the_word_of_somebody_who_does_not_work_at_the_desk_makes_no_reference_count(who: str) -> None:
    apart = stations("B1", "B2")
    apart["B1"].must(offer(1))
    apart.meet()
    agreed(apart["B1"], "RF-10001", "S1")
    agreed(apart["B2"], "RF-10001", "S2")
    log = apart["B2"].log
    for n, kept in enumerate(log):
        if isinstance(kept.event, e.ReferenceAgreed):
            log[n] = replace(kept, stamp=replace(kept.stamp, who=who))
    apart.hear("B1", "B2")
    assert counting(apart["B1"]) == {}


def test_an_educator_of_another_station_counts() -> None:
    shift = department()
    shift.must(offer(1))
    agreed(shift, "RF-10001", "S1")
    stamp = replace(shift.log[-1].stamp, who="E1")
    shift.session.hear("B2", [Kept(event=e.ReferenceAgreed(number="RF-10001"), stamp=stamp)])
    assert counting(shift) == {"RF-10001": 1}


def test_an_answer_nobody_could_give_is_passed_over_and_the_page_is_made() -> None:
    shift = with_set(2)
    hear(shift, *(e.PictureRead(set=SET, reader="aa", picture=f"{n}", says="perhaps {n}") for n in (1, 2)))
    all_read(shift, {"T1": ["yes", "no"], "T2": ["yes", "yes"]})
    assert "aa" not in readers_of(shift.bench, shift.session.desk, SET)
    order = ReportOrder(doc="reading_report", number="RD-10001", about=SET)
    paper = compose_report(shift.session.paper_glance(), order)
    assert [one.words for one in paper.sections[1].pictures] == ["2: NO 1 · YES 1"]


def test_a_set_of_another_station_under_the_number_of_an_own_one_does_not_take_its_place() -> None:
    shift = with_set(2)
    hear(shift, e.ReadingSetMade(set=SET, name="theirs", pictures=pictures(3)))
    (one,) = every_set(shift.bench, shift.session.desk)
    assert (one.name, len(one.pictures)) == ("2031-Q1", 2)


@pytest.mark.parametrize(
    "made",
    [
        pictures(1),
        pictures(61),
        (*pictures(2), ReadingPicture(name="2", file="x.png", sha256="e" * 64)),
        (*pictures(2), ReadingPicture(name="3", file="x.png", sha256=pictures(1)[0].sha256)),
        (*pictures(2), ReadingPicture(name="3", file="x.png", sha256="no hash")),
    ],
    ids=["one", "too many", "a name twice", "a picture twice", "no hash"],
)
def test_a_set_that_could_not_be_made_here_is_not_read_here(made: tuple[ReadingPicture, ...]) -> None:
    shift = with_set(2)
    hear(shift, e.ReadingSetMade(set=OTHER, name="theirs", pictures=made))
    assert [one.id for one in every_set(shift.bench, shift.session.desk)] == [SET]
    hear(shift, e.ReadingSetMade(set=OTHER, name="theirs", pictures=pictures(60)))
    assert {one.id for one in every_set(shift.bench, shift.session.desk)} == {SET, OTHER}
    sign_in(shift, "T1")
    shift.must(c.BeginReading(set=OTHER))
