"""The foot key: a switch on the floor that types one key. Which one, the station's setting says."""

from PySide6.QtCore import Qt

DEFAULT = "F13"
"""No keyboard on a bench has it, and no scanner types it."""

_TAKEN = {"F1", "F4", "F6", "F8", "F9", "F10", "F12"}
"""Keys of the way by keys (`kiosk.ui.parts.key_path`)."""
_PAGING = {"PageUp", "PageDown", "Home", "End", "Up", "Down", "Left", "Right"}
"""What switches for turning pages type."""
NAMES = (*(f"F{number}" for number in range(1, 25) if f"F{number}" not in _TAKEN), *sorted(_PAGING))


class FootKeyFault(ValueError):
    """A key that can not be the foot key; the message is one sentence."""


def foot_key_from(text: str) -> Qt.Key:
    """Read the setting: F13, Key_F13, PageDown. Raises FootKeyFault: a key that a scanner or a hand types is none."""
    name = text.strip().removeprefix("Key_")
    known = {each.casefold(): each for each in NAMES}.get(name.casefold())
    if known is None:
        why = "is a key of the way by keys" if name.upper() in _TAKEN else "is not a key that a foot switch may type"
        raise FootKeyFault(f"{text}: {why}; give one of F2, F3, F5, F7, F11, F13 to F24, {', '.join(sorted(_PAGING))}")
    return Qt.Key[f"Key_{known}"]
