"""The doing screens on the three panels: nothing cut or crowded, readable, and every key sends what it says."""

from collections.abc import Iterator
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from coloraide import Color
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.vocabulary import Disposition
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.glass import Glass
from kiosk.ui.parts.icons import ICONS
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.touch import TouchButton
from kiosk.ui.screens.decision import DecisionScreen
from kiosk.ui.screens.note import NoteScreen
from kiosk.ui.screens.photo import PhotoScreen
from kiosk.ui.screens.screen import Screen
from kiosk.ui.screens.steps import StepsScreen
from kiosk.ui.theme import BENCH, DUSK, Tokens
from kiosk.ui.window import Window
from tests.ui.samples import PANELS, Clock, glass_of
from tests.ui.screens import doing_views as d
from tests.ui.screens import ending_views as e
from tests.ui.screens.rails import NOTE_120, SINCE, WORDS, Wall, lines, say

VIEWS = tuple(d.every(small=False))


def _window(glass: Glass, wall: Wall, pictures: list[Path]) -> Window:
    window = Window(glass, wall_ms=wall, clock_text=_clock_text)
    window.clock_timer.stop()
    window.set_pictures(lambda: pictures)
    window.show()
    return window


def _clock_text() -> str:
    return "14:07"


def _shown(glass: Glass, clock: Clock, wall: Wall, pictures: list[Path], name: str) -> Iterator[Screen]:
    """The screen of a view of the samples, its guard time over."""
    window = _window(glass, wall, pictures)
    view = d.every(small=window.small)[name]
    window.show_view(view)
    if isinstance(view, v.NoteView):
        for letter in NOTE_120:
            window.key_typed(letter)
    clock.now += 1000
    assert window.current is not None
    yield window.current
    window.close()


@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("name", VIEWS)
def test_nothing_is_cut_crowded_or_too_small(
    qapp: QApplication, clock: Clock, wall: Wall, pictures: list[Path], tmp_path: Path, panel: str, name: str
) -> None:
    glass = glass_of(panel, BENCH, clock)
    for screen in _shown(glass, clock, wall, pictures, name):
        assert violations(screen, glass) == []
        picture = screen.grab()
        assert picture.save(str(tmp_path / f"{name}.png"))
        assert picture.size() == screen.size()


@cache
def _contrast(one: str, other: str) -> float:
    """Contrast by WCAG 2.x."""
    return Color(one).contrast(other, method="wcag21")


@pytest.mark.parametrize("tokens", [BENCH, DUSK], ids=["bench", "dusk"])
@pytest.mark.parametrize("name", VIEWS)
def test_words_and_edges_stand_out(
    qapp: QApplication, clock: Clock, wall: Wall, pictures: list[Path], tokens: Tokens, name: str
) -> None:
    """WCAG 2.x contrast: text 7 (1.4.6, level AAA), edges of what is touched 3 (1.4.11)."""
    glass = glass_of("15.6 in", tokens, clock)
    for screen in _shown(glass, clock, wall, pictures, name):
        found = records(screen)
        weak = {
            (each.text, each.fg, each.bg) for each in found if each.kind == "text" and _contrast(each.fg, each.bg) < 7
        }
        faint = {
            (each.owner, each.fg, each.outside)
            for each in found
            if each.kind == "plate" and each.fg and _contrast(each.fg, each.outside) < 3
        }
        assert not weak
        assert not faint


@pytest.mark.parametrize("panel", PANELS)
def test_a_notice_moves_nothing(qapp: QApplication, clock: Clock, wall: Wall, pictures: list[Path], panel: str) -> None:
    glass = glass_of(panel, BENCH, clock)
    window = _window(glass, wall, pictures)
    for name, view in d.every(small=window.small).items():
        window.show_view(view)
        before = _places(window)
        window.show_view(replace(view, notice="That is not asked now."))
        assert _places(window) == before, name
    window.close()


def _places(window: Window) -> list[tuple[str, object]]:
    screen = window.current
    assert screen is not None
    targets = [each for each in records(screen) if each.kind == "target"]
    return [(each.owner, each.rect.getRect()) for each in targets]


def _tap(clock: Clock, key: QWidget) -> None:
    """A finger, as the mouse."""
    clock.now += 1000
    middle = key.rect().center()
    QTest.mousePress(key, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, middle)
    clock.now += 60
    QTest.mouseRelease(key, Qt.MouseButton.LeftButton, Qt.KeyboardModifier.NoModifier, middle)


def _key(screen: QWidget, name: str) -> TouchButton:
    found = [key for key in screen.findChildren(TouchButton) if key.objectName() == name and key.isVisible()]
    assert len(found) == 1, (name, [key.objectName() for key in screen.findChildren(TouchButton)])
    return found[0]


