"""The set-up on the glass, touched page by page: what is kept before the next page stands, and what a fault says."""

import os
from contextlib import closing
from pathlib import Path

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.app.setting_up import CODE
from kiosk.app.station_file import FILE, StationFault, keep_station, read_station
from kiosk.core import views as v
from kiosk.core.set_up import TRIED, Ask, next_page
from kiosk.core.station import Station
from kiosk.facility import FILE as FIRST_AID
from kiosk.paper.printer import NO_ANSWER
from kiosk.places import RESOURCES
from kiosk.store.bench_store import BenchStore
from kiosk.ui.audit import violations
from kiosk.ui.screens.card import CardScreen
from kiosk.ui.screens.dots import DotsScreen
from tests.app.set_up_desk import Desk, desk, to

LOOK = os.environ.get("THROUGHLIGHT_SHOTS", "")
"""A folder for pictures of the pages, to be looked at."""

__all__ = ["desk"]


def test_a_new_station_is_asked_page_by_page_and_each_answer_is_on_the_disk_before_the_next_page(desk: Desk) -> None:
    assert isinstance(desk.shown(), v.MenuView)
    desk.hand.named("language es")
    assert desk.kept.language == "es"
    shown = desk.shown()
    assert isinstance(shown, v.NumberView)
    assert shown.title == "¿Qué número tiene esta mesa?"
    desk.hand.type("3")
    desk.hand.named("done")
    assert desk.kept.bench == 3
    assert isinstance(desk.shown(), v.CardView)


def test_after_a_cut_the_page_stands_there_that_was_not_answered(desk: Desk) -> None:
    to(desk, Ask.SCANNER)
    before = desk.shown()
    desk.again()
    assert desk.ask() is Ask.SCANNER
    assert desk.shown() == before


def test_back_shows_the_page_before_and_a_new_answer_takes_the_place_of_the_old_one(desk: Desk) -> None:
    desk.hand.named("language es")
    desk.hand.named("rail.back")
    assert desk.ask() is Ask.LANGUAGE
    desk.hand.named("language en")
    assert desk.kept.language == "en"
    assert desk.ask() is Ask.BENCH


def test_the_card_made_to_fit_gives_the_pixels_of_a_millimeter_and_the_glass_is_made_anew(desk: Desk) -> None:
    """A card of 85.60 mm (ISO/IEC 7810, ID-1) drawn w pixels wide: w / 85.60 pixels a millimeter."""
    to(desk, Ask.CARD)
    screen = desk.window.current
    assert isinstance(screen, CardScreen)
    assert screen.drawn is not None
    first = screen.drawn.wide_px
    for _ in range(3):
        desk.hand.named("smaller")
    desk.hand.named("larger")
    assert first - 3 * 16 < screen.drawn.wide_px < first
    wide = screen.drawn.wide_px
    desk.hand.named("card fits")
    assert desk.running.again
    assert desk.kept.px_per_mm == pytest.approx(wide / 85.60, abs=1e-4)
    desk.again()
    assert desk.window.glass.metrics.px_per_mm == pytest.approx(wide / 85.60, abs=1e-4)


def test_larger_and_smaller_close_in_on_any_card_to_the_pixel(desk: Desk) -> None:
    to(desk, Ask.CARD)
    screen = desk.window.current
    assert isinstance(screen, CardScreen)
    assert screen.drawn is not None
    for aim in (309, 478, 402):
        touches = 0
        while screen.drawn.wide_px != aim and touches < 40:
            screen.larger() if screen.drawn.wide_px < aim else screen.smaller()
            touches += 1
        assert screen.drawn.wide_px == aim


def test_four_dots_touched_low_and_to_the_right_are_kept_as_what_fingers_land_beside_their_aim(desk: Desk) -> None:
    to(desk, Ask.TOUCH)
    screen = desk.window.current
    assert isinstance(screen, DotsScreen)
    ground = screen.ground
    assert ground is not None
    fine = desk.window.glass.metrics.true_px_per_mm
    for _ in range(4):
        at = ground.dot() + QPoint(round(1.0 * fine), round(2.0 * fine)).toPointF()
        desk.hand.tap(ground, at.toPoint())
    x, y = desk.kept.touch_mm
    assert x == pytest.approx(1.0, abs=0.2)
    assert y == pytest.approx(2.0, abs=0.2)
    assert desk.ask() is Ask.PRINTER


