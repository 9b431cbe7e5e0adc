"""A name for every part that a screen reader meets: its own, else the words that it paints."""

from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import QWidget

from kiosk.ui.parts.drawn import Drawn


def listens() -> bool:
    """Is a screen reader there?"""
    return bool(QAccessible.isActive())


_PAINTED = "named after what it paints"


def name_parts(screen: QWidget) -> None:
    """Give every visible part without a name of its own that of its words; only where a screen reader listens."""
    if not listens():
        return
    for part in (screen, *screen.findChildren(QWidget)):
        if not isinstance(part, Drawn) or not (part is screen or part.isVisibleTo(screen)):
            continue
        if part.accessibleName().strip() and not part.property(_PAINTED):
            continue
        words = [record.text for record in part.audit() if record.kind == "text" and record.text.strip()]
        part.setAccessibleName(", ".join(words))
        part.setProperty(_PAINTED, True)
