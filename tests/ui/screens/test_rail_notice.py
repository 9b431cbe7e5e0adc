"""A return that decontam did not find: the bench's rail says so, gives way to what must stand, and is touched away."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.views import StopView
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.rail_chip import RailChip
from kiosk.ui.window import Window
from tests.core.two_sides import Sides
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import LAPAROTOMY, TONSILS, in_spanish, open_tray, send_back, show, sides, stand

K1 = "K-10001"


def at_the_inner_tube() -> Sides:
    """One return was not found; the laparotomy set is open at a lumen of its suction."""
    both = sides()
    send_back(both.bench, TONSILS, "T1#1", "only lumen", 120)
    both.at_decontam(c.NotHere(ticket=K1))
    open_tray(both.bench, LAPAROTOMY)
    while both.bench.step.check is None or not both.bench.step.check.lumen:
        both.bench.yes()
    return both


def in_the_rail(window: Window) -> str:
    """Everything that the rail says, its key included."""
    screen = window.current
    assert screen is not None
    return " | ".join(r.text for r in records(screen) if r.kind == "text" and r.owner in {"HeadRail", "about"})


@pytest.mark.parametrize("spanish", [False, True], ids=["en", "es larger"])
@pytest.mark.parametrize("panel", PANELS)
def test_person_piece_and_lumen_stand_whole_beside_the_notice(qapp: QApplication, panel: str, spanish: bool) -> None:
    both = at_the_inner_tube()
    if spanish:
        in_spanish(both.bench)
    window, _ = stand(qapp, both.bench, panel)
    assert window.current is not None
    said = in_the_rail(window)
    lumen = "tubo interior" if spanish else "inner tube"
    for word in ("Belly suction with outer sleeve", lumen, "Delphine Marroway"):
        assert word in said
    assert violations(window.current, window.glass) == []
    window.close()


def test_a_touch_on_the_notice_leads_to_the_return_and_reading_it_takes_the_notice_away(qapp: QApplication) -> None:
    both = at_the_inner_tube()
    shift = both.bench
    window, clock = stand(qapp, shift, "10.1 in")
    sent: list[c.Send] = []
    window.sent.connect(sent.append)
    assert window.current is not None
    chip = window.current.findChild(RailChip)
    assert chip is not None
    middle = chip.rect().center()
    QTest.mousePress(chip, Qt.MouseButton.LeftButton, pos=middle)
    clock.now += 100
    QTest.mouseRelease(chip, Qt.MouseButton.LeftButton, pos=middle)
    assert sent == [c.Turn(page=c.Page.ABSENT)]
    shift.must(*sent)
    show(window, shift, clock)
    view = shift.session.view()
    assert isinstance(view, StopView)
    assert K1 in view.title
    assert "Tonsil suction, bulb end (1 of 2)" in view.sentence
    assert violations(window.current, window.glass) == []
    assert view.main is not None
    assert view.main.send is not None
    shift.must(view.main.send)
    show(window, shift, clock)
    assert K1 not in in_the_rail(window)
    assert shift.step.kind == "check"
    window.close()


def test_the_notice_goes_by_itself_when_the_return_turns_up() -> None:
    both = at_the_inner_tube()
    both.at_decontam(c.ReceiveTicket(ticket=K1, by="touch"))
    assert both.bench.session.view().head.notice == ""


def test_a_return_that_was_read_about_is_told_again_when_decontam_misses_it_again() -> None:
    both = at_the_inner_tube()
    both.at_bench(c.SeeAbsent(ticket=K1))
    assert both.bench.session.view().head.notice == ""
    both.at_decontam(c.NotHere(ticket=K1))
    assert K1 in both.bench.session.view().head.notice


def test_several_are_told_by_their_number_and_read_one_after_the_other() -> None:
    both = sides()
    shift = both.bench
    send_back(shift, TONSILS, "T1#1", "only lumen", 120)
    send_back(shift, "TR-0911", "T1#1", "only lumen", 120)
    numbers = both.open_numbers()
    both.at_decontam(*(c.NotHere(ticket=number) for number in numbers))
    assert shift.session.view().head.notice == "2 returns not found"
    shift.must(c.SeeAbsent(ticket=numbers[0]))
    assert numbers[1] in shift.session.view().title
    shift.must(c.SeeAbsent(ticket=numbers[1]))
    assert shift.session.view().head.notice == ""


def test_only_what_was_looked_for_and_not_found_can_be_read_away() -> None:
    both = sides()
    send_back(both.bench, TONSILS, "T1#1", "only lumen", 120)
    both.bench.send(c.SeeAbsent(ticket=K1))
    assert both.bench.refused == "refused.not_asked"
