"""A return in decontam: its tray stands on the page, what to do is read, and nothing that is known is left out."""

from functools import cache

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.place import Place
from kiosk.ui.audit import records, violations
from kiosk.ui.theme import T
from tests.core.department import PIN
from tests.core.two_sides import Sides
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import SINUSES, TONSILS, in_spanish, open_tray, send_back, sides, stand

PIECE, TRAY = "K-10001", "K-10002"


@cache
def both_sent() -> Sides:
    """A piece (which leaves its tray on hold) and a whole tray went back; both are taken in."""
    both = sides()
    send_back(both.bench, SINUSES, "F1", "only lumen", 150)
    open_tray(both.bench, TONSILS)
    both.bench.yes_until("T1#1.only lumen.swab")
    both.bench.no("bone_grit", Place(lumen="only lumen", at_mm=120))
    both.bench.confirm("tray_back")
    both.bench.tidy()
    both.at_decontam(c.EnterPin(person="D1", pin=PIN))
    both.at_decontam(*(c.ReceiveTicket(ticket=number, by="touch") for number in (PIECE, TRAY)))
    return both


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("number", [PIECE, TRAY], ids=["piece", "tray"])
@pytest.mark.parametrize("panel", PANELS)
def test_tray_what_to_do_and_where_it_came_from_stand_whole(
    qapp: QApplication, panel: str, number: str, language: str
) -> None:
    both = both_sent()
    shift = both.dirty
    shift.must(c.ChooseSetting(key="language", value=language), c.ChooseSetting(key="text", value="usual"))
    if language == "es":
        in_spanish(shift)
    both.at_decontam(c.ReceiveTicket(ticket=number, by="touch"))  # the remark that it was taken in stands as well
    window, _ = stand(qapp, shift, panel, dirty=True)
    assert window.current is not None
    found = [each for each in records(window.current) if each.kind == "text"]
    said = " | ".join(each.text for each in found)
    name, code = ("Sinus endoscopy set", SINUSES) if number == PIECE else ("Tonsil and adenoid tray", TONSILS)
    for word in (name, code, number, "W-7101"):
        assert word in said
    grit = next(each for each in found if "IFU" in each.text)
    least = min(window.glass.metrics.tries(T.T2))
    assert grit.font_px >= least
    assert violations(window.current, window.glass) == []
    window.close()
