"""The hole with its lump is drawn for a check of a tray only: a paper, a clock and a cover have no lumen.

Source: the house's look, 2.3 (the three answers and their rings stand for a lumen seen end on).
"""

from collections.abc import Iterator

import pytest
from PySide6.QtGui import QColor
from PySide6.QtWidgets import QApplication

from kiosk.core.set_up import Ask
from kiosk.core.viewing.set_up import set_up
from kiosk.core.views import AskView
from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.screens.ask import AskScreen
from tests.ui.samples import PANELS
from tests.ui.screens.every_page import stood_up, turned
from tests.ui.screens.set_up_views import MACHINE, STATION, glance


def holes(screen: AskScreen) -> dict[str, bool]:
    """Does the hole's white stand in the left half of NO and of YES?"""
    return {each.answer: _white(each) for each in screen.findChildren(AnswerPlate) if each.answer != "unsure"}


def _white(plate: AnswerPlate) -> bool:
    picture = plate.grab().toImage()
    y = picture.height() // 2
    return any(picture.pixelColor(x, y) == QColor("white") for x in range(picture.width() // 2))


@pytest.mark.parametrize("panel", PANELS)
def test_only_the_plates_of_a_check_show_a_hole(qapp: QApplication, panel: str) -> None:
    seen = set()
    with stood_up(panel) as window:
        for name, view, screen in turned(window):
            if isinstance(view, AskView) and isinstance(screen, AskScreen) and name != "ask_check_waiting":
                check = view.unsure is not None
                assert holes(screen) == {"no": check, "yes": check}, name
                seen.add(name)
    assert {"ask_check", "ask_startup", "ask_readable", "ask_resume"} <= seen


def _asked_at_the_set_up() -> Iterator[AskView]:
    for ask in (Ask.PRINTED, Ask.CLOCK):
        view = set_up(glance("en", small=False), STATION, MACHINE, ask)
        assert isinstance(view, AskView)
        yield view


def test_printer_and_clock_of_the_set_up_are_asked_about_without_a_hole(qapp: QApplication) -> None:
    with stood_up("15.6 in") as window:
        for view in _asked_at_the_set_up():
            window.show_view(view)
            assert isinstance(window.current, AskScreen)
            assert holes(window.current) == {"no": False, "yes": False}
