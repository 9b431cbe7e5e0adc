"""The rows of what may have been touched since stand whole on every panel, in both languages."""

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.core.views import ListView
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import EAR
from tests.core.test_chains import a_scope_goes_on
from tests.ui.samples import PANELS, Clock


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_the_way_of_each_trip_stands_whole_in_its_row(qapp: QApplication, panel: str, language: str) -> None:
    shift = a_scope_goes_on()
    shift.session.words = resources.words(language)
    clock = Clock()
    glass = new_glass(*PANELS[panel], BENCH, clock)
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    shift.session.small = window.small
    shift.session.send(c.Turn(page=Page.LOOKBACK, subject=f"tray={EAR}"))
    view = shift.session.view()
    assert isinstance(view, ListView)
    assert len(view.rows) == 3
    window.show_view(view)
    clock.now += 2_000
    assert window.current is not None
    painted = "".join("".join(each.text.split()) for each in records(window.current))
    for row in view.rows:
        assert "".join(row.sub.split()) in painted
    assert violations(window.current, glass) == []
    window.close()
