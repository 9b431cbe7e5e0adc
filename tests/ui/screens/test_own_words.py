"""The product's own words for places and stations are said in the words of whoever reads them."""

from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.ui.audit import records
from tests.ui.screens.long_names import LAPAROTOMY, department, in_spanish, open_tray, stand


def test_bend_inner_tube_and_bench_are_said_in_spanish(qapp: QApplication) -> None:
    shift = department()
    open_tray(shift, LAPAROTOMY)
    in_spanish(shift, larger=False)
    while shift.step.check is None or not shift.step.check.lumen:
        shift.yes()
    said = {}
    for panel in ("10.1 in", "15.6 in"):
        window, _ = stand(qapp, shift, panel)
        assert window.current is not None
        said[panel] = " | ".join(each.text for each in records(window.current))
        window.close()
    for text in said.values():
        assert "curva" in text
        assert "tubo interior" in text
        assert "bend" not in text
        assert "inner tube" not in text
    assert "Mesa 1" in said["15.6 in"]
    assert "Bench" not in said["15.6 in"]


def test_a_station_is_named_in_the_words_of_whoever_scans_there() -> None:
    shift = department()
    shift.sign_in()
    assert shift.session.view().head.title == "Bench 1"
    shift.must(c.ChooseSetting(key="language", value="es"))
    assert shift.session.view().head.title == "Mesa 1"
