"""Words that run from right to left: text, head and hand rail change sides; lumen, ruler, centimeters, answers do not.

No such language ships yet: what is held here is the layout, with English words. Source: the house's look, 2.11.
"""

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QRect
from PySide6.QtWidgets import QApplication, QWidget

from kiosk.ui.audit import records, violations
from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.letters import LetterPad
from kiosk.ui.parts.pen import Record
from kiosk.ui.screens.screen import Screen
from tests.ui.samples import PANELS
from tests.ui.screens.every_page import stood_up, turned

KEEP = (LumenBand, AnswerPlate, KeyPad, LetterPad)
SIDES = [False, True]


def both(panel: str, *, dirty: bool = False) -> Iterator[tuple[str, Screen, Screen]]:
    """Each page as it stands, and the other way round."""
    with (
        stood_up(panel, dirty=dirty) as usual,
        stood_up(panel, dirty=dirty, mirrored=True) as other,
    ):
        pages = zip(turned(usual, dirty=dirty), turned(other, dirty=dirty), strict=True)
        for (name, _, one), (_, _, two) in pages:
            yield name, one, two


def place(part: QWidget) -> QRect:
    return QRect(part.mapTo(part.window(), part.rect().topLeft()), part.size())


def shown(screen: Screen, kind: type[QWidget]) -> list[QWidget]:
    return [part for part in screen.findChildren(kind) if part.isVisibleTo(screen)]


@pytest.mark.parametrize("dirty", SIDES, ids=["bench", "decontam"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_stands_whole_the_other_way_round(qapp: QApplication, panel: str, dirty: bool) -> None:
    wrong = []
    with stood_up(panel, dirty=dirty, mirrored=True) as window:
        for name, _, screen in turned(window, dirty=dirty):
            wrong += [f"{name}: {line}" for line in violations(screen, window.glass)]
    assert wrong == []


def test_the_hand_rail_changes_sides_and_the_aid_key_stays_in_the_middle(qapp: QApplication) -> None:
    looked = 0
    for name, usual, other in both("15.6 in"):
        before = {key.objectName(): place(key) for key in usual.hand_rail.keys if usual.hand_rail.isVisibleTo(usual)}
        after = {key.objectName(): place(key) for key in other.hand_rail.keys if other.hand_rail.isVisibleTo(other)}
        for key, rect in before.items():
            looked += 1
            from_right = usual.width() - rect.x() - rect.width()
            assert after[key].x() == pytest.approx(from_right, abs=1), (name, key)
    assert looked > 100


@pytest.mark.parametrize("panel", PANELS)
def test_lumen_answers_and_pads_keep_their_places_and_their_sides(qapp: QApplication, panel: str) -> None:
    looked = 0
    for name, usual, other in both(panel):
        for kind in KEEP:
            for one, two in zip(shown(usual, kind), shown(other, kind), strict=True):
                looked += 1
                if one.parentWidget() is not None and not isinstance(one.parentWidget(), KeyPad):
                    wide = one.width() == usual.width() or isinstance(one, AnswerPlate)
                    assert not wide or place(one) == place(two), (name, kind)
                assert [_at(each, one) for each in _own(one)] == [_at(each, two) for each in _own(two)], (name, kind)
    assert looked > 30


def test_the_keys_of_a_centimeter_keep_their_order_beside_the_tube_that_keeps_its_own(qapp: QApplication) -> None:
    looked = 0
    for name, _, other in both("15.6 in"):
        moves = [key for key in shown(other, KeyButton) if isinstance(key, KeyButton) and key.keeps_sides]
        for less, more in zip(moves[::2], moves[1::2], strict=True):
            looked += 1
            assert (less.icon, more.icon) == ("arrow_left", "arrow_right"), name
            assert place(less).x() < place(more).x(), name
            assert not less.mirrored, name
    assert looked > 0


def test_words_that_began_at_the_left_edge_end_at_the_right_one(qapp: QApplication) -> None:
    looked = 0
    for name, usual, other in both("15.6 in"):
        titles = [
            next((r.rect for r in records(screen) if r.owner == "Question" and r.kind == "text"), None)
            for screen in (usual, other)
        ]
        if titles[0] is not None and titles[1] is not None:
            looked += 1
            assert titles[1].right() == pytest.approx(usual.width() - titles[0].left(), abs=1), name
    assert looked > 50


def _own(part: QWidget) -> list[Record]:
    return part.audit() if isinstance(part, Drawn) else []


def _at(record: Record, part: QWidget) -> tuple[str, str, int, int]:
    left = record.rect.left() - place(part).x()
    return record.kind, record.text, round(left), round(record.rect.width())
