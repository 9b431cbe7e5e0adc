"""Which key a foot switch may type."""

import pytest
from PySide6.QtCore import Qt

from kiosk.devices.foot_key import NAMES, FootKeyFault, foot_key_from
from kiosk.ui.parts import key_path


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("F13", Qt.Key.Key_F13),
        ("Key_F13", Qt.Key.Key_F13),
        ("pagedown", Qt.Key.Key_PageDown),
        (" f24 ", Qt.Key.Key_F24),
    ],
)
def test_a_key_is_named_as_on_its_cap_or_as_qt_names_it(text: str, key: Qt.Key) -> None:
    assert foot_key_from(text) is key


@pytest.mark.parametrize("text", ["", "Return", "Tab", "Space", "A", "5", "F8", "F12", "Escape", "F25", "Key_"])
def test_what_a_scanner_or_a_hand_types_is_no_foot_key_and_is_one_sentence(text: str) -> None:
    with pytest.raises(FootKeyFault) as fault:
        foot_key_from(text)
    assert "give one of F2" in str(fault.value)
    assert "\n" not in str(fault.value)


def test_no_key_of_the_way_by_keys_is_a_foot_key() -> None:
    table = {
        cell.strip()
        for row in (key_path.__doc__ or "").splitlines()
        if row.startswith("| F")
        for cell in row.split("|")[1].split(",")
    }
    assert table == {"F1", "F4", "F6", "F8", "F9", "F10", "F12"}
    assert not table & set(NAMES)
