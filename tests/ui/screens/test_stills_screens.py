"""The camera page in every state and the comparing page with outlines, at three sizes and in each language."""

from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import QObject, QPoint, Signal
from PySide6.QtGui import QColor, QImage
from pytestqt.qtbot import QtBot

from kiosk.core import commands as c
from kiosk.core.still import Compared, Outlined, Turned
from kiosk.devices.picture import Frame, State, Still
from kiosk.lumen.drawing import station_of
from kiosk.ui.audit import violations
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.camera import CameraScreen, Mode
from kiosk.ui.screens.compare import CompareScreen
from tests.ui.samples import PANELS
from tests.ui.screens import stills_views
from tests.ui.screens.spoken import samples
from tests.ui.screens.tapping import Hand

LANGUAGES = ("en", "es")


class Feed(QObject):
    """A source that a test moves."""

    framed = Signal(object)
    state_changed = Signal(object)

    def __init__(self, image: QImage) -> None:
        super().__init__()
        self.state, self.about, self.image, self.number = State.LIVE, "", image, 1

    def still(self) -> Still:
        return Still(frame=Frame(image=self.image, number=self.number, at_ms=0), original=b"as it came", name="a.png")


@pytest.fixture
def image() -> QImage:
    made = QImage(640, 360, QImage.Format.Format_RGB32)
    made.fill(QColor(12, 200, 90))
    return made


def views_in(language: str) -> Any:
    return stills_views if language == "en" else samples(language)["stills_views"]


@pytest.fixture
def feed(image: QImage) -> Feed:
    return Feed(image)


def opened(qtbot: QtBot, feed: Feed, view: Any, size: str = "15.6 in") -> Hand:
    hand = Hand(qtbot, CameraScreen, view, size)
    hand.screen.hide()
    hand.screen.set_source(feed)
    hand.screen.show()
    hand.clock.ms += 400
    return hand


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("size", PANELS)
@pytest.mark.parametrize("mode", Mode)
def test_no_state_of_the_camera_page_is_cut_or_crowded(
    qtbot: QtBot, feed: Feed, size: str, mode: Mode, language: str
) -> None:
    hand = opened(qtbot, feed, views_in(language).camera(long=True, stills=3), size)
    if mode is not Mode.LIVE:
        hand.press("freeze")
    if mode in (Mode.TUBE, Mode.PLACE):
        hand.press("how deep")
    if mode is Mode.PLACE:
        hand.press("type the depth")
        hand.press("digit 9")
        hand.press("digit 9")
        hand.press("digit 9")
        hand.press("done")
        assert hand.screen.mode is Mode.PLACE, "deeper than the lumen is long: the pad stays and says so"
        hand.press("digit 4")
    if mode is Mode.KEEPING:
        hand.press("keep still")
    assert hand.screen.mode is mode
    assert violations(hand.screen, hand.glass) == []


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("size", PANELS)
@pytest.mark.parametrize("state", [state for state in State if state is not State.LIVE])
def test_every_sentence_of_a_source_stands_whole_and_no_old_picture_is_shown_or_frozen(
    qtbot: QtBot, feed: Feed, size: str, state: State, language: str
) -> None:
    feed.state, feed.about = state, "W" * 60
    hand = opened(qtbot, feed, views_in(language).camera(), size)
    assert violations(hand.screen, hand.glass) == []
    assert hand.screen.lens.image.isNull()
    said: list[str] = []
    hand.screen.said.connect(said.append)
    hand.press("freeze")
    assert said == ["refused.still_source"]
    assert hand.screen.mode is Mode.LIVE


