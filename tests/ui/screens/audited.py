"""Pages shown one after the other in a real window of a panel's size: what the audit finds wrong with each."""

from collections.abc import Callable, Iterable
from typing import Any

from kiosk.ui.audit import violations
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.screens.screen import Screen
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import Shift
from tests.ui.samples import PANELS, Clock


def wrong_on(
    pages: Callable[[], Iterable[tuple[str, Any]]],
    shift: Shift,
    panel: str,
    also: Callable[[Screen], Iterable[str]] = lambda _screen: (),
) -> str:
    """A line for each fault of each page, "" where all stand whole. The session is told the size before any is made."""
    clock = Clock()
    glass = new_glass(*PANELS[panel], BENCH, clock)
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    shift.session.small = window.small
    wrong = []
    for name, shown in pages():
        window.show_view(shown)
        clock.now += 2_000
        assert window.current is not None
        found = (*violations(window.current, glass), *also(window.current))
        wrong += [f"{name}: {line}" for line in found]
    window.close()
    return "\n".join(wrong)
