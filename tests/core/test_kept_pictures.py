"""Which pictures a station shows and may have to fetch, and which are dropped: by days, and for room."""

import pytest

from kiosk.core import commands as c
from kiosk.core.place import Place
from kiosk.core.together.kept_pictures import DAY_MS, YOUNG_MS, Needed, Spare, at_hand, due, for_room, needed
from tests.core.department import EAR, PIN
from tests.core.reading_sets import SET, pictures, with_set
from tests.core.test_references import agreed, department, offer
from tests.core.test_stills import accept, at_scope, sha, still
from tests.core.two_sides import two_sides


def test_decontam_needs_the_picture_of_a_finding_as_long_as_its_return_is_open() -> None:
    sides = two_sides()
    shift = sides.bench
    shift.sign_in()
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.scope")
    step = shift.step
    assert step.check is not None
    shift.must(c.Answer(piece=step.piece, key=step.check.key, yes=False, took_ms=9000))
    shift.must(c.ReportFinding(code="bone_grit", place=Place(lumen="bore", at_mm=40)))
    shift.must(c.KeepPhoto(file="found.png", sha256=sha(7)))
    shift.confirm("item_back")
    sides.hear()
    dirty = sides.dirty
    assert needed(dirty.bench, dirty.session.desk) == (Needed(file="found.png", sha256=sha(7)),)
    assert needed(shift.bench, shift.session.desk) == (), "the bench has it, and does not show the return"


def test_a_bench_needs_the_newest_known_look_of_the_open_trays_lumens_from_whichever_station() -> None:
    here, there = at_scope(), at_scope()
    there.must(still(there, 1), still(there, 2, sha256=sha(2)))
    there.yes()
    for n in (1, 2):
        accept(there, n)
    assert needed(here.bench, here.session.desk) == ()
    here.session.hear("B2", there.log)
    assert needed(here.bench, here.session.desk) == (Needed(file="still-2.png", sha256=sha(2)),)


def test_references_that_count_or_wait_and_pictures_of_a_set_that_is_open_are_needed_everywhere() -> None:
    shift = department()
    shift.must(offer(1))
    agreed(shift, "RF-10001", "S1", "E1")
    shift.must(offer(2))
    assert [one.file for one in needed(shift.bench, shift.session.desk)] == ["reference_2.png", "reference_1.png"]
    asked = with_set(6)
    assert {one.file for one in needed(asked.bench, asked.session.desk)} == {one.file for one in pictures(6)}
    asked.must(c.EnterPin(person="S1", pin=PIN), c.EndReadingSet(set=SET))
    assert needed(asked.bench, asked.session.desk) == ()


def test_what_an_open_tray_a_look_a_reference_or_a_set_holds_is_at_hand_here_and_beside() -> None:
    shift = at_scope()
    shift.must(still(shift))
    asked = with_set(6)
    assert at_hand(shift.bench, shift.session.desk) == {"still-1.png"}
    shift.session.hear("B2", asked.log)
    assert at_hand(shift.bench, shift.session.desk) == {"still-1.png", *(one.file for one in pictures(6))}


SPARE = tuple(Spare(file=f"{n}.png", at_ms=n * DAY_MS) for n in range(1, 5))


@pytest.mark.parametrize(("now", "files"), [(7.999, 0), (8, 1), (8.999, 1), (9, 2), (100, 4)])
def test_a_day_is_24_hours_and_the_limit_itself_is_over(now: float, files: int) -> None:
    assert due(SPARE, 7, round(now * DAY_MS)) == tuple(one.file for one in SPARE[:files])


@pytest.mark.parametrize(("over", "files"), [(0, 0), (-5, 0), (1, 1), (10, 1), (11, 2), (999, 2)])
def test_for_room_the_oldest_go_first_and_none_that_is_younger_than_two_days(over: int, files: int) -> None:
    sizes = {one.file: 10 for one in SPARE}
    found = for_room(SPARE, sizes, over, 2 * DAY_MS + YOUNG_MS)
    assert found == tuple(one.file for one in SPARE[:files])
