"""Taps on the asking screens send what their views say."""

from dataclasses import replace

from pytestqt.qtbot import QtBot

from kiosk.core.commands import (
    Answer,
    AnswerStartup,
    CountAll,
    CountDiffers,
    CountLine,
    EnterPin,
    FirstAid,
    OpenPiece,
    Page,
    Scanned,
    SetLabelTime,
    TakeBack,
    Turn,
    Weigh,
)
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.ask import AskScreen
from kiosk.ui.screens.count import CountScreen
from kiosk.ui.screens.finding import FindingScreen
from kiosk.ui.screens.number import NumberScreen
from kiosk.ui.screens.overview import OverviewScreen
from kiosk.ui.screens.pin import PinScreen
from kiosk.ui.screens.scan import ScanScreen
from kiosk.ui.screens.sign_in import SignInScreen
from tests.ui.screens import asking_views as made
from tests.ui.screens.invented import SIZES, say
from tests.ui.screens.tapping import PRESS_MS, Hand


def test_yes_sends_the_answer_with_the_time_since_the_question_came(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False))
    hand.tap(hand.screen.answers.yes, apart_ms=4_000)
    (answer,) = hand.sent
    assert isinstance(answer, Answer)
    assert answer.yes
    assert answer.took_ms == 400 + 4_000 + PRESS_MS


def test_no_and_can_not_tell_send_theirs(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False))
    hand.tap(hand.screen.answers.no)
    hand.tap(hand.screen.answers.unsure)
    no, unsure = hand.sent
    assert isinstance(no, Answer)
    assert isinstance(unsure, Answer)
    assert (no.yes, no.unsure) == (False, False)
    assert (unsure.yes, unsure.unsure) == (False, True)


def test_a_question_about_the_bench_sends_its_answer_as_it_stands(qtbot: QtBot) -> None:
    yes = AnswerStartup(question="lamp", yes=True)
    view = made.startup(False)
    hand = Hand(qtbot, AskScreen, replace(view, yes=replace(view.yes, send=yes)))
    hand.tap(hand.screen.answers.yes)
    assert hand.sent == [yes]


def test_a_sleeping_yes_takes_no_tap_while_no_does(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False, wait=True))
    hand.tap(hand.screen.answers.yes)
    assert hand.sent == []
    hand.tap(hand.screen.answers.no)
    assert len(hand.sent) == 1


def test_yes_wakes_when_the_light_is_through_and_says_the_centimeters_until_then(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False, wait=True))
    screen = hand.screen
    hand.clock.ms += 5_600  # 6 s of 10 s: 15 of 25 cm are done
    screen.refresh_front()
    assert screen.answers.yes.asleep
    assert screen.answers.yes.to_go.number == "10"
    hand.clock.ms += 4_000
    screen.refresh_front()
    assert not screen.answers.yes.asleep
    hand.tap(screen.answers.yes)
    assert len(hand.sent) == 1


def test_a_notice_moves_nothing_and_the_look_goes_on(qtbot: QtBot) -> None:
    for size in SIZES:
        hand = Hand(qtbot, AskScreen, made.check(size == "10.1 in"), size)
        places = [plate.geometry() for plate in hand.screen.answers.plates]
        hand.clock.ms += 2_000
        view = made.check(size == "10.1 in")
        answer = view.yes.send
        assert isinstance(answer, Answer)
        sure = replace(view.yes, send=replace(answer, sure=True))
        hand.screen.show_view(replace(view, notice=say("notice.quick_look", seconds=2), yes=sure))
        assert [plate.geometry() for plate in hand.screen.answers.plates] == places
        assert hand.screen.took_ms() == 2_400
        hand.tap(hand.screen.answers.yes)
        assert isinstance(hand.sent[-1], Answer)
        assert hand.sent[-1].sure


