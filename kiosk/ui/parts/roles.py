"""What a screen reader is told that a painted part is: a key is a button, a question a heading, a still a picture.

Qt knows the roles of its own widgets only. Source of the need: WCAG 2.2, 4.1.2 (name, role, value).
"""

from functools import cache
from typing import Any

from PySide6.QtCore import QObject
from PySide6.QtGui import QAccessible, QAccessibleInterface
from PySide6.QtWidgets import QAccessibleWidget

from kiosk.ui.parts.drawn import Drawn, SpokenAs
from kiosk.ui.parts.touch import TouchButton

_ROLES: dict[SpokenAs, QAccessible.Role] = {
    "key": QAccessible.Role.Button,
    "heading": QAccessible.Role.Heading,
    "text": QAccessible.Role.StaticText,
    "picture": QAccessible.Role.Graphic,
    "group": QAccessible.Role.Grouping,
}


class _Told(QAccessibleWidget):
    """The interface of one part. A sleeping plate is a button that can not be pressed."""

    def state(self) -> QAccessible.State:
        state: Any = super().state()  # the types of Qt know none of its fields
        part = self.object()
        if isinstance(part, TouchButton) and part.asleep:
            state.disabled = 1
        told: QAccessible.State = state
        return told


@cache
def tell_roles() -> None:
    """Let Qt ask here what every painted part is; once, whoever calls it first."""
    QAccessible.installFactory(_interface)


def _interface(_kind: str, part: QObject) -> QAccessibleInterface | None:
    return _Told(part, _ROLES[part.spoken_as]) if isinstance(part, Drawn) else None