def test_a_touch_far_from_the_dot_is_not_measured(desk: Desk) -> None:
    to(desk, Ask.TOUCH)
    screen = desk.window.current
    assert isinstance(screen, DotsScreen)
    assert screen.ground is not None
    desk.hand.tap(screen.ground, screen.ground.rect().center())
    assert screen.ground.offsets == []


def test_a_printer_gets_its_test_page_and_the_page_is_asked_for(desk: Desk) -> None:
    to(desk, Ask.PRINTER)
    desk.hand.named("choose labels")
    desk.wait()
    desk.hand.settle()
    assert desk.printer.pages[0].startswith(b"%PDF")
    assert desk.ask() is Ask.PRINTED
    desk.hand.named("yes")
    assert desk.kept.printer == "labels"
    assert desk.ask() is Ask.SCANNER


def test_a_printer_that_does_not_answer_is_said_in_words_and_another_may_be_chosen(desk: Desk) -> None:
    desk.printer.down = True
    to(desk, Ask.PRINTER)
    desk.hand.named("choose labels")
    desk.wait()
    desk.hand.settle()
    shown = desk.shown()
    assert shown is not None
    assert "La impresora no contesta. Su trabajo está guardado." in shown.notice
    assert NO_ANSWER not in shown.notice
    desk.hand.named("no")
    assert desk.ask() is Ask.PRINTER


def test_the_code_on_the_glass_is_read_from_it_and_goes_on_by_itself(desk: Desk) -> None:
    """Read by zxing-cpp, a general-purpose reader, from what stands on the glass."""
    import zxingcpp
    from PIL import Image

    to(desk, Ask.SCANNER)
    shot = desk.window.grab().toImage()
    path = desk.stick / "glass.png"
    shot.save(str(path))
    (read,) = zxingcpp.read_barcodes(Image.open(path).convert("L"))
    assert read.text == CODE
    desk.running.scanned("TR-0734")
    assert desk.ask() is Ask.SCANNER
    shown = desk.shown()
    assert shown is not None
    assert "TR-0734" in shown.notice
    desk.running.scanned(read.text)
    assert desk.ask() is Ask.CAMERA


def test_a_wrong_clock_is_not_set_here_and_the_page_says_who_does(desk: Desk) -> None:
    to(desk, Ask.CLOCK)
    desk.hand.named("no")
    shown = desk.shown()
    assert isinstance(shown, v.StopView)
    assert "informática" in shown.sentence
    desk.hand.named("ask again")
    desk.hand.named("no")
    desk.hand.named("later")
    assert desk.ask() is Ask.FIRST_AID


def test_first_aid_words_are_taken_from_a_stick_only_when_they_are_filled_in(desk: Desk) -> None:
    to(desk, Ask.FIRST_AID)
    empty = (RESOURCES / "first_aid.yaml").read_bytes()
    (desk.stick / "first_aid.yaml").write_bytes(empty)
    desk.hand.named("look again")
    desk.hand.named("choose first_aid.yaml")
    assert desk.ask() is Ask.FIRST_AID
    shown = desk.shown()
    assert shown is not None
    assert "first_aid.yaml: falta llenar" in shown.notice
    assert "filled in" not in shown.notice
    assert not (desk.folder / FIRST_AID).exists()


def test_the_wet_time_and_the_language_become_the_departments_policy(desk: Desk) -> None:
    to(desk, Ask.WET)
    desk.hand.type("4.5")
    desk.hand.named("done")
    with closing(BenchStore(desk.folder, "B3")) as store:
        policy = store.policy_now()
    assert str(policy.bench_contact_minutes) == "4.5"
    assert policy.house_language == "es"


def test_the_trays_of_a_stick_with_a_fault_are_not_taken_and_the_fault_is_one_sentence(desk: Desk) -> None:
    to(desk, Ask.CATALOGUE)
    (desk.stick / "trays.csv").write_text("tray,nonsense\nTR-0001,x\n")
    desk.hand.named("look again")
    desk.hand.named("choose stick")
    desk.wait()
    desk.hand.settle()
    shown = desk.shown()
    assert shown is not None
    assert "trays.csv: fila 1: falta la columna name." in shown.notice
    with closing(BenchStore(desk.folder, "B3")) as store:
        assert store.catalogue() is None
    assert desk.ask() is Ask.CATALOGUE


