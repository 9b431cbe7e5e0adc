"""Every page of the set-up and the way out of the bench, at the three sizes, in every language and 40 % longer."""

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.ui.audit import violations
from kiosk.ui.parts.glass import dirty_glass, new_glass
from kiosk.ui.screens.trial import QUIET
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import MORNING
from tests.ui.samples import PANELS, Clock
from tests.ui.screens.set_up_views import TONGUES, every


@pytest.mark.parametrize("spoken", TONGUES)
@pytest.mark.parametrize("panel", [*PANELS, "decontam"])
def test_every_page_of_the_set_up_stands_whole(qapp: QApplication, panel: str, spoken: str) -> None:
    clock = Clock()
    if panel == "decontam":
        glass = dirty_glass((1920, 1080), 4.03, BENCH, clock)
    else:
        glass = new_glass(*PANELS[panel], BENCH, clock)
    window = Window(glass, wall_ms=lambda: MORNING, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    wrong = []
    for name, view in every(spoken, small=window.small):
        window.show_view(view)
        clock.now += 2_000
        assert window.current is not None
        wrong += [f"{name}: {line}" for line in violations(window.current, glass)]
    window.close()
    assert "\n".join(wrong) == ""


def test_the_code_on_the_glass_has_its_quiet_zone() -> None:
    """ISO/IEC 18004: four modules of white on every side of a QR code."""
    assert QUIET == 4


def test_every_refusal_of_the_set_up_is_said_in_every_language() -> None:
    keys = ("not_there", "no_number", "no_card", "range", "other_code", "not_kept", "busy")
    for tongue in resources.tongues().values():
        assert all(tongue.words.some(f"setup.{key}") for key in keys)