def test_a_look_that_was_broken_off_begins_anew(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False))
    hand.clock.ms += 30_000
    hand.screen.hide()
    hand.screen.show_view(made.check(False))
    hand.screen.show()
    assert hand.screen.took_ms() == 0


def test_taps_within_the_guard_of_a_new_question_do_not_count(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False))
    hand.screen.begin()
    hand.tap(hand.screen.answers.no, apart_ms=200)
    assert hand.sent == []
    hand.tap(hand.screen.answers.no, apart_ms=200)
    assert len(hand.sent) == 1


def test_the_aid_key_sends_first_aid_on_every_screen(qtbot: QtBot) -> None:
    for kind, view in (
        (AskScreen, made.check(False)),
        (SignInScreen, made.sign_in(False)),
        (FindingScreen, made.finding(False)),
        (CountScreen, made.count(False)),
    ):
        hand = Hand(qtbot, kind, view)
        hand.press("aid")
        assert hand.sent == [FirstAid()]


def test_the_hand_rail_sends_what_its_keys_say(qtbot: QtBot) -> None:
    hand = Hand(qtbot, AskScreen, made.check(False))
    hand.press("rail.change")
    hand.press("rail.stop")
    assert hand.sent == [TakeBack(), Turn(page=Page.STOP)]


def test_a_name_at_sign_in_opens_the_key_pad_of_that_person(qtbot: QtBot) -> None:
    hand = Hand(qtbot, SignInScreen, made.sign_in(False))
    hand.press("Ana P.")
    assert hand.sent == [Turn(page=Page.PIN, subject="p1")]


def without_salt(sent: list[object]) -> list[object]:
    """What was sent; the salts are random, and each is 16 bytes."""
    assert all(len(bytes.fromhex(one.salt)) == 16 for one in sent if isinstance(one, EnterPin))
    return [replace(one, salt="") if isinstance(one, EnterPin) else one for one in sent]


def test_a_pin_is_sent_by_the_done_key(qtbot: QtBot) -> None:
    hand = Hand(qtbot, PinScreen, made.pin(False))
    for digit in "4711":
        hand.press(f"digit {digit}", apart_ms=200)
    hand.press("done")
    assert without_salt(hand.sent) == [EnterPin(person="p1", pin="4711", ruling=False)]


def test_a_pin_is_sent_when_no_more_digits_can_follow(qtbot: QtBot) -> None:
    hand = Hand(qtbot, PinScreen, replace(made.pin(False, True), most=4))
    for digit in "0926":
        hand.screen.key_typed(digit)
    assert without_salt(hand.sent) == [EnterPin(person="p1", pin="0926", ruling=True)]
    hand.screen.show_view(replace(made.pin(False, True), most=4, notice=say("notice.pin_wrong", left=4)))
    assert hand.screen.pad.text() == ""


def test_a_typed_tray_number_carries_its_letters(qtbot: QtBot) -> None:
    hand = Hand(qtbot, NumberScreen, made.number("tray")(False, False))
    for digit in "0417":
        hand.press(f"digit {digit}", apart_ms=200)
    hand.press("done")
    hand.press("choose W-")
    hand.press("done")
    assert hand.typed == [("tray", "TR-0417"), ("tray", "W-0417")]
    assert hand.sent == []


def test_a_keyboard_types_letters_digits_and_enter(qtbot: QtBot) -> None:
    hand = Hand(qtbot, NumberScreen, made.number("tray")(False, False))
    for character in ("w", "2", "2", "0", "1", "9", "\b", "\r"):
        hand.screen.key_typed(character)
    assert hand.typed == [("tray", "W-2201")]


def test_a_weight_can_not_be_kept_before_its_unit_is_chosen(qtbot: QtBot) -> None:
    hand = Hand(qtbot, NumberScreen, made.number("weight")(False, False))
    for digit in ("8", ".", "4"):
        hand.press(f"digit {digit}", apart_ms=200)
    assert not [key for key in hand.screen.findChildren(KeyButton) if key.objectName() == "done" and key.isVisible()]
    hand.screen.key_typed("\r")
    assert hand.sent == []
    hand.press("choose lb")
    hand.press("done")
    assert hand.sent == [Weigh(value="8.4", unit="lb")]


