"""What and where on the finding screen: two taps, in any order, on every panel."""

from dataclasses import replace

from PySide6.QtCore import QPoint
from pytestqt.qtbot import QtBot

from kiosk.core.commands import ReportFinding
from kiosk.core.place import Place
from kiosk.core.views import Flag
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.screens.finding import FindingScreen
from tests.ui.screens import asking_views as made
from tests.ui.screens.invented import SHAVER, SIZES, Clock, band, glass_of, say
from tests.ui.screens.tapping import Hand


def band_point(screen: FindingScreen, at_mm: int) -> tuple[LumenBand, QPoint]:
    """The tube, and the point of its stations that means a place."""
    assert screen.where is not None
    band = screen.where.band
    assert band is not None
    assert band.drawing is not None
    mm = band.glass.mm
    x = mm(band.room_mm()[0] + band.drawing.x_of(at_mm))
    return band, QPoint(round(x), band.height() - round(mm(12)))


def test_what_then_where_is_two_taps(qtbot: QtBot) -> None:
    for size in SIZES:
        hand = Hand(qtbot, FindingScreen, made.finding(size == "10.1 in"), size)
        hand.press("finding red_mark")
        assert hand.sent == []
        hand.tap(*band_point(hand.screen, 130))
        assert hand.sent == [ReportFinding(code="red_mark", place=Place(lumen="lumen", at_mm=130))]


def test_where_then_what_is_the_same(qtbot: QtBot) -> None:
    hand = Hand(qtbot, FindingScreen, made.finding(False))
    hand.tap(*band_point(hand.screen, 200))
    assert hand.sent == []
    hand.press("finding bristle")
    assert hand.sent == [ReportFinding(code="bristle", place=Place(lumen="lumen", at_mm=200))]


def test_all_along_and_a_landmark_are_places(qtbot: QtBot) -> None:
    hand = Hand(qtbot, FindingScreen, made.finding_shaver(False))
    hand.press("all along")
    hand.press("place window teeth, inner tube")
    hand.press("finding red_mark")
    hand.press("all along")
    named = Place(lumen="inner tube", landmark="window teeth, inner tube")
    assert hand.sent == [
        ReportFinding(code="red_mark", place=named),
        ReportFinding(code="red_mark", place=Place(lumen="inner tube", all_along=True)),
    ]


def test_not_sure_asks_for_no_place(qtbot: QtBot) -> None:
    hand = Hand(qtbot, FindingScreen, made.finding(False))
    hand.press("finding unsure")
    assert hand.sent == [ReportFinding(code="unsure", place=Place(lumen="lumen"))]


def test_a_tube_that_nobody_measured_is_marked_by_quarters(qtbot: QtBot) -> None:
    hand = Hand(qtbot, FindingScreen, made.finding_unmeasured(False))
    band = hand.screen.where.band
    mm = hand.glass.mm
    x = band.room_mm()[0] + band.drawing.drawn_mm * 0.6
    hand.tap(band, QPoint(round(mm(x)), band.height() - round(mm(12))))
    hand.press("finding red_mark")
    assert hand.sent == [ReportFinding(code="red_mark", place=Place(lumen="lumen", landmark="3 of 4"))]


def test_a_piece_without_a_lumen_has_places_by_name_and_pages_where_they_are_many(qtbot: QtBot) -> None:
    for size in SIZES:
        hand = Hand(qtbot, FindingScreen, made.finding_plain(size == "10.1 in", True), size)
        names = {f"place {mark.name}" for mark in made.finding_plain(False, True).landmarks}
        seen: set[str] = set()
        for _ in range(hand.screen.where.pages):
            seen |= {key.objectName() for key in hand.screen.where.keys if key.isVisible()}
            hand.press("other places")
        assert seen == names
        hand.press("finding wont_pass")
        hand.press("place joint")
        assert hand.sent == [ReportFinding(code="wont_pass", place=Place(landmark="joint"))]


def test_where_no_place_can_be_named_what_is_enough(qtbot: QtBot) -> None:
    view = replace(made.finding_plain(False), landmarks=())
    hand = Hand(qtbot, FindingScreen, view)
    hand.press("finding red_mark")
    assert hand.sent == [ReportFinding(code="red_mark", place=Place())]


def test_something_else_opens_every_other_word_in_the_same_places(qtbot: QtBot) -> None:
    for size in SIZES:
        view = made.finding(size == "10.1 in")
        hand = Hand(qtbot, FindingScreen, view, size)
        places = [key.geometry() for key in hand.screen.choices.keys]
        back = hand.key("finding.back").geometry()
        hand.press("more words")
        seen: list[str] = []
        while True:
            keys = hand.screen.choices.keys
            assert [key.geometry() for key in keys] == places[: len(keys)]
            assert hand.key("finding.back").geometry() == back
            seen += [key.action for key in keys]
            if "words after" not in {key.objectName() for key in hand.screen.hand_rail.keys}:
                break
            hand.press("words after")
        assert seen == [choice.code for choice in view.more]
        hand.press("more words")
        assert [key.action for key in hand.screen.choices.keys] == [choice.code for choice in view.choices]


def test_a_landmark_is_one_tap_on_every_screen_and_so_is_a_stretch_of_the_tube(qtbot: QtBot) -> None:
    for size in SIZES:
        hand = Hand(qtbot, FindingScreen, made.finding_shaver(size == "10.1 in"), size)
        hand.press("finding red_mark")
        hand.press("place window teeth, inner tube")
        hand.tap(*band_point(hand.screen, 50))
        named = Place(lumen="inner tube", landmark="window teeth, inner tube")
        at = Place(lumen="inner tube", at_mm=50)
        assert hand.sent == [ReportFinding(code="red_mark", place=place) for place in (named, at)]


def test_what_was_touched_stays_with_a_notice_and_goes_with_another_question(qtbot: QtBot) -> None:
    view = made.finding(False)
    hand = Hand(qtbot, FindingScreen, view)
    hand.press("finding red_mark")
    hand.screen.show_view(replace(view, notice=say("notice.scan.person")))
    assert hand.key("finding red_mark").chosen
    hand.screen.begin()
    assert not hand.key("finding red_mark").chosen


def test_a_named_place_wears_its_flag_on_every_panel(qtbot: QtBot) -> None:
    """A finding at a landmark is marked on the tube like one at a distance, with the landmark's name before it."""
    place = Place(lumen="inner tube", landmark="window teeth, inner tube")
    flagged = replace(band(SHAVER), flags=(Flag(number=1, place=place, say=place.landmark),))
    for size in SIZES:
        shown = LumenBand(glass_of(size, Clock()))
        qtbot.addWidget(shown)
        shown.resize(round(shown.glass.mm(300)), round(shown.glass.mm(42)))
        shown.show_band(flagged)
        assert shown.drawing is not None
        spot = shown.drawing.spot_of(place)
        assert spot == shown.drawing.x_of(138)
        mm = shown.glass.mm
        cloth = round(mm(shown.room_mm()[0] + spot + 0.9)), round(mm(4.7))
        flag = shown.grab().toImage().pixelColor(*cloth).name()
        shown.show_band(band(SHAVER))
        bare = shown.grab().toImage().pixelColor(*cloth).name()
        assert flag == shown.glass.tokens.found.lower() != bare
