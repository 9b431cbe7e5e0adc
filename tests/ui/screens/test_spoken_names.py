"""What a screen reader says of each page, asked of Qt's accessible tree as it asks: nothing that is shown is nameless.

Sources: WCAG 2.2, 4.1.2 (name, role, value: every control has a name) and 2.5.3 (label in name: the name holds the
words that are shown).
"""

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.parts import spoken
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.question import Question
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
