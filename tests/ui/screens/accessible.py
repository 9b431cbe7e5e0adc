"""What a screen reader is told of a page's parts, asked of Qt's accessible tree."""

import re

from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.key_path import targets
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.screens.screen import Screen


def name_of(part: QWidget) -> str:
    """The name by the accessible tree."""
    return str(QAccessible.queryAccessibleInterface(part).text(QAccessible.Text.Name)).strip()


def unnamed(screen: Screen) -> list[str]:
    """Targets without a name or with one that is a code, and keys named otherwise than they read."""
    wrong = []
    for target in targets(screen):
        name = name_of(target)
        if not name or re.search(r"[a-z]_[a-z]", name):
            wrong.append(f"{target.objectName()}: named {name!r}")
        if isinstance(target, KeyButton) and target.label.strip() and bare(target.label) not in bare(name):
            wrong.append(f"{target.label!r} is named {name!r}")
    return wrong


def bare(words: str) -> str:
    """Words without their line breaks."""
    return " ".join(words.split())
