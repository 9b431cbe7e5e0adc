"""What a screen reader says of each page, asked of Qt's accessible tree as it asks: nothing that is shown is nameless,
and every key is a button.

Sources: WCAG 2.2, 4.1.2 (name, role, value: every control has a name) and 2.5.3 (label in name: the name holds the
words that are shown).
"""

from typing import Any

import pytest
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.parts import spoken
from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.key_path import targets
from kiosk.ui.parts.question import Question
from kiosk.ui.parts.words import Words
from kiosk.ui.screens.screen import Screen
from tests.ui.screens.accessible import bare, name_of, unnamed
from tests.ui.screens.every_page import stood_up, turned

SIDES = [False, True]


@pytest.fixture
def listening(qapp: QApplication, monkeypatch: pytest.MonkeyPatch) -> None:
    """A screen reader is there: off screen Qt has no way to be told of one."""
    monkeypatch.setattr(spoken, "listens", _yes)


def _yes() -> bool:
    return True


def nameless(screen: Screen) -> list[str]:
    """Targets without their name, and parts that show words and say none."""
    wrong = unnamed(screen)
    for part in (screen, *screen.findChildren(QWidget)):
        if isinstance(part, Drawn) and (part is screen or part.isVisibleTo(screen)):
            shows = any(record.kind == "text" and record.text.strip() for record in part.audit())
            if shows and not name_of(part):
                wrong.append(f"{type(part).__name__} shows words and says none")
    return wrong


@pytest.mark.parametrize("dirty", SIDES, ids=["bench", "decontam"])
def test_nothing_on_any_page_is_nameless(listening: None, dirty: bool) -> None:
    wrong = []
    with stood_up("15.6 in", dirty=dirty) as window:
        for name, _, screen in turned(window, dirty=dirty):
            wrong += [f"{name}: {line}" for line in nameless(screen)]
    assert wrong == []


def test_the_question_is_said_as_it_is_shown_after_another_question_too(listening: None) -> None:
    with stood_up("15.6 in") as window:
        said = set()
        for name, _, screen in turned(window):
            (question,) = screen.findChildren(Question)
            words = [record.text for record in question.audit() if record.kind == "text"]
            assert all(bare(text) in bare(name_of(question)) for text in words), name
            said.add(name_of(question))
    assert len(said) > 20


def role_of(part: QWidget) -> QAccessible.Role:
    """What it is by the accessible tree."""
    return QAccessible.queryAccessibleInterface(part).role()


def state_of(part: QWidget) -> Any:
    """Its state by the accessible tree; the types of Qt know none of the fields."""
    return QAccessible.queryAccessibleInterface(part).state()


@pytest.mark.parametrize("dirty", SIDES, ids=["bench", "decontam"])
def test_every_target_of_every_page_is_a_button_and_every_question_a_heading(qapp: QApplication, dirty: bool) -> None:
    seen = 0
    with stood_up("15.6 in", dirty=dirty) as window:
        for name, _, screen in turned(window, dirty=dirty):
            wrong = [each.objectName() for each in targets(screen) if role_of(each) is not QAccessible.Role.Button]
            assert wrong == [], name
            assert {role_of(each) for each in screen.findChildren(Question)} == {QAccessible.Role.Heading}, name
            assert not any(role_of(each) is QAccessible.Role.Button for each in screen.findChildren(Words)), name
            seen += len(targets(screen))
    assert seen > 20


def test_a_yes_that_sleeps_is_a_button_that_can_not_be_pressed_yet(qapp: QApplication) -> None:
    with stood_up("15.6 in") as window:
        for name, _, screen in turned(window):
            if name not in {"ask_check", "ask_check_waiting"}:
                continue
            plates = screen.findChildren(AnswerPlate)
            told = {each.answer: state_of(each).disabled for each in plates}
            assert told == {"no": 0, "unsure": 0, "yes": int(name == "ask_check_waiting")}, name
