"""Every sample view in each other language of the house, at the three sizes: nothing is cut, crowded or covered."""

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from kiosk.core.settings import CHOICES
from kiosk.core.views import NoteView
from kiosk.ui.audit import violations
from kiosk.ui.window import Window
from tests.ui.samples import PANELS, Clock, glass_of
from tests.ui.screens.asking_views import CASES
from tests.ui.screens.doing_views import every
from tests.ui.screens.rails import NOTE_120, Wall
from tests.ui.screens.spoken import samples
from tests.ui.screens.test_asking_audit import shown
from tests.ui.screens.test_doing_screens import _clock_text

OTHERS = [language for language in CHOICES["language"] if language != "en"]


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("name", CASES)
def test_no_asking_screen_is_cut_in_another_language(qtbot: QtBot, name: str, panel: str, language: str) -> None:
    screen, glass = shown(qtbot, name, panel, cases=samples(language)["asking_views"].CASES)
    assert violations(screen, glass) == []


@pytest.mark.parametrize("language", OTHERS)
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("name", tuple(every(small=False)))
def test_no_doing_screen_is_cut_in_another_language(
    qtbot: QtBot, clock: Clock, wall: Wall, pictures: list[Path], name: str, panel: str, language: str
) -> None:
    glass = glass_of(panel, clock=clock)
    window = Window(glass, wall_ms=wall, clock_text=_clock_text)
    qtbot.addWidget(window)
    window.clock_timer.stop()
    window.set_pictures(pictures.copy)
    window.show()
    view = samples(language)["doing_views"].every(small=window.small)[name]
    window.show_view(view)
    if isinstance(view, NoteView):
        for letter in NOTE_120:
            window.key_typed(letter)
    clock.now += 1000
    assert window.current is not None
    assert violations(window.current, glass) == []


@pytest.mark.parametrize("language", OTHERS)
def test_the_samples_do_speak_the_language(language: str) -> None:
    spoken = samples(language)["asking_views"].CASES["sign_in"].view(False, False)
    assert spoken.title != CASES["sign_in"].view(False, False).title
