"""Every page that the supervisor's desk leads to, in a department where all names are long: nothing cut, nothing close.

The crawl follows the keys and rows that only turn a page; nothing is written.
"""

import re
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from functools import cache
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import PIN, Shift
from tests.paper.crowded import crowded
from tests.ui.samples import PANELS, Clock
from tests.ui.screens.accessible import unnamed

A_KIND = 12
"""So many pages of a kind are opened: the longest lists would open each row's page."""


def turns(part: Any) -> Iterator[c.Turn]:
    """The page turns that a view offers."""
    if isinstance(part, c.Turn):
        yield part
    elif is_dataclass(part):
        for each in fields(part):
            yield from turns(getattr(part, each.name))
    elif isinstance(part, tuple):
        for each in part:
            yield from turns(each)


def crawled(shift: Shift) -> Iterator[tuple[c.Turn, Any]]:
    """Every page that can be turned to from the desk, each once, with its view."""
    todo, seen, opened = [c.Turn(page=Page.DESK)], set[c.Turn](), dict[str, int]()
    while todo:
        turn = todo.pop(0)
        if turn in seen or opened.get(str(turn.page), 0) >= A_KIND:
            continue
        seen.add(turn)
        opened[str(turn.page)] = opened.get(str(turn.page), 0) + 1
        shift.send(turn)
        view = shift.session.view()
        yield turn, view
        todo += [each for each in turns(view) if each not in seen]


@cache
def at_the_desk() -> Shift:
    """A crowded department of this file's own, S1 at its desk."""
    shift = crowded.__wrapped__()
    shift.session.tongues = resources.tongues()
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    return shift


def codes(screen: Screen) -> list[str]:
    """Words of the program that nobody outside it knows: two_words_joined."""
    return [each.text for each in records(screen) if re.search(r"[a-z]_[a-z]", each.text)]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_of_the_desk_stands_whole(qapp: QApplication, panel: str, language: str) -> None:
    shift = at_the_desk()
    shift.must(c.ChooseSetting(key="language", value=language))
    size, density = PANELS[panel]
    clock = Clock()
    glass = new_glass(size, density, BENCH, clock)
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    shift.session.small = window.small
    wrong, pages = [], 0
    for turn, view in crawled(shift):
        pages += 1
        window.show_view(view)
        clock.now += 2_000
        assert window.current is not None
        wrong += [f"{turn.page} {turn.subject}: {line}" for line in violations(window.current, glass)]
        wrong += [f"{turn.page} {turn.subject}: a code, {text}" for text in codes(window.current)]
        wrong += [f"{turn.page} {turn.subject}: {line}" for line in unnamed(window.current)]
    window.close()
    assert pages > 60
    assert wrong == []
