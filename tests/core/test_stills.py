"""Pictures of lumens: what is kept of a still, what is refused, and that a known look never comes before the answer."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.place import Place
from kiosk.core.still import StillQuality
from kiosk.core.stills import answered, known_look
from tests.core.department import EAR, PIN, Shift, at_work, names

QUALITY = StillQuality(dark=100, bright=2, glare=9, light=450, laplacian=90, tenengrad=1500, blur=510, drops=1)


def sha(number: int) -> str:
    return f"{number:064x}"


def still(shift: Shift, number: int = 1, at_mm: int | None = 30, **more: object) -> c.KeepStill:
    """What the disk tells of a still of A1's bore."""
    told = c.KeepStill(
        trip=shift.trip.id,
        taken_by="T1",
        piece="A1",
        lumen="bore",
        at_mm=at_mm,
        file=f"still-{number}.png",
        sha256=sha(number),
        size=400_000,
        width=1280,
        height=720,
        source="camera",
        quality=QUALITY,
    )
    return replace(told, **more)  # type: ignore[arg-type]


def at_scope() -> Shift:
    shift = at_work(EAR)
    shift.session.sight = "camera"
    shift.yes_until("A1.bore.scope")
    return shift


def accept(shift: Shift, n: int, by: str = "T2") -> list[e.Event]:
    shift.send(c.EnterPin(person=by, pin=PIN, second=f"still-{n}"))
    return shift.send(c.AcceptLook(by=by, n=n))


def test_a_still_is_kept_with_its_place_its_measures_and_the_scope_of_the_plan() -> None:
    shift = at_scope()
    (event,) = shift.must(still(shift))
    assert isinstance(event, e.StillKept)
    assert shift.step.check is not None
    assert (event.n, event.at_mm, event.scope, event.quality) == (1, 30, shift.step.check.tool, QUALITY)
    assert shift.log[-1].stamp.who == "T1"
    assert [each.file for each in shift.trip.stills] == ["still-1.png"]
    assert shift.session.bench == shift.folded()


def test_stills_are_numbered_and_each_stands_with_its_centimeters_newest_first() -> None:
    shift = at_scope()
    shift.session.send(c.Turn(page=c.Page.CAMERA))
    shift.must(still(shift, 1, 30), still(shift, 2, None))
    view = shift.session.view()
    assert isinstance(view, v.CameraView), "the page stays when a still comes"
    assert [each.say for each in view.stills] == ["Picture 2: no depth given", "3 cm from ENTRY"]


def test_the_same_bytes_are_not_kept_twice() -> None:
    shift = at_scope()
    shift.must(still(shift))
    assert shift.send(still(shift, file="other.png")) == []
    assert shift.refused == "refused.still_kept"


def test_a_still_that_the_disk_had_after_the_answer_or_after_the_lock_is_kept_where_it_was_frozen() -> None:
    shift = at_scope()
    late = still(shift)
    shift.yes()
    shift.must(c.SignOut())
    (event,) = shift.must(late)
    assert isinstance(event, e.StillKept)
    assert (event.piece, event.lumen, shift.log[-1].stamp.who) == ("A1", "bore", "T1")


def test_a_still_of_no_tray_here_is_refused() -> None:
    shift = at_scope()
    assert shift.send(still(shift, trip="B9-1")) == []
    assert shift.send(still(shift, piece="Z9")) == []


def test_a_reason_for_none_stands_until_there_is_a_picture() -> None:
    shift = at_scope()
    shift.must(c.GiveNoStill(piece="A1", lumen="bore", reason="too_dark"))
    assert shift.trip.no_stills == {"A1.bore": "too_dark"}
    shift.must(still(shift))
    assert shift.trip.no_stills == {}


@pytest.mark.parametrize(
    "none",
    [
        c.GiveNoStill(piece="A1", lumen="bore", reason="bored"),
        c.GiveNoStill(piece="A9", lumen="bore", reason="too_dark"),
    ],
)
def test_a_reason_that_is_none_of_the_words_or_for_another_lumen_is_refused(none: c.GiveNoStill) -> None:
    shift = at_scope()
    assert shift.send(none) == []
    assert shift.refused == "refused.not_asked"


def test_the_page_gives_way_to_the_work_once_nothing_is_before_the_lens() -> None:
    shift = at_scope()
    shift.session.send(c.Turn(page=c.Page.CAMERA))
    shift.yes()
    shift.session.send(c.Turn(page=c.Page.CAMERA))
    assert not isinstance(shift.session.view(), v.CameraView)


def test_a_picture_of_a_finding_counts_as_the_findings_own() -> None:
    shift = at_scope()
    shift.must(c.Answer(piece="A1", key="bore.scope", yes=False))
    shift.must(c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=50)))
    kept = shift.must(still(shift, finding=1))
    assert names(kept)[:2] == ["still_kept", "photo_taken"]
    assert shift.trip.finding(1).photo == "still-1.png"


