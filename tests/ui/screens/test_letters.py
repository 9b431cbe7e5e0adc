"""Letters on the glass: what a record's own example needs, and how people are written."""

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.ui.audit import violations
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.letters import LetterPad
from tests.ui.samples import PANELS, glass_of, settle


def pad_on(panel: str) -> tuple[ScreenFrame, LetterPad]:
    glass = glass_of(panel)
    frame = ScreenFrame(glass)
    frame.show_question("Name", big=False)
    pad = LetterPad(glass, most=60, space="Space", erase="Erase", done="Go on")
    edge = glass.metrics.edge_mm
    wide = glass.metrics.content_mm - 2 * edge
    frame.place(pad, edge, 0, wide, frame.slot_mm[1] - (1 if glass.metrics.small else 4))
    settle(frame)
    return frame, pad


def touch(pad: LetterPad, text: str) -> None:
    """Touch a key for each letter, turning to the other keys where it is needed."""
    for letter in text:
        key = find(pad, letter)
        if key is None:
            pad.turn()
            key = find(pad, letter)
        assert key is not None, letter
        key.tapped_action.emit(key.action, None)


def find(pad: LetterPad, letter: str) -> KeyButton | None:
    name = "space" if letter == " " else f"letter {letter.upper()}"
    return next((key for key in pad.findChildren(KeyButton) if key.objectName() == name), None)


@pytest.mark.parametrize("text", ["Tr-0734/forceps", "O'neill núñez", "Agüero pérez", "Íñigo ávila sólo"])
@pytest.mark.parametrize("panel", PANELS)
def test_a_record_and_a_name_can_be_typed_by_touch(qapp: QApplication, panel: str, text: str) -> None:
    _, pad = pad_on(panel)
    touch(pad, text)
    assert pad.text() == text


@pytest.mark.parametrize("panel", PANELS)
def test_turning_moves_no_key_and_both_sides_are_within_the_measures(qapp: QApplication, panel: str) -> None:
    frame, pad = pad_on(panel)
    places = [key.geometry() for key in pad.findChildren(KeyButton)]
    assert violations(frame, frame.glass) == []
    pad.turn()
    assert [key.geometry() for key in pad.findChildren(KeyButton)] == places
    assert violations(frame, frame.glass) == []
