"""A row that is answered by its own touch shows all that it says: nobody says "I read it" of what was left out."""

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
from tests.core.department import PIN, Shift
from tests.core.test_keeping import began
from tests.ui.samples import PANELS, Clock


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("why", ["restored", "copied", "fork"])
def test_what_became_of_the_log_stands_whole_in_its_row(
    qapp: QApplication, why: str, panel: str, language: str
) -> None:
    shift = began(Shift(), why)
    shift.session.tongues = resources.tongues()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    if language != "en":
        shift.must(c.ChooseSetting(key="language", value=language))
    glass = new_glass(*PANELS[panel], BENCH, Clock())
    window = Window(glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    shift.session.small = window.small
    shift.send(c.Turn(page=Page.NEEDS))
    view = shift.session.view()
    assert isinstance(view, ListView)
    (row,) = [row for row in view.rows if isinstance(row.send, c.SeeIncarnation)]
    window.show_view(view)
    assert window.current is not None
    painted = "".join("".join(each.text.split()) for each in records(window.current))
    assert "".join(row.sub.split()) in painted
    assert violations(window.current, glass) == []
    window.close()