def test_the_picture_is_shown_as_it_came_on_the_neutral_surround(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    lens = hand.screen.lens
    shown = lens.grab().toImage()
    assert shown.pixelColor(shown.width() // 2, shown.height() // 2).name() == "#0cc85a"
    assert shown.pixelColor(2, 2).name() == "#2b2b2b"  # look.md 2.10: lens


def test_a_live_frame_takes_the_place_of_the_one_before_and_a_frozen_one_stays(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    other = QImage(640, 360, QImage.Format.Format_RGB32)
    other.fill(QColor(1, 2, 3))
    hand.press("freeze")
    feed.framed.emit(Frame(image=other, number=2, at_ms=1))
    assert hand.screen.lens.image == feed.image
    feed.image = other
    hand.press("try again")
    assert hand.screen.lens.image == other


def tube_of(hand: Hand) -> LumenBand:
    """The drawn tube that is shown."""
    bands: list[LumenBand] = hand.screen.findChildren(LumenBand)
    return next(band for band in bands if band.isVisible())


@pytest.mark.parametrize("size", PANELS)
def test_a_touch_on_the_drawn_tube_says_how_deep(qtbot: QtBot, feed: Feed, size: str) -> None:
    hand = opened(qtbot, feed, stills_views.camera(), size)
    hand.press("freeze")
    hand.press("how deep")
    band = tube_of(hand)
    start, _ = band.room_mm()
    assert band.drawing is not None
    x = hand.glass.mm(start + band.drawing.drawn_mm * 0.4)
    hand.tap(band, QPoint(round(x), round(band.tap_area().center().y())))
    assert hand.screen.mode is Mode.FROZEN
    assert hand.screen._at_mm == pytest.approx(0.4 * float(band.drawing.length_mm or 0), abs=band.drawing.snap_mm)
    hand.press("how deep")
    band = tube_of(hand)
    assert band.drawing is not None
    assert band._chosen == station_of(band.drawing, hand.screen._at_mm), "what was said is marked"


def test_where_nobody_knows_how_long_a_lumen_is_the_depth_is_typed_at_once(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera(tube=False))
    hand.press("freeze")
    hand.press("how deep")
    assert hand.screen.mode is Mode.PLACE


def test_what_is_kept_says_how_deep_and_the_same_file_is_not_frozen_again(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    wanted: list[tuple[Still, c.KeepStill]] = []
    said: list[str] = []

    def note(still: Still, of: c.KeepStill) -> None:
        wanted.append((still, of))

    hand.screen.wanted.connect(note)
    hand.screen.said.connect(said.append)
    hand.press("freeze")
    hand.press("how deep")
    for key in ("type the depth", "digit 1", "digit 3", "done", "keep still"):
        hand.press(key)
    ((_, of),) = wanted
    assert of.at_mm == 130
    hand.screen.settled(hand.screen._still, kept=True)
    assert hand.screen.mode is Mode.LIVE
    hand.press("freeze")
    assert (hand.screen.mode, said[-1]) == (Mode.LIVE, "notice.still_gone")
    feed.number += 1
    hand.press("freeze")
    assert hand.key("keep still").isVisible()


def test_after_a_lock_what_was_frozen_is_frozen_still(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    hand.press("freeze")
    hand.screen.hide()
    hand.screen.show()
    hand.screen.begin()
    hand.screen.take_up()
    assert hand.screen.mode is Mode.FROZEN


@pytest.mark.parametrize(("kept", "mode"), [(True, Mode.LIVE), (False, Mode.FROZEN)], ids=["kept", "not kept"])
def test_what_the_disk_said_during_a_lock_counts_after_it(qtbot: QtBot, feed: Feed, kept: bool, mode: Mode) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    hand.press("freeze")
    hand.press("keep still")
    still = hand.screen._still
    hand.screen.hide()
    hand.screen.settled(still, kept=kept)
    hand.screen.show()
    hand.screen.begin()
    hand.screen.take_up()
    assert hand.screen.mode is mode


def test_what_the_disk_says_of_another_still_changes_nothing(qtbot: QtBot, feed: Feed) -> None:
    hand = opened(qtbot, feed, stills_views.camera())
    hand.press("freeze")
    hand.press("keep still")
    before = Still(frame=Frame(image=feed.image, number=0, at_ms=0), original=b"before", name="0.png")
    for kept in (True, False):
        assert not hand.screen.settled(before, kept=kept)
        assert hand.screen.mode is Mode.KEEPING


def test_two_other_pictures_are_compared_once(qtbot: QtBot) -> None:
    hand = Hand(qtbot, CompareScreen, stills_views.compare(), "15.6 in")
    asked: list[tuple[str, str]] = []

    def note(today: str, known: str) -> None:
        asked.append((today, known))

    hand.screen.wanted.connect(note)
    other = replace(stills_views.compare(), today="other.png")
    hand.screen.show_view(other)
    hand.screen.begin()
    assert asked == [("other.png", other.known)]


def compared(*, outlined: int = 24) -> Compared:
    spots = [(40.0 + 100 * (n % 6), 40.0 + 80 * (n // 6)) for n in range(outlined)]
    return Compared(
        today="today.png",
        known="known.png",
        width=640,
        turned=Turned(turn_deg=25.0, scale=1.1, today=(320.0, 180.0), known=(318.0, 179.0)),
        read=True,
        outlined=tuple(
            Outlined(points=((x, y), (x + 20, y), (x + 20, y + 15), (x, y + 15)), difference=12.5) for x, y in spots
        ),
        light="#8CFF28",
        dark="#000000",
    )


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("size", PANELS)
def test_the_comparing_page_stands_whole_with_outlines_and_says_that_it_is_an_aid(
    qtbot: QtBot, tmp_path: Path, image: QImage, size: str, language: str
) -> None:
    for name in ("today.png", "known.png"):
        assert image.save(str(tmp_path / name))
    view = views_in(language).compare(long=True, sha256=sha256((tmp_path / "known.png").read_bytes()).hexdigest())
    hand = Hand(qtbot, CompareScreen, view, size)
    hand.screen.set_kept(lambda name: tmp_path / name)
    hand.screen.begin()
    for outlined in (24, 0):
        hand.screen.show_compared(compared(outlined=outlined))
        assert not hand.screen.outlines_on
        hand.clock.ms += 400
        hand.press("outlines")
        assert violations(hand.screen, hand.glass) == []
        hand.press("outlines")
        assert violations(hand.screen, hand.glass) == []
    told = " ".join(words.accessibleName() for words in hand.screen.findChildren(Words))
    assert view.aid in " ".join(told.split())


@pytest.mark.parametrize("language", LANGUAGES)
@pytest.mark.parametrize("size", PANELS)
@pytest.mark.parametrize("lies", [True, False], ids=["another file", "no file"])
def test_a_known_look_that_is_not_what_was_accepted_is_said_and_neither_shown_nor_compared(
    qtbot: QtBot, tmp_path: Path, image: QImage, size: str, language: str, lies: bool
) -> None:
    assert image.save(str(tmp_path / "today.png"))
    accepted = sha256((tmp_path / "today.png").read_bytes()).hexdigest()
    if lies:
        (tmp_path / "known.png").write_bytes((tmp_path / "today.png").read_bytes() + b"x")
    view = views_in(language).compare(long=True, sha256=accepted)
    hand = Hand(qtbot, CompareScreen, view, size)
    hand.screen.set_kept(lambda name: tmp_path / name)
    hand.screen.show_compared(replace(compared(), turned=None))
    assert hand.screen.known is None
    assert hand.screen.today is not None
    told = " ".join(" ".join(words.accessibleName().split()) for words in hand.screen.findChildren(Words))
    assert (view.not_accepted if lies else view.not_here) in told
    assert violations(hand.screen, hand.glass) == []