def test_a_label_time_is_sent_in_minutes(qtbot: QtBot) -> None:
    hand = Hand(qtbot, NumberScreen, made.number("minutes")(False, False))
    hand.press("digit 4")
    hand.press("done")
    assert hand.sent == [SetLabelTime(minutes=4)]


def test_a_tray_kept_for_later_opens_by_its_row(qtbot: QtBot) -> None:
    hand = Hand(qtbot, ScanScreen, made.scan(False))
    hand.tap(hand.screen.rows[1])
    (scanned,) = hand.sent
    assert isinstance(scanned, Scanned)
    assert scanned.meaning.text == "TR-0411"


def test_a_row_of_the_overview_opens_its_piece_and_one_that_left_the_tray_does_not(qtbot: QtBot) -> None:
    hand = Hand(qtbot, OverviewScreen, made.overview(False))
    hand.tap(hand.screen.rows[3])
    hand.tap(hand.screen.rows[4])
    assert hand.sent == [OpenPiece(piece="A3")]


def test_the_first_page_has_no_key_for_the_page_before_and_the_others_stay_in_place(qtbot: QtBot) -> None:
    hand = Hand(qtbot, OverviewScreen, made.overview(False, True))
    leave, go = hand.key("overview.leave").geometry(), hand.key("overview.go").geometry()
    hand.press("page.next")
    assert hand.sent == [Turn(page=Page.OVERVIEW, number=3)]
    hand.screen.show_view(replace(made.overview(False, True), page=0))
    assert "page.previous" not in {key.objectName() for key in hand.screen.hand_rail.keys}
    assert (hand.key("overview.leave").geometry(), hand.key("overview.go").geometry()) == (leave, go)


def test_plus_says_as_listed_first_and_then_one_more(qtbot: QtBot) -> None:
    hand = Hand(qtbot, CountScreen, made.count(False))
    hand.press("+ L1")
    hand.press("− L1")
    hand.press("+ L4")
    hand.press("− L4")
    sent = [("L1", 2), ("L1", 1), ("L4", 6), ("L4", 4)]
    assert hand.sent == [CountLine(line=line, have=have) for line, have in sent]


def test_plus_again_and_again_counts_each_time(qtbot: QtBot) -> None:
    view = made.count(False)
    hand = Hand(qtbot, CountScreen, view)
    plus = hand.key("+ L0")
    for have in (7, 8, 9):
        hand.tap(plus, apart_ms=160)
        assert hand.sent[-1] == CountLine(line="L0", have=have)
        view = replace(view, rows=(replace(view.rows[0], have=have), *view.rows[1:]))
        hand.screen.show_view(view)
        assert hand.key("+ L0") is plus


def test_none_there_has_no_key_for_one_less(qtbot: QtBot) -> None:
    view = made.count(False)
    hand = Hand(qtbot, CountScreen, replace(view, rows=(replace(view.rows[0], have=0), *view.rows[1:])))
    assert not hand.screen.rows[0].less.isVisible()


def test_all_as_listed_takes_the_lines_without_a_number_and_the_time(qtbot: QtBot) -> None:
    hand = Hand(qtbot, CountScreen, made.count(False))
    hand.press("count all", apart_ms=9_000)
    assert hand.sent == [CountAll(lines=("L1", "L3"), took_ms=400 + 9_000 + PRESS_MS)]


def test_a_page_counted_through_has_no_key_for_all_and_a_count_that_differs_has_its_own(qtbot: QtBot) -> None:
    hand = Hand(qtbot, CountScreen, made.count(False, True))
    assert hand.screen.all is None
    hand.press("count.differs")
    assert hand.sent == [CountDiffers()]