def test_a_look_is_accepted_by_a_second_badge_after_the_yes_and_is_then_known() -> None:
    shift = at_scope()
    shift.must(still(shift))
    assert accept(shift, 1) == []
    assert shift.refused == "refused.answer_first"
    shift.session.send(c.Turn())
    shift.yes()
    (event,) = accept(shift, 1)
    assert isinstance(event, e.LookAccepted)
    assert (event.tray, event.item, event.mark, shift.log[-1].stamp.who) == (EAR, "A1", "", "T2")
    assert shift.trip.stills[0].accepted == "T2"
    assert list(shift.bench.looks) == [f"line {EAR}/A1 bore"]
    assert shift.session.bench == shift.folded()


@pytest.mark.parametrize("by", ["T1"])
def test_nobody_accepts_a_look_of_their_own(by: str) -> None:
    shift = at_scope()
    shift.must(still(shift))
    shift.yes()
    assert not [x for x in accept(shift, 1, by) if isinstance(x, e.LookAccepted)]
    assert not shift.bench.looks


def test_where_something_was_found_there_is_no_look_to_accept() -> None:
    shift = at_scope()
    shift.must(still(shift))
    shift.no("red_mark")
    shift.confirm("tray_back")
    assert answered(shift.trip, "A1", "bore") == "no"
    assert accept(shift, 1) == []
    assert shift.refused == "refused.look_found"


def test_a_no_that_can_be_changed_still_does_not_show_the_known_look() -> None:
    """NO, Compare pictures, Change, YES would let the picture lead the answer."""
    shift = at_scope()
    shift.must(still(shift, 1))
    shift.yes()
    accept(shift, 1)
    beside = {"B2": shift.bench}
    shift.session.send(c.Turn())
    shift.must(c.TakeBack(), still(shift, 2))
    for told in (
        c.Answer(piece="A1", key="bore.scope", yes=False),
        c.ReportFinding(code="brown_film", place=Place(lumen="bore", at_mm=50)),
    ):
        shift.must(told)
        assert answered(shift.trip, "A1", "bore") == ""
        assert known_look(shift.bench, beside, shift.trip, shift.trip.stills[1]) is None
        shift.session.send(c.Turn(page=c.Page.STILLS, subject="2"))
        assert not isinstance(shift.session.view(), v.StillsView)
        assert accept(shift, 2) == []
        assert shift.refused == "refused.answer_first"
        shift.session.send(c.Turn())
    assert shift.must(c.TakeBack())


def test_the_known_look_is_of_another_still_and_only_there_after_the_answer() -> None:
    shift = at_scope()
    shift.must(still(shift, 1))
    shift.yes()
    accept(shift, 1)
    own = known_look(shift.bench, {}, shift.trip, shift.trip.stills[0])
    assert own is None, "a still is not set beside itself"
    beside = {"B2": shift.bench}
    shift.session.send(c.Turn())
    shift.must(c.TakeBack())
    assert answered(shift.trip, "A1", "bore") == ""
    shift.must(still(shift, 2))
    today = shift.trip.stills[1]
    assert known_look(shift.bench, beside, shift.trip, today) is None, "the check is open: nothing may lead the answer"
    shift.yes()
    look = known_look(shift.bench, beside, shift.trip, today)
    assert look is not None
    assert (look.file, look.by) == ("still-1.png", "T2")


def test_a_look_whose_lumen_was_found_soiled_after_all_is_no_look_any_more() -> None:
    shift = at_scope()
    shift.must(still(shift))
    shift.yes()
    accept(shift, 1)
    assert shift.bench.looks
    shift.must(c.TakeBack(), c.Answer(piece="A1", key="bore.scope", yes=False))
    shift.must(c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=50)))
    assert not shift.bench.looks
    assert shift.session.bench == shift.folded()


def test_a_look_whose_yes_was_taken_back_is_none_until_it_is_accepted_again() -> None:
    shift = at_scope()
    shift.must(still(shift))
    shift.yes()
    accept(shift, 1)
    shift.session.send(c.Turn())
    shift.must(c.TakeBack())
    assert not shift.bench.looks
    assert shift.trip.stills[0].accepted == ""
    assert shift.session.bench == shift.folded()
    shift.yes()
    (event,) = accept(shift, 1)
    assert isinstance(event, e.LookAccepted)
    assert len(shift.bench.looks) == 1


def test_the_picture_of_a_finding_is_signed_by_whoever_took_it() -> None:
    shift = at_scope()
    shift.no("red_mark")
    shift.must(still(shift, finding=1, taken_by="T2"))
    taken = [kept.stamp.who for kept in shift.log if isinstance(kept.event, e.StillKept | e.PhotoTaken)]
    assert taken == ["T2", "T2"], "not by T1, who is signed in when the disk has it"


def test_a_look_that_another_station_accepted_later_is_the_known_one() -> None:
    shift = at_scope()
    shift.must(still(shift, 1))
    shift.yes()
    accept(shift, 1)
    key, mine = next(iter(shift.bench.looks.items()))
    theirs = replace(mine, file="B2.png", sha256=sha(9), at_ms=mine.at_ms + 1)
    beside = {"B2": replace(shift.bench, looks={key: theirs})}
    assert known_look(shift.bench, beside, shift.trip, shift.trip.stills[0]) == theirs
