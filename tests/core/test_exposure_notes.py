"""The exposure note: written afterwards, by its person or a supervisor, and known to the log as a number only."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.exposure import CHOICES, ExposureNote, NoteEntry, NotYours
from kiosk.core.papers import Report
from kiosk.core.stamp import local_time
from kiosk.core.views import FirstAidView, ListView, NumberView
from tests.core.department import EAR, PIN, Shift, at_work, desk, names


@dataclass(slots=True)
class Drawer:
    """The notes in memory, with who asked for them."""

    entries: list[NoteEntry] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def write(self, entries: Sequence[NoteEntry]) -> None:
        self.entries += entries

    def read(self, note: int, by: str, *, lead: bool, at_ms: int, offset_min: int) -> ExposureNote:
        del at_ms, offset_min
        self.asked.append(by)
        found = ExposureNote(n=note, entries=tuple(x for x in self.entries if x.note == note))
        if not lead and found.person not in {"", by}:
            raise NotYours
        return found


def splashed(who: str = "S1", **policy: object) -> Shift:
    """T1 was splashed at the swab of A1; `who` cleared up and stands at the bench."""
    shift = at_work(EAR)
    shift.session.use(desk(**policy))
    shift.session.notes = Drawer()
    shift.yes_until("A1.bore.swab")
    shift.must(c.FirstAid(), c.FirstAidDone(), c.EnterPin(person=who, pin=PIN), c.ClearExposure(kind="splash"))
    shift.tidy()
    return shift


def written(shift: Shift) -> Shift:
    shift.must(c.OpenNote(n=1), c.WriteNote(field="person", value="T1"))
    shift.must(c.WriteNote(field="happened", value="splash_face,splash_eye"))
    return shift


def drawer(shift: Shift) -> Drawer:
    assert isinstance(shift.session.notes, Drawer)
    return shift.session.notes


def paper(shift: Shift) -> Report:
    order = ReportOrder(doc="exposure_note", number="E-1", about="1")
    return compose_report(shift.session.paper_glance(), order)


def text(report: Report) -> str:
    lines = [f"{line.label} {line.value}" for part in report.sections for line in part.lines]
    return " ".join([report.title, report.about, *report.headline, *lines, *(part.note for part in report.sections)])


def test_the_note_holds_every_field_that_occupational_health_asks_for() -> None:
    """FORMS 6: person and role, when, bench, what happened, item, tray, check, worn, aid, told, cleaned, trays."""
    shift = written(splashed())
    shift.must(c.WriteNote(field="worn", value="nothing"), c.WriteNote(field="aid", value="eyes"))
    shift.must(c.WriteNote(field="told", value="Person S1"), c.WriteNote(field="told_at", value="825"))
    said = text(paper(shift))
    for words in (
        "Person T1, tech", "Bench 1", "Splash: face, Splash: eye", "Ear set TR-1", "Bent tube", "swab", "None of these",
        "Eyes rinsed", "Person S1, at 08:25", "Bench cleaned 20", "Trays sent back Ear set TR-1",
    ):  # fmt: skip
        assert words in said


def test_the_note_holds_nothing_medical_and_no_fault() -> None:
    said = text(paper(written(splashed()))).lower()
    for word in ("blood", "test", "result", "vaccin", "fault", "should", "patient", "not worn"):
        assert word not in said
    assert not {"test", "result", "vaccination", "status"} & {part for parts in CHOICES.values() for part in parts}


def test_nothing_is_refused_because_something_was_not_worn_or_not_told() -> None:
    shift = written(splashed())
    assert names(shift.must(c.PrintNote())) == ["note_printed", "print_asked"]


def test_the_log_knows_a_number_and_neither_who_nor_what() -> None:
    shift = written(splashed())
    before = len(shift.log)
    shift.must(c.WriteNote(field="worn", value="mask"), c.PrintNote())
    kept = shift.log[before:]
    assert [one.event for one in kept] == [
        e.NotePrinted(n=1),
        e.PrintAsked(doc="exposure_note", number="E-1", about="1"),
    ]
    assert {(one.stamp.who, one.stamp.trip) for one in kept} == {(None, None)}
    assert "mask" not in repr(shift.log)


def test_only_its_person_and_a_supervisor_open_a_note_and_everyone_who_asks_is_written_down() -> None:
    shift = written(splashed())
    shift.must(c.SignOut(), c.EnterPin(person="T2", pin=PIN))
    shift.send(c.OpenNote(n=1))
    assert shift.refused == "refused.not_your_note"
    shift.must(c.SignOut(), c.EnterPin(person="T1", pin=PIN), c.OpenNote(n=1))
    assert shift.session.note is not None
    assert drawer(shift).asked == ["S1", "T2", "T1"]


def test_the_person_writes_an_own_note_and_nobody_elses() -> None:
    shift = splashed("T1")
    shift.must(c.OpenNote(n=1))
    shift.send(c.WriteNote(field="person", value="T2"))
    assert shift.refused == "refused.not_your_note"
    shift.must(c.WriteNote(field="person", value="T1"))


@pytest.mark.parametrize("away", [c.Turn(), c.Turn(page=Page.DESK), c.FirstAid(), c.SignOut(idle=True)])
def test_a_note_is_put_away_with_its_page(away: c.Send) -> None:
    shift = written(splashed())
    assert shift.session.note is not None
    shift.must(away)
    assert shift.session.note is None


def test_the_list_of_notes_shows_numbers_and_times_only() -> None:
    shift = written(splashed())
    shift.must(c.Turn(page=Page.EXPOSURES))
    shown = shift.session.view()
    assert isinstance(shown, ListView)
    assert [(row.title[:4], row.sub) for row in shown.rows] == [("E-1 ", "")]
    assert "T1" not in repr(shown.rows)


def test_what_is_told_is_kept_before_the_screen_moves_on_and_survives_a_cut() -> None:
    shift = written(splashed())
    assert [entry.field for entry in drawer(shift).entries] == ["person", "happened"]
    shift.must(c.Started(last_alive_ms=shift.at_ms), c.EnterPin(person="S1", pin=PIN), c.OpenNote(n=1))
    assert shift.session.note is not None
    assert shift.session.note.values("happened") == ("splash_face", "splash_eye")


def printed(shift: Shift, copy: int) -> None:
    shift.must(c.PrintNote(), c.PrintCame(doc="exposure_note", number="E-1", copy=copy, where="tray"))


def test_a_second_print_is_marked_as_a_copy_or_refused_as_policy_says() -> None:
    shift = written(splashed())
    printed(shift, 0)
    assert shift.must(c.PrintNote())[0] == e.NotePrinted(n=1, copy=1)
    shift = written(splashed(exposure_note_again="refuse"))
    printed(shift, 0)
    shift.send(c.PrintNote())
    assert shift.refused == "refused.note_printed"


def test_a_print_that_came_to_nothing_is_no_print() -> None:
    shift = written(splashed(exposure_note_again="refuse"))
    shift.must(c.PrintNote(), c.PrintCame(doc="exposure_note", number="E-1", copy=0, why="off"))
    assert shift.must(c.PrintNote())[0] == e.NotePrinted(n=1, copy=0)


def test_a_paper_of_a_note_that_is_not_open_is_not_made() -> None:
    shift = written(splashed())
    glance = replace(shift.session.paper_glance(), note=None)
    with pytest.raises(LookupError):
        compose_report(glance, ReportOrder(doc="exposure_note", number="E-1", about="1"))


def page(shift: Shift) -> ListView:
    view = shift.session.view()
    assert isinstance(view, ListView)
    return view


def touch(shift: Shift, name: str) -> None:
    (row,) = [row for row in page(shift).rows if row.name == name]
    assert row.send is not None
    shift.must(row.send)


def test_the_note_stays_on_the_page_it_was_on_and_its_keys_keep_their_places() -> None:
    shift = splashed()
    shift.must(c.OpenNote(n=1))
    assert page(shift).main is None
    assert page(shift).kept == 1
    touch(shift, "field person")
    touch(shift, "pick T1")
    touch(shift, "field happened")
    shift.must(c.WriteNote(field="happened", value="other"))
    assert page(back(shift)).main is not None
    assert page(shift).kept == 1
    following = page(shift).next.send
    assert following is not None
    shift.must(following)
    assert page(shift).page == 1
    touch(shift, "field told")
    touch(shift, "pick Person S1")
    assert page(shift).page == 1
    touch(shift, "field told_at")
    assert page(back(shift)).page == 1
    main = page(shift).main
    assert main is not None
    assert main.send is not None
    shift.must(main.send)
    assert page(shift).page == 1


def back(shift: Shift) -> Shift:
    send = shift.session.view().hand.left[0].send
    assert send is not None
    shift.must(send)
    return shift


def test_back_from_the_notes_goes_one_step_and_not_to_the_bench() -> None:
    shift = splashed()
    shift.must(c.Turn(page=Page.EXPOSURES))
    assert shift.session.view().hand.left[0].send == c.Turn(page=Page.DESK)
    shift = splashed("T1")
    shift.must(c.Turn(page=Page.EXPOSURES))
    assert shift.session.view().hand.left[0].send == c.Turn(page=Page.HAPPENED)


def test_back_from_a_further_page_of_the_desk_goes_to_the_first() -> None:
    shift = splashed()
    shift.must(c.Turn(page=Page.DESK, number=1))
    assert shift.session.view().hand.left[0].send == c.Turn(page=Page.DESK)
    assert shift.session.view().title == back(shift).session.view().title
    assert shift.session.view().hand.left[0].send == c.Turn()


def test_where_the_note_went_is_said_as_of_other_papers() -> None:
    shift = written(splashed())
    shift.must(c.PrintNote())
    assert page(shift).help == "Exposure note: on its way."
    assert page(shift).notice == ""
    shift.must(c.PrintCame(doc="exposure_note", number="E-1", copy=0, where="/a/b/papers/note.pdf"))
    assert page(shift).help == "Exposure note: saved as a file in papers, not printed."


def test_a_copy_does_not_say_that_it_was_printed_once() -> None:
    shift = written(splashed())
    assert "Printed once" in text(paper(shift))
    copy = ReportOrder(doc="exposure_note", number="E-1", about="1", copy=1)
    said = text(compose_report(shift.session.paper_glance(), copy))
    assert "Printed once" not in said
    assert "A marked copy" in said


def test_what_nobody_can_tell_of_the_bench_is_left_out() -> None:
    shift = Shift()
    shift.session.notes = Drawer()
    shift.must(c.FirstAid(), c.FirstAidDone(), c.EnterPin(person="S1", pin=PIN))
    labels = [line.label for part in paper(written(shift)).sections for line in part.lines]
    assert not {"Tray", "Item", "Check being done", "What was seen"} & set(labels)
    assert {"What happened", "What was worn"} <= set(labels)


def test_who_was_hurt_is_listed_by_name() -> None:
    shift = splashed()
    people = shift.session.desk.catalogue.people
    named = {**people, "T1": replace(people["T1"], name="Zoe"), "T2": replace(people["T2"], name="abel")}
    shift.session.desk = replace(shift.session.desk, catalogue=replace(shift.session.desk.catalogue, people=named))
    shift.must(c.OpenNote(n=1), c.Turn(page=Page.NOTE_FIELD, subject="person:0"))
    assert [row.title for row in page(shift).rows] == ["abel", "Person D1", "Person S1", "Zoe"]


def test_the_time_of_telling_is_typed_without_a_point_or_is_now() -> None:
    shift = written(splashed())
    shift.must(c.Turn(page=Page.NOTE_FIELD, subject="told_at:1"))
    view = shift.session.view()
    assert isinstance(view, NumberView)
    assert (view.decimals, view.as_text) == (False, True)
    now = view.hand.right[0].send
    assert now is not None
    shift.must(now)
    assert shift.session.note is not None
    assert shift.session.note.value("told_at") == f"{local_time(shift.at_ms, 0):%H%M}"


@pytest.mark.parametrize("value", ["2460", "99", "abc", "12345"])
def test_a_time_that_is_none_is_not_taken(value: str) -> None:
    shift = written(splashed())
    shift.send(c.WriteNote(field="told_at", value=value))
    assert shift.refused in {"refused.told_time", "refused.not_asked"}


def test_no_page_but_first_aid_comes_before_the_note() -> None:
    shift = at_work(EAR)
    shift.must(c.FirstAid())
    assert isinstance(shift.session.view(), FirstAidView)
    shift.send(c.OpenNote(n=1))
    assert shift.session.note is None
