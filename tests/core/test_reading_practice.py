"""The reading practice: blind, kept at once, apart from every tray, and never by person.

JOB: the "same 10 pictures to everybody each quarter; result to the educator as a group figure". look.md choice 6:
practice pictures live in the reading practice, apart from every record.
"""

from dataclasses import fields, is_dataclass, replace
from typing import Any

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.readings import mark_of, order_of
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.together import kept_readings
from kiosk.core.views import AskView, ListView, MenuView, PictureView, ReadingView, StopView
from kiosk.store.codec import from_bytes, to_bytes
from tests.core.department import EAR, PIN, Shift, at_work, desk, names, scan
from tests.core.reading_sets import SET, all_read, asked, many_readers, of_readings, pictures, reads, sign_in, with_set
from tests.core.two_benches import stations

SPLIT = {"T1": ["yes", "no", "yes", "no"], "T2": ["yes", "yes", "yes", "no"], "R1": ["yes", "no", "unsure", "no"]}


def words_of(part: Any) -> str:
    """Every text of a view or paper, and every name of a key."""
    if isinstance(part, str):
        return part
    if is_dataclass(part):
        return " ".join(words_of(getattr(part, each.name)) for each in fields(part) if each.name != "head")
    if isinstance(part, tuple | list):
        return " ".join(words_of(each) for each in part)
    return ""


def touch(shift: Shift, key: Any) -> None:
    shift.must(key.send)


def shown(shift: Shift) -> Any:
    return shift.session.view()


def at_set(shift: Shift, page: Page = Page.READING_SET) -> Any:
    shift.must(c.Turn(page=page, subject=SET))
    return shown(shift)


def test_everybody_is_asked_the_same_pictures_and_is_told_nothing_of_what_is_right() -> None:
    shift = with_set()
    sign_in(shift, "T1")
    shift.must(c.Turn(page=Page.HAPPENED))
    menu = shown(shift)
    assert isinstance(menu, MenuView)
    (key,) = [key for key in menu.keys if key.name == "read pictures"]
    touch(shift, key)
    seen = set()
    for n in range(1, 5):
        view = shown(shift)
        assert isinstance(view, ReadingView)
        assert (view.title, view.help) == (
            "Is the wall clear of soil?",
            f"Picture {n} of 4. Practice: it belongs to no tray.",
        )
        assert [plate.word for plate in (view.no, view.unsure, view.yes)] == ["NO", "CAN’T TELL", "YES"]
        assert view.notice == ""
        seen.add(asked(shift))
        touch(shift, [view.no, view.unsure, view.yes][n % 3])
        assert names([shift.log[-1].event]) == ["picture_read"]
    assert seen == {"1", "2", "3", "4"}
    end = shown(shift)
    assert isinstance(end, StopView)
    assert not any(char.isdigit() for char in words_of(replace(end, main=None, hand=end.hand)))
    shift.must(c.Turn(page=Page.HAPPENED))
    assert "read pictures" not in words_of(shown(shift))


def test_an_answer_is_kept_with_neither_person_nor_trip_and_under_another_mark_in_every_set() -> None:
    shift = with_set()
    reads(shift, "T1", dict.fromkeys("1234", "yes"))
    shift.must(c.SignOut())
    with_set(shift=shift, name="2031-Q2", number="1e" * 16)
    reads(shift, "T1", dict.fromkeys("1234", "yes"), number="1e" * 16)
    kept = [one for one in shift.log if isinstance(one.event, e.ReadingBegun | e.PictureRead)]
    assert len(kept) == 10
    assert {(one.stamp.who, one.stamp.trip) for one in kept} == {(None, None)}
    assert len({getattr(one.event, "reader", "") for one in kept}) == 2
    assert not any("T1" in repr(one.event) for one in kept)


def test_each_reader_has_an_order_of_their_own_from_a_seed_that_is_kept() -> None:
    shift = with_set(12)
    orders = {who: reads(shift, who, {str(n): "yes" for n in range(1, 13)}) for who in ("T1", "T2", "R1")}
    begun = {event.reader: event.seed for event in of_readings(shift) if isinstance(event, e.ReadingBegun)}
    assert len({tuple(order) for order in orders.values()}) == 3
    for who, order in orders.items():
        assert order == [one.name for one in order_of(pictures(12), begun[mark_of(SET, who)])]


def test_a_reading_goes_on_where_the_power_was_lost() -> None:
    shift = with_set()
    sign_in(shift, "T1")
    shift.must(c.BeginReading(set=SET))
    first, answers = asked(shift), 0
    shift.must(c.ReadPicture(set=SET, picture=first, says="no"))
    second = asked(shift)
    seeds = [event for event in of_readings(shift) if isinstance(event, e.ReadingBegun)]
    shift.session.bench, shift.session.turn = shift.folded(), None
    shift.must(c.Started(last_alive_ms=shift.at_ms - 60_000))
    sign_in(shift, "T1")
    shift.must(c.BeginReading(set=SET))
    assert asked(shift) == second
    assert [event for event in of_readings(shift) if isinstance(event, e.ReadingBegun)] == seeds
    while isinstance(shown(shift), ReadingView):
        shift.must(c.ReadPicture(set=SET, picture=asked(shift), says="yes"))
        answers += 1
    assert answers == 3


