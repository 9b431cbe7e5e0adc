"""A result of a cleaning test through the real screens: from the desk by touch and scan to the lead's list."""

from collections.abc import Iterator
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.cleaning_tests import METHODS, UNITS, Marker
from kiosk.core.commands import Page
from kiosk.core.meaning import Kind
from kiosk.core.place import Place
from kiosk.core.views import AskView, MenuView
from kiosk.ui.audit import records, violations
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import EAR, PIN, Shift, at_work, scan
from tests.core.test_cleaning_levels import LEVELS
from tests.ui.samples import PANELS, Clock
from tests.ui.screens.test_desk_crawl import codes

LONG = {"about": "tray=TR-1", "meter": "LUMINOMETER NO 7 ROOM 12", "what": "ENDOTOXIN IN RINSE WATER"}


class Glass:
    """The window with a shift behind it: a finger, a scanner, and what stands on the screen."""

    def __init__(self, shift: Shift, panel: str = "15.6 in") -> None:
        size, density = PANELS[panel]
        self.shift, self.clock = shift, Clock()
        self.glass = new_glass(size, density, BENCH, self.clock)
        self.window = Window(self.glass, wall_ms=lambda: shift.at_ms, clock_text=lambda: "14:07")
        self.window.clock_timer.stop()
        self.window.resize(*size)
        self.window.show()
        shift.session.small = self.window.small
        self.window.sent.connect(self.follow)
        self.follow(c.Turn(page=Page.DESK))

    def follow(self, send: Any) -> None:
        self.shift.send(send)
        self.window.show_view(self.shift.session.view())
        self.clock.now += 2_000

    def touch(self, *names: str) -> None:
        for name in names:
            found = [w for w in self.window.findChildren(QWidget, name) if w.isVisible()]
            assert found, (name, self.words())
            self.clock.now += 800
            QTest.mousePress(found[0], Qt.MouseButton.LeftButton)
            self.clock.now += 60
            QTest.mouseRelease(found[0], Qt.MouseButton.LeftButton)
            QApplication.processEvents()

    def words(self) -> str:
        assert self.window.current is not None
        return " ".join(each.text for each in records(self.window.current))


@pytest.fixture
def at_the_desk(qapp: QApplication) -> Iterator[Glass]:
    """A tray is held for a piece that went back; S1 is at the desk."""
    shift = at_work(EAR, cleaning_levels=LEVELS)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=40))
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"), c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    glass = Glass(shift)
    yield glass
    glass.window.close()


def test_a_result_is_typed_from_the_desk_told_to_the_lead_answered_and_clears_nothing(at_the_desk: Glass) -> None:
    here, shift = at_the_desk, at_the_desk.shift
    (held,) = shift.bench.trips.values()
    assert held.holds
    if not any(w.isVisible() for w in here.window.findChildren(QWidget, "cleaning tests")):
        here.touch("more of the desk")
    here.touch("cleaning tests")
    assert "A test shows one sample. The device IFU and facility policy decide." in here.words()
    here.touch("new result", "kind atp", "unit RLU", "method swab")
    assert not any(w.isVisible() for w in here.window.findChildren(QWidget, "no meter"))
    here.touch("meter LUM-7")
    here.follow(scan(EAR))
    here.touch("digit 3", "digit 1", "digit 0", "done")
    assert "ATP: 310 RLU, action" in here.words()
    assert "No result clears a finding or a hold." in here.words()
    kept = [one.event for one in shift.log if isinstance(one.event, e.CleaningTestKept)]
    assert [(one.value, one.unit, one.meter, one.about, one.trip) for one in kept] == [
        ("310", "RLU", "LUM-7", f"tray={EAR}", held.id)
    ]
    here.follow(c.Turn(page=Page.NEEDS))
    while not any(w.isVisible() for w in here.window.findChildren(QWidget, "test CT-10001")):
        here.touch("page.next")
    here.touch("test CT-10001", "done again")
    assert "Done: Tested once more." in here.words()
    here.follow(c.Turn(page=Page.CLEANING_TESTS))
    here.touch("new result", "kind atp", "unit RLU", "method swab", "meter LUM-7")
    here.follow(scan(EAR))
    here.touch("digit 2", "done")
    assert "ATP: 2 RLU, under the levels" in here.words()
    assert next(iter(shift.bench.trips.values())) == held  # under the levels, and held as before


def test_a_meter_that_nobody_knows_is_scanned_or_typed_on_the_letters(at_the_desk: Glass) -> None:
    here = at_the_desk
    here.follow(c.Turn(page=Page.CLEANING_TESTS))
    here.touch("new result", "kind protein", "unit µg/cm²", "method extract", "type it", "letter M", "letter 2", "done")
    assert "meter M2" in here.words()
    here.follow(c.Turn(page=Page.CLEANING_TESTS))
    here.touch("new result", "kind hemoglobin", "unit µg/cm²", "method flush")
    here.follow(scan("M-3", Kind.UNKNOWN))
    assert "meter M-3" in here.words()


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_of_a_new_result_stands_whole_in_both_languages(
    qapp: QApplication, panel: str, language: str
) -> None:
    shift = Shift()
    shift.session.tongues = resources.tongues()
    shift.must(c.EnterPin(person="S1", pin=PIN), c.ChooseSetting(key="language", value=language))
    glass = Glass(shift, panel)
    wrong: list[str] = []

    def look(send: Any) -> None:
        glass.follow(send)
        assert glass.window.current is not None
        said = [*violations(glass.window.current, glass.glass), *codes(glass.window.current)]
        wrong.extend(f"{send}: {line}" for line in said)

    look(c.KeepCleaningTest())
    for kind in Marker:
        what = LONG["what"] if kind is Marker.OTHER else ""
        look(c.KeepCleaningTest(kind=kind))
        look(c.KeepCleaningTest(kind=kind, what=what))
        for unit in UNITS[kind]:
            look(c.KeepCleaningTest(kind=kind, what=what, unit=unit))
            look(c.KeepCleaningTest(kind=kind, what=what, unit=unit, method=METHODS[0]))
            look(c.KeepCleaningTest(kind=kind, what=what, unit=unit, method=METHODS[2], meter=LONG["meter"]))
            whole = {"kind": kind, "what": what, "unit": unit, "method": METHODS[2], **LONG, "value": ""}
            look(c.KeepCleaningTest(**{**whole, "what": what}))
    look(c.KeepCleaningTest(**{"kind": "atp", "unit": "RLU", "method": "extract", **LONG, "value": "9876543.2"}))
    result = shift.session.view()
    assert isinstance(result, MenuView)
    look(next(key.send for key in result.keys if key.name == "done mistyped"))
    assert isinstance(shift.session.view(), AskView)
    glass.window.close()
    assert wrong == []