TAPS: list[tuple[v.View, str, c.Send]] = [
    (d.decision(), "decision.main.item_back", c.Confirm(what=Disposition.ITEM_BACK)),
    (d.decision(), "instead tray_back", c.Confirm(what=Disposition.TRAY_BACK)),
    (d.decision(), "left", c.MovePlace(by_mm=-10)),
    (d.decision(), "right", c.MovePlace(by_mm=10)),
    (d.decision(), "decision.photo", c.Turn(page=c.Page.PHOTO)),
    (d.decision(), "decision.change", c.TakeBack()),
    (d.decision(), "aid", c.FirstAid()),
    (d.decision(Disposition.SECOND_LOOK), "instead item_back", c.Confirm(what=Disposition.ITEM_BACK)),
    (d.photo(), "no photo too_dark", c.NoPhoto(reason="too_dark")),
    (d.full_cleaning(1, small=False), "bench_clean.step_done", c.StepDone(step="bench", number=1)),
    (d.drying(small=False), "put_right.dry_done", c.StepDone(step="put_right")),
    (d.wiping(small=False), "rail.supervisor", c.Turn(page=c.Page.NAMES, subject="ruling:")),
    (e.pack(small=False), "pack.main", c.PackAndPrint()),
    (e.pack(small=False), "indicators 2", c.PlaceIndicators(count=2)),
    (e.pack(small=False), "wrap", c.ChoosePackaging(kind="wrap")),
    (e.pack(small=False), "pack.weigh", c.Turn(page=c.Page.TYPE_NUMBER, subject="weight")),
    (e.printing(small=False, failed=True), "print.again", c.PrintAgain()),
    (e.printing(small=False, failed=True), "by hand", c.WriteByHand()),
    (e.done(), "done.next", c.Turn()),
    (e.stop(small=False), "decision.main.hold", c.Confirm(what=Disposition.HOLD)),
    (e.stop(small=False), "send dirty side", c.Confirm(what=Disposition.ITEM_BACK)),
    (e.menu(small=False), "stop called_away", c.StopHere(reason="called_away")),
    (e.soil(small=False), "page.next", c.Turn(page=c.Page.SOIL, number=1)),
    (e.first_aid(), "first_aid.done", c.FirstAidDone()),
]


@pytest.mark.parametrize(("view", "name", "send"), TAPS, ids=[name for _, name, _ in TAPS])
def test_a_key_sends_once_what_it_says(
    glass: Glass, clock: Clock, wall: Wall, view: v.View, name: str, send: c.Send
) -> None:
    window = _window(glass, wall, [])
    sent: list[object] = []
    window.sent.connect(sent.append)
    window.show_view(view)
    _tap(clock, _key(window, name))
    assert sent == [send]
    window.close()


@pytest.mark.parametrize("panel", PANELS)
def test_the_key_that_sends_it_back_is_low_on_the_right_and_the_largest(
    qapp: QApplication, clock: Clock, wall: Wall, panel: str
) -> None:
    glass = glass_of(panel, BENCH, clock)
    window = _window(glass, wall, [])
    window.show_view(d.decision())
    main = _key(window, "decision.main.item_back")
    content = glass.mm(glass.metrics.content_mm)
    assert main.x() - glass.mm(glass.metrics.left_mm) > content * 0.6
    assert main.width() >= glass.mm(72) - 1
    others = [key for key in window.findChildren(KeyButton) if key is not main and key.isVisible()]
    assert all(key.width() * key.height() < main.width() * main.height() for key in others)
    window.close()


def test_a_moved_mark_changes_the_sentence_and_the_keys_stay(glass: Glass, clock: Clock) -> None:
    screen = DecisionScreen(glass)
    screen.show()
    screen.show_view(d.decision())
    place = _key(screen, "left").geometry()
    screen.show_view(d.decision(at_mm=120))
    said = [each.text for each in records(screen) if each.kind == "text"]
    assert any("12 cm from ENTRY" in text for text in said)
    assert not any("13 cm from" in text for text in said)
    assert _key(screen, "left").geometry() == place


def test_the_key_opens_when_the_bench_has_been_wet_long_enough(glass: Glass, clock: Clock, wall: Wall) -> None:
    screen = StepsScreen(glass)
    screen.wall_ms = wall
    screen.show()
    wall.now = SINCE + 1
    screen.show_view(d.full_cleaning(4, small=False, since_ms=SINCE, minutes=4))
    assert not [
        key for key in screen.findChildren(KeyButton) if key.objectName() == "bench_clean.full_done" and key.isVisible()
    ]
    assert "Keep it wet: 4:00 to go" in [each.text for each in records(screen)]
    wall.now = SINCE + 239_001
    screen.tick()
    assert "Keep it wet: 0:01 to go" in [each.text for each in records(screen)]
    wall.now = SINCE + 240_000
    screen.tick()
    sent: list[object] = []
    screen.sent.connect(sent.append)
    _tap(clock, _key(screen, "bench_clean.full_done"))
    assert sent == [c.StepDone(step="bench", number=4)]
    assert not any("to go" in each.text for each in records(screen))