def test_the_answer_is_kept_before_the_next_picture_is_shown() -> None:
    shift = with_set()
    sign_in(shift, "T1")
    shift.must(c.BeginReading(set=SET))
    now = asked(shift)

    def full(_: object) -> None:
        from kiosk.core.session import NotKept

        raise NotKept("the disk is full")

    shift.session.keep = full
    shift.send(c.ReadPicture(set=SET, picture=now, says="yes"))
    assert asked(shift) == now
    assert "the disk is full" in shown(shift).notice


def test_where_no_picture_is_asked_the_page_says_why_and_thanks_nobody_for_what_they_did_not_read() -> None:
    shift = with_set()
    sign_in(shift, "T1")
    shift.session.send(c.Turn(page=Page.READING, subject=SET))
    assert shown(shift).title == "You have not begun this set."
    shift.session.send(c.Turn(page=Page.READING, subject="ab" * 16))
    assert shown(shift).title == "This set is not known at this station."
    shift.must(c.BeginReading(set=SET))
    desk_ends = Kept(event=e.ReadingSetEnded(set=SET), stamp=shift.log[-1].stamp)
    shift.session.take((desk_ends,))
    shift.session.send(c.Turn(page=Page.READING, subject=SET))
    assert shown(shift).title == "This set has ended."
    assert isinstance(shift.session.view(), StopView)


def test_only_the_picture_that_is_asked_is_answered_and_an_answer_stands() -> None:
    shift = with_set()
    sign_in(shift, "T1")
    shift.must(c.BeginReading(set=SET))
    now = asked(shift)
    for wrong in (
        c.ReadPicture(set=SET, picture=str(int(now) % 4 + 1), says="yes"),
        c.ReadPicture(set=SET, picture=now, says="maybe"),
        c.ReadPicture(set="aa" * 16, picture=now, says="yes"),
    ):
        shift.send(wrong)
        assert shift.refused
    shift.must(c.ReadPicture(set=SET, picture=now, says="yes"))
    shift.send(c.ReadPicture(set=SET, picture=now, says="no"))
    assert shift.refused


def test_practice_is_not_offered_and_not_followed_while_a_tray_is_open() -> None:
    shift = at_work(EAR)
    with_set_made = c.MakeReadingSet(set=SET, name="2031-Q1", pictures=pictures())
    shift.send(with_set_made)
    assert shift.refused, "whoever is signed in at the glass makes no set"
    shift.must(c.SignOut())
    shift.must(with_set_made, c.EnterPin(person="T1", pin=PIN))
    while shift.step.kind == "scan":
        shift.must(scan(EAR))
    if shift.bench.trip is None:
        shift.must(c.Turn(page=Page.HAPPENED))
    assert shift.bench.trip is not None
    shift.must(c.Turn(page=Page.HAPPENED))
    assert "read pictures" not in words_of(shown(shift))
    shift.send(c.BeginReading(set=SET))
    assert "A tray is open here" in shown(shift).notice


def test_practice_changes_nothing_of_trays_counters_and_records() -> None:
    shift = at_work(EAR)
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.must(c.SignOut())
    before = shift.bench
    shift.must(c.MakeReadingSet(set=SET, name="2031-Q1", pictures=pictures()))
    all_read(shift, {"T1": SPLIT["T1"], "T2": SPLIT["T2"]})
    shift.must(c.SignOut())
    after = shift.bench
    of_signing = {"readings", "left", "signed_in", "forgiven_ms", "refused"}
    same = [f.name for f in fields(Bench) if f.name not in of_signing]
    assert {name: getattr(after, name) for name in same} == {name: getattr(before, name) for name in same}


def test_no_figure_is_shown_before_the_set_has_ended_only_how_many_have_read() -> None:
    shift = with_set()
    reads(shift, "T1", dict.fromkeys("1234", "yes"))
    sign_in(shift, "T2")
    shift.must(c.BeginReading(set=SET))
    shift.must(c.ReadPicture(set=SET, picture=asked(shift), says="yes"))
    sign_in(shift, "S1")
    view = at_set(shift)
    assert isinstance(view, ListView)
    assert [(row.name, row.value) for row in view.rows] == [("read whole", "1"), ("read in part", "1")]
    shift.send(c.PrintReport(doc="reading_report", about=SET))
    assert shift.refused
    assert view.main is not None
    touch(shift, view.main)
    ask = shown(shift)
    assert isinstance(ask, AskView)
    touch(shift, ask.yes)
    assert "Krippendorff" in words_of(shown(shift))
    shift.must(c.SignOut(), c.EnterPin(person="R1", pin=PIN))
    shift.send(c.BeginReading(set=SET))
    assert "This set has ended." in shown(shift).notice


