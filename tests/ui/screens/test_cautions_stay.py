"""What a check asks one to mind stays on the page, whatever is said of the last act."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.core.views import AskView
from kiosk.core.vocabulary import Check
from kiosk.ui.audit import records, violations
from tests.core.department import Shift
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import EARS, department, in_spanish, open_tray, show, stand


def at_the_air_check() -> Shift:
    shift = department()
    open_tray(shift, EARS)
    while shift.step.check is None or shift.step.check.check is not Check.AIR:
        shift.yes()
    return shift


@pytest.mark.parametrize("notice", ["notice.second_look.clear", "notice.quick_look"])
@pytest.mark.parametrize("spanish", [False, True], ids=["en", "es larger"])
@pytest.mark.parametrize("panel", PANELS)
def test_a_remark_does_not_displace_where_the_air_may_go(
    qapp: QApplication, panel: str, spanish: bool, notice: str
) -> None:
    shift = at_the_air_check()
    if spanish:
        in_spanish(shift)
    window, clock = stand(qapp, shift, panel)
    view = shift.session.view()
    assert isinstance(view, AskView)
    said = replace(view, notice=shift.session.glance().words.some(notice, seconds=2))
    window.show_view(said)
    clock.now += 1_000
    assert window.current is not None
    texts = [each.text for each in records(window.current)]
    assert said.notice in texts
    assert view.help in texts
    assert "150 kPa" in view.help
    assert violations(window.current, window.glass) == []
    show(window, shift, clock)
    window.close()
