"""A flag covers no measure, and what stands over a tube keeps clear of the names of its ends."""

from decimal import Decimal

import pytest
from PySide6.QtCore import QRectF
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.catalogue import Lumen
from kiosk.core.place import Place
from kiosk.core.views import Band, Flag
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.drawn import Drawn
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.pen import Pen, Record
from kiosk.ui.parts.tube import widest_gap
from kiosk.ui.theme import T
from tests.ui.samples import PANELS, glass_of
from tests.ui.screens.long_names import SINUSES, TONSILS, department, open_tray, send_back, sides, stand

LENGTHS = {"12 cm": 120, "25.5 cm": 255, "52 cm": 520}


@pytest.mark.parametrize("within", [False, True], ids=["across", "within"])
@pytest.mark.parametrize("length", LENGTHS)
@pytest.mark.parametrize("panel", PANELS)
def test_no_flag_lies_over_a_measure_wherever_it_stands(
    qapp: QApplication, panel: str, length: str, within: bool
) -> None:
    glass = glass_of(panel)
    frame, band = ScreenFrame(glass), LumenBand(glass, within=within)
    if within:
        frame.place(band, 5, 0, 140.0 if glass.metrics.small else 200.0, 43)
    else:
        frame.place_wide(band, 0, 43)
    lumen = Lumen(name="bore", inside_mm=Decimal("3.0"), length_mm=Decimal(LENGTHS[length]))
    wrong, told = [], 0
    for at in range(5, LENGTHS[length], 5):
        flag = Flag(number=1, place=Place(lumen="bore", at_mm=at), say=f"{at} mm")
        band.show_band(Band(lumen=lumen, entry="ENTRY", tip="TIP", flags=(flag,)))
        wrong += [f"{at} mm: {line}" for line in violations(frame, glass)]
        told += sum(each.text.endswith(" cm") for each in records(frame))
    assert wrong == []
    assert told > LENGTHS[length] / 5


class Covered(Drawn):
    """Words, and a mark over their beginning."""

    def draw(self, pen: Pen) -> None:
        stands = pen.text(self.area(), "7.5 cm", T.T2)
        pen.take_down(Record(kind="mark", rect=stands.adjusted(0, -4, -20, 4), text="flag 1"))


def test_the_audit_sees_words_under_a_flag(qapp: QApplication) -> None:
    glass = glass_of("10.1 in")
    frame = ScreenFrame(glass)
    frame.place(Covered(glass), 0, 0, 100, 40)
    assert [line for line in violations(frame, glass) if "under flag 1" in line] != []


@pytest.mark.parametrize("panel", PANELS)
def test_the_measure_behind_a_flag_near_the_tip_is_read_in_decontam(qapp: QApplication, panel: str) -> None:
    both = sides()
    send_back(both.bench, TONSILS, "T1#1", "only lumen", 200)
    both.at_decontam(c.ReceiveTicket(ticket="K-10001", by="touch"))
    window, _ = stand(qapp, both.dirty, panel, dirty=True)
    assert window.current is not None
    assert "3.5 cm" in [each.text for each in records(window.current)]
    assert [line for line in violations(window.current, window.glass) if "flag" in line or " cm'" in line] == []
    window.close()


def test_the_last_landmark_ends_before_the_name_of_the_tip_and_the_scale_is_apart_from_it(qapp: QApplication) -> None:
    shift = department()
    open_tray(shift, SINUSES)
    while shift.step.check is None or not shift.step.check.lumen:
        shift.yes()
    window, _ = stand(qapp, shift, "10.1 in")
    assert window.current is not None
    found = {each.text: each.rect for each in records(window.current) if each.kind == "text"}
    last, tip, scale = found["last 20 mm of the tip"], found["TIP"], found["Drawn at two thirds."]
    assert last.right() + window.glass.mm(1.5) <= tip.left()
    assert not scale.intersects(last.adjusted(0, 0, window.glass.mm(4), 0))
    assert not scale.intersects(tip.adjusted(0, -window.glass.mm(4), 0, 0))
    window.close()


def test_the_widest_room_is_beside_all_that_is_taken_also_where_two_overlap() -> None:
    taken = [QRectF(10, 0, 80, 5), QRectF(70, 0, 10, 5)]
    free = widest_gap(taken, 0, 100, 2, 5)
    assert (free.left(), free.right()) == (0, 10)
