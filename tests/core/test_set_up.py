"""The walk of the set-up: its order, what an answer makes of the station, what can not be meant."""

from dataclasses import replace

import pytest

from kiosk.core.set_up import LATER, OF_DEPARTMENT, Ask, Machine, NotTaken, before, begin_again, next_page, pages, take
from kiosk.core.station import CARD_MM, MOST_OFFSET_MM, Station, mean_offset

HERE = Machine(panel="1920x1080", queues=("labels", "office"), cameras=("Scope",), code_text="THROUGHLIGHT")
ANSWERS = {
    Ask.LANGUAGE: "es",
    Ask.BENCH: "3",
    Ask.CARD: "3.6100",
    Ask.TOUCH: "0.4 0.2 0.6 0.0 0.2 0.4 0.4 0.2",
    Ask.PRINTER: "labels",
    Ask.PRINTED: "yes",
    Ask.SCANNER: "THROUGHLIGHT",
    Ask.CAMERA: "Scope",
    Ask.PICTURE: "yes",
    Ask.CLOCK: "yes",
    Ask.FIRST_AID: LATER,
    Ask.WET: "4",
    Ask.CATALOGUE: LATER,
}


def walked(station: Station | None = None, machine: Machine = HERE) -> tuple[Station, list[Ask]]:
    """The station when every page was answered, and the pages in the order in which they stood there."""
    station, seen = station or Station(), []
    while (ask := next_page(station, machine)) is not None:
        seen.append(ask)
        station = take(station, machine, ask, ANSWERS[ask])
    return station, seen


def test_every_page_is_asked_once_and_in_order() -> None:
    station, seen = walked()
    assert seen == list(Ask)
    assert (station.language, station.bench, station.px_per_mm) == ("es", 3, 3.61)
    assert (station.printer, station.camera, station.touch_mm) == ("labels", "camera:Scope", (0.4, 0.2))


@pytest.mark.parametrize("cut", range(len(Ask)))
def test_after_a_cut_the_set_up_goes_on_with_the_page_that_was_not_answered(cut: int) -> None:
    station = Station()
    for ask in list(Ask)[:cut]:
        station = take(station, HERE, ask, ANSWERS[ask])
    assert next_page(station, HERE) is list(Ask)[cut]


def test_what_the_call_names_is_not_asked() -> None:
    machine = replace(HERE, given=frozenset({Ask.BENCH, Ask.CARD}))
    assert not {Ask.BENCH, Ask.CARD} & set(walked(machine=machine)[1])


def test_without_a_printer_and_a_camera_nothing_is_tried() -> None:
    station = take(take(Station(), HERE, Ask.PRINTER, ""), HERE, Ask.CAMERA, "")
    assert not {Ask.PRINTED, Ask.PICTURE} & set(pages(station, HERE))


def test_a_page_that_did_not_come_out_leads_to_another_printer_and_is_asked_again() -> None:
    station, _ = walked()
    again = take(station, HERE, Ask.PRINTED, "no")
    assert next_page(again, HERE) is Ask.PRINTER
    chosen = take(again, HERE, Ask.PRINTER, "office")
    assert next_page(chosen, HERE) is Ask.PRINTED


def test_another_panel_is_measured_and_touched_anew_and_nothing_else_is() -> None:
    station, _ = walked()
    other = replace(HERE, panel="1280x800")
    assert next_page(station, other) is Ask.CARD
    measured = take(station, other, Ask.CARD, "5.89")
    assert next_page(measured, other) is Ask.TOUCH
    assert measured.touch_mm == (0.0, 0.0)
    assert next_page(take(measured, other, Ask.TOUCH, ""), other) is None


def test_set_up_again_the_department_keeps_its_language_number_wet_time_and_trays() -> None:
    station, _ = walked()
    machine = replace(HERE, given=OF_DEPARTMENT)
    again, seen = walked(begin_again(station), machine)
    assert seen == [ask for ask in Ask if ask not in OF_DEPARTMENT]
    assert replace(again, answered=()) == replace(station, answered=())


def test_back_leads_through_the_pages_to_the_first_and_a_log_keeps_its_number() -> None:
    station = Station()
    for ask in list(Ask)[:4]:
        station = take(station, HERE, ask, ANSWERS[ask])
    assert before(Ask.TOUCH, station, HERE) is Ask.CARD
    assert before(Ask.CARD, station, HERE) is Ask.BENCH
    assert before(Ask.LANGUAGE, station, HERE) is None
    named, _ = walked()
    assert Ask.BENCH not in pages(named, HERE)


@pytest.mark.parametrize(
    ("ask", "value"),
    [
        (Ask.LANGUAGE, "xx"), (Ask.BENCH, "0"), (Ask.BENCH, "100"), (Ask.BENCH, "-1"), (Ask.BENCH, ""),
        (Ask.BENCH, "٣"), (Ask.CARD, "0.5"), (Ask.CARD, "nan"), (Ask.CARD, "wide"), (Ask.PRINTER, "gone"),
        (Ask.CAMERA, "gone"), (Ask.SCANNER, "TR-0734"), (Ask.WET, "0"), (Ask.WET, "61"), (Ask.WET, "."),
        (Ask.TOUCH, "1 wide"),
    ],
)  # fmt: skip
def test_what_can_not_be_meant_is_not_taken(ask: Ask, value: str) -> None:
    with pytest.raises(NotTaken):
        take(Station(), HERE, ask, value)


def test_the_mean_of_four_touches_is_what_fingers_land_beside_their_aim() -> None:
    """Worked by hand: (0.4 + 0.6 + 0.2 + 0.4) / 4 = 0.4 and (0.2 + 0.0 + 0.4 + 0.2) / 4 = 0.2."""
    assert mean_offset(((0.4, 0.2), (0.6, 0.0), (0.2, 0.4), (0.4, 0.2))) == (0.4, 0.2)
    assert mean_offset(()) == (0.0, 0.0)


def test_an_offset_is_cut_to_four_millimeters_in_its_own_direction() -> None:
    """look.md 2.8 caps the offset at 4 mm; 6 and 8 make 10 (3-4-5 triangle), so 2.4 and 3.2 make 4."""
    assert MOST_OFFSET_MM == 4.0
    assert mean_offset(((6.0, 8.0),)) == (2.4, 3.2)


def test_the_card_is_the_badge_card_of_the_standard() -> None:
    """ISO/IEC 7810, ID-1: 85.60 x 53.98 mm (reference facts; look.md 2.6)."""
    assert CARD_MM == (85.60, 53.98)
