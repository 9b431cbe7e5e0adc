"""Spanish in larger letters on the 10-inch screen: rows, titles, places and what is said back stand whole."""

from dataclasses import replace

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.place import Place
from kiosk.core.views import DoneView, FindingView, ScanView
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.screens.scan import ListRow
from kiosk.ui.window import Window
from tests.core.department import scan
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import (
    LAPAROTOMY,
    TONSILS,
    department,
    in_spanish,
    open_tray,
    send_back,
    show,
    stand,
)


def whole(window: Window) -> list[str]:
    assert window.current is not None
    return violations(window.current, window.glass)


KEPT = (
    "Eye irrigation tips, small set · en el estante de espera, espera Irrigation tip, side hole (1 de 2), Irrigation "
    "tip, side hole (2 de 2), Fine eye cannula, straight\nTR-0756 · Delphine Marroway · 02:18"
)


@pytest.mark.parametrize("panel", PANELS)
def test_kept_trays_are_read_whole_however_many_pieces_they_wait_for(qapp: QApplication, panel: str) -> None:
    shift = department()
    send_back(shift, TONSILS, "T1#1", "only lumen", 120)
    in_spanish(shift)
    window, clock = stand(qapp, shift, panel)
    view = shift.session.view()
    assert isinstance(view, ScanView)
    assert window.current is not None
    assert window.current.findChildren(ListRow)
    assert whole(window) == []
    window.show_view(replace(view, kept=(*view.kept, replace(view.kept[0], label=KEPT, name="long"))))
    clock.now += 1_000
    assert whole(window) == []
    window.close()


@pytest.mark.parametrize("panel", PANELS)
def test_count_finding_and_decision_stand_whole(qapp: QApplication, panel: str) -> None:
    shift = department()
    shift.sign_in()
    in_spanish(shift)
    window, clock = stand(qapp, shift, panel)
    shift.must(scan(LAPAROTOMY))
    wrong: list[str] = []

    def look(where: str) -> None:
        show(window, shift, clock)
        wrong.extend(f"{where}: {line}" for line in whole(window))

    look("count")
    shift.count()
    while shift.step.check is None or not shift.step.check.lumen:
        look("check")
        shift.yes()
    check = shift.step.check
    shift.must(c.Answer(piece=shift.step.piece, key=check.key, yes=False, took_ms=9_000))
    look("finding")
    shift.must(c.ReportFinding(code="bone_grit", place=Place(lumen=check.lumen, at_mm=190)))
    look("decision")
    window.close()
    assert wrong == []


def test_places_are_as_fine_in_spanish_and_larger_letters_as_in_english(qapp: QApplication) -> None:
    found = []
    for spanish in (False, True):
        shift = department()
        open_tray(shift, LAPAROTOMY)
        if spanish:
            in_spanish(shift)
        while shift.step.check is None or not shift.step.check.lumen:
            shift.yes()
        shift.must(c.Answer(piece=shift.step.piece, key=shift.step.check.key, yes=False, took_ms=9_000))
        window, _ = stand(qapp, shift, "10.1 in")
        assert isinstance(shift.session.view(), FindingView)
        assert window.current is not None
        band = window.current.findChild(LumenBand)
        assert band is not None
        assert band.drawing is not None
        found.append([station.label for station in band.drawing.stations])
        window.close()
    assert found[0] == found[1]
    assert len(found[0]) > 3


@pytest.mark.parametrize("spanish", [False, True], ids=["en", "es larger"])
@pytest.mark.parametrize("panel", PANELS)
def test_the_packed_page_says_all_of_its_papers(qapp: QApplication, panel: str, spanish: bool) -> None:
    shift = department()
    send_back(shift, TONSILS, "T1#1", "only lumen", 120)
    open_tray(shift, LAPAROTOMY)
    shift.yes_to_all()
    shift.pack()
    shift.print_all(where="saved as a file in papers, not printed")
    shift.must(c.Readable(yes=True))
    if spanish:
        in_spanish(shift)
        shift.must(c.Turn(page=c.Page.DONE))
    window, _ = stand(qapp, shift, panel)
    view = shift.session.view()
    assert isinstance(view, DoneView)
    assert window.current is not None
    assert set(view.lines) <= {each.text for each in records(window.current)}
    assert whole(window) == []
    window.close()