def test_the_demo_department_makes_a_bench_that_is_set_up(desk: Desk) -> None:
    to(desk, Ask.CATALOGUE)
    desk.hand.named("choose El departamento de muestra")
    desk.wait()
    desk.hand.settle()
    assert desk.running.again
    assert next_page(desk.kept, desk.running.machine) is None
    with closing(BenchStore(desk.folder, "B3")) as store:
        catalogue = store.catalogue()
    assert catalogue is not None
    assert catalogue.trays
    assert catalogue.people


def test_a_station_of_decontam_is_set_up_by_the_same_pages(qapp: QApplication, tmp_path: Path) -> None:
    """Its glass is larger and slower to the touch, and its log is D1's: the page of every question stands whole."""
    (tmp_path / "stick").mkdir()
    desk = Desk(tmp_path / "store", tmp_path / "stick", side="decontam")
    desk.begin()
    for n, ask in enumerate(each for each in Ask if each not in TRIED):
        to(desk, ask)
        desk.clock.advance(1_000)
        shown = desk.window.current
        assert shown is not None
        assert violations(shown, desk.window.glass) == [], ask
        if LOOK:
            desk.window.grab().save(f"{LOOK}/decontam_{n:02d}_{ask}.png")
    desk.hand.named("choose El departamento de muestra")
    desk.wait()
    desk.hand.settle()
    assert next_page(desk.kept, desk.running.machine) is None
    desk.end()
    with closing(BenchStore(desk.folder, "D3")) as store:
        assert store.catalogue() is not None


def test_an_answer_that_the_disk_does_not_take_leaves_the_page_where_it_was(
    desk: Desk, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "station.yaml")

    monkeypatch.setattr("kiosk.app.setting_up.keep_station", full)
    desk.hand.named("language es")
    assert desk.ask() is Ask.LANGUAGE
    shown = desk.shown()
    assert shown is not None
    assert "No space left on device" in shown.notice


def test_first_aid_is_there_on_every_page_and_leads_back_to_it(desk: Desk) -> None:
    to(desk, Ask.BENCH)
    desk.hand.named("aid")
    shown = desk.shown()
    assert isinstance(shown, v.FirstAidView)
    desk.hand.send(shown.mistake.send)
    assert desk.ask() is Ask.BENCH
    assert isinstance(desk.shown(), v.NumberView)


def test_a_number_is_typed_on_a_keyboard_too(desk: Desk) -> None:
    to(desk, Ask.BENCH)
    desk.clock.advance(1000)
    QTest.keyClicks(desk.window, "12")
    QTest.keyClick(desk.window, Qt.Key.Key_Return)
    assert desk.kept.bench == 12


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("bench: 100", "bench"), ("bench: yes", "bench"), ("px_per_mm: 0.1", "px_per_mm"),
        ("touch_mm: [9, 0]", "touch_mm"), ("touch_mm: 3", "touch_mm"), ("language: xx", "language"),
        ("dim_minutes: -1", "dim_minutes"), ("answered: bench", "answered"), ("colour: red", "colour"),
    ],
)  # fmt: skip
def test_a_station_file_with_a_fault_is_refused_by_file_and_field(tmp_path: Path, text: str, field: str) -> None:
    path = tmp_path / FILE
    path.write_text(text)
    with pytest.raises(StationFault, match=rf"station\.yaml: field {field}"):
        read_station(path)


def test_what_is_kept_of_a_station_is_read_back_the_same(tmp_path: Path) -> None:
    station = Station(
        language="es", bench=7, px_per_mm=5.5812, panel="1920x1080", touch_mm=(0.4, -1.2), printer="labels",
        camera="camera:Scope", dim_minutes=0.0, answered=("language", "bench"),
    )  # fmt: skip
    keep_station(tmp_path / "store" / FILE, station)
    assert read_station(tmp_path / "store" / FILE) == station