def test_a_set_that_one_person_read_has_no_figure() -> None:
    shift = with_set()
    all_read(shift, {"T1": SPLIT["T1"]})
    view = at_set(shift)
    assert (view.rows, view.nothing) == ((), "No picture was read by two people. There is nothing to compare.")
    shift.send(c.PrintReport(doc="reading_report", about=SET))
    assert shift.refused


def test_pictures_that_split_the_readers_most_come_first_with_the_picture_and_how_often_each_was_said() -> None:
    shift = with_set()
    all_read(shift, {**SPLIT, "R2": ["yes", "yes", "no", "no"]})
    shift.must(c.Turn(page=Page.READING_SPLIT, subject=SET))
    view = shown(shift)
    assert isinstance(view, PictureView)
    assert (view.picture, view.pages) == ("reading_3.png", 2)  # 1 of its 6 pairs is alike, of picture 2 two are
    assert "YES 2" in view.lines[1]
    assert "NO 1" in view.lines[1]
    touch(shift, view.next)
    assert shown(shift).picture == "reading_2.png"
    assert "NO 2 · YES 2" in words_of(shown(shift))


def test_neither_a_page_nor_the_paper_names_a_reader_or_shows_a_mark() -> None:
    shift = with_set()
    all_read(shift, SPLIT)
    paper = compose_report(shift.session.paper_glance(), ReportOrder(doc="reading_report", number="RD-1", about=SET))
    shown = [at_set(shift), at_set(shift, Page.READING_SPLIT), at_set(shift, Page.READING_SETS), paper]
    marks = [mark_of(SET, who) for who in SPLIT]
    for part in shown:
        said = words_of(part)
        assert said
        assert not [word for word in (*(f"Person {who}" for who in SPLIT), *marks) if word in said]


def test_small_numbers_are_counts_and_a_percentage_needs_fifty_pairs() -> None:
    shift = with_set()
    all_read(shift, SPLIT)
    assert at_set(shift).rows[0].value == "8 of 12"
    large = with_set(20)
    all_read(large, {who: ["yes"] * 19 + [last] for who, last in (("T1", "no"), ("T2", "yes"), ("R1", "yes"))})
    assert at_set(large).rows[0].value == "96.7 % (58 of 60)"


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"name": ""}, "up to 24 letters"),
        ({"name": "x" * 25}, "up to 24 letters"),
        ({"set": "12"}, "up to 24 letters"),
        ({"pictures": pictures(1)}, "from 2 to 60 pictures"),
        ({"pictures": pictures(61)}, "from 2 to 60 pictures"),
        ({"pictures": (*pictures(2), replace(pictures(1)[0], name="3"))}, "stands in it twice"),
        ({"name": "2031-Q1", "set": "1e" * 16}, "a set 2031-Q1 already"),
    ],
)
def test_a_set_that_cannot_be_one_is_refused_in_one_sentence(change: dict[str, Any], said: str) -> None:
    shift = with_set()
    command = replace(c.MakeReadingSet(set="2d" * 16, name="2031-Q2", pictures=pictures()), **change)
    shift.send(command)
    assert said in shift.session.glance().said()


def test_a_reading_goes_on_at_another_bench_and_of_two_answers_the_first_stands() -> None:
    apart = stations("B1", "B2")
    with_set(shift=apart["B1"])
    apart.meet()
    sign_in(apart["B1"], "T1")
    apart["B1"].must(c.BeginReading(set=SET))
    first = asked(apart["B1"])
    apart["B1"].must(c.ReadPicture(set=SET, picture=first, says="no"))
    second = asked(apart["B1"])
    apart.meet()
    sign_in(apart["B2"], "T1")
    apart["B2"].must(c.BeginReading(set=SET))
    assert asked(apart["B2"]) == second
    apart["B1"].at_ms = apart["B2"].at_ms = max(shift.at_ms for shift in apart.each.values())
    apart["B2"].must(c.ReadPicture(set=SET, picture=second, says="unsure"))
    apart["B1"].at_ms = apart["B2"].at_ms + 60_000
    apart["B1"].must(c.BeginReading(set=SET), c.ReadPicture(set=SET, picture=second, says="yes"))
    apart.meet()
    for shift in apart.each.values():
        (reader,) = kept_readings.readers_of(shift.bench, shift.session.desk, SET).values()
        assert {name: says for name, (_, says) in reader.said.items()} == {first: "no", second: "unsure"}


def test_what_the_practice_folds_to_comes_back_from_a_snapshot() -> None:
    shift = with_set()
    all_read(shift, SPLIT)
    assert shift.folded() == shift.bench
    assert from_bytes(Bench, to_bytes(shift.bench)).readings == shift.bench.readings


def test_where_nobody_reckons_there_is_no_figure() -> None:
    shift = with_set(shift=Shift(desk=replace(many_readers(), agreeing=None)))
    all_read(shift, SPLIT)
    assert at_set(shift).rows == ()
    assert desk().agreeing is None