def test_steps_of_equal_weight_are_all_numbered_in_one_size(glass: Glass) -> None:
    screen = StepsScreen(glass)
    screen.show()
    screen.show_view(d.wiping(small=False))
    steps = lines("bench_clean.wipe_steps")
    found = {each.text: each.font_px for each in records(screen) if each.kind == "text"}
    assert len({found[step] for step in steps}) == 1
    assert {"1", "2", "3"} <= set(found)


def test_the_step_at_hand_is_larger_than_those_to_come(glass: Glass) -> None:
    screen = StepsScreen(glass)
    screen.show()
    screen.show_view(d.full_cleaning(2, small=False))
    steps = lines("bench_clean.full_steps")
    found = {each.text: each.font_px for each in records(screen) if each.kind == "text"}
    assert found[steps[2]] > found[steps[3]]
    assert steps[0] not in found


def test_everything_that_is_worn_has_a_picture() -> None:
    worn = {name.removeprefix("worn.") for name in WORDS.texts if name.startswith("worn.")} - {"words"}
    assert worn
    assert worn <= ICONS


def test_the_number_of_a_paper_that_was_not_printed_is_in_the_largest_letters(
    glass: Glass, clock: Clock, wall: Wall
) -> None:
    window = _window(glass, wall, [])
    window.show_view(e.printing(small=False, failed=True))
    found = {each.text: each.font_px for each in records(window.current or window) if each.kind == "text"}
    assert found["K-30007"] == max(found.values())
    assert set(e.COPY) <= set(found)
    window.close()


def test_a_picture_is_taken_by_one_touch(glass: Glass, clock: Clock, wall: Wall, pictures: list[Path]) -> None:
    window = _window(glass, wall, pictures)
    chosen: list[str] = []
    sent: list[object] = []
    window.picture_chosen.connect(chosen.append)
    window.sent.connect(sent.append)
    window.show_view(d.photo())
    _tap(clock, _key(window, f"picture {pictures[2].name}"))
    assert chosen == [str(pictures[2])]
    assert sent == []
    window.close()


def test_older_pictures_are_a_page_further(glass: Glass, clock: Clock, pictures: list[Path]) -> None:
    screen = PhotoScreen(glass)
    screen.set_source(lambda: pictures)
    screen.show()
    screen.show_view(d.photo())
    _tap(clock, _key(screen, "older pictures"))
    assert _key(screen, f"picture {pictures[3].name}").isVisible()
    assert not [
        key for key in screen.findChildren(TouchButton) if key.objectName() == "older pictures" and key.isVisible()
    ]
    _tap(clock, _key(screen, "newer pictures"))
    assert _key(screen, f"picture {pictures[0].name}").isVisible()


def test_a_picture_that_arrives_is_there_after_look_again(glass: Glass, clock: Clock, pictures: list[Path]) -> None:
    folder: list[Path] = []
    screen = PhotoScreen(glass)
    screen.set_source(lambda: folder)
    screen.show()
    screen.show_view(d.photo())
    assert say("photo.none_yet") in [each.text for each in records(screen)]
    folder.append(pictures[0])
    _tap(clock, _key(screen, "list pictures"))
    assert _key(screen, f"picture {pictures[0].name}").isVisible()


def test_a_file_that_is_no_picture_is_a_tile_with_its_name(glass: Glass, clock: Clock, pictures: list[Path]) -> None:
    screen = PhotoScreen(glass)
    screen.set_source(lambda: pictures[1:2])
    screen.show()
    screen.show_view(d.photo())
    words = [each.text.replace(" ", "") for each in records(screen) if each.kind == "text"]
    assert pictures[1].name.replace(" ", "") in words


def test_a_note_is_written_by_hand_and_by_keyboard(glass: Glass, clock: Clock) -> None:
    screen = NoteScreen(glass)
    screen.show()
    screen.show_view(e.note())
    sent: list[object] = []
    screen.sent.connect(sent.append)
    screen.key_typed("\r")
    assert sent == []  # nothing written yet
    for letter in "SPOT":
        _tap(clock, _key(screen, f"letter {letter}"))
    for letter in " at teethx":
        screen.key_typed(letter)
    screen.key_typed("\b")
    _tap(clock, _key(screen, "done"))
    screen.key_typed("\r")
    assert sent == [c.RuleQuarantine(by="P-9", piece="tube-a#1", note="Spot at teeth")] * 2
