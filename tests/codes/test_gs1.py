"""GS1 element strings against published examples, malformed ones included. Each case names its source."""

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from biip.checksums import gs1_standard_check_digit
from hypothesis import given
from hypothesis import strategies as st

from kiosk.codes import gs1
from kiosk.codes.directory import Known, nobody
from kiosk.codes.read import read_text
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind

TODAY = date(2026, 11, 25)
CASES: list[dict[str, Any]] = json.loads(
    (Path(__file__).parents[1] / "reference" / "gs1.json").read_text(encoding="utf-8")
)["cases"]
PLAIN_SYMBOLS = {"es-sym-d1", "es-sym-C0"}


def having(start: str) -> list[Any]:
    found = [pytest.param(case, id=case["id"]) for case in CASES if case["id"].startswith(start)]
    assert found
    return found


def case_of(name: str) -> dict[str, Any]:
    return next(case for case in CASES if case["id"] == name)


def elements_of(scan: str) -> gs1.ElementStrings:
    """As the one door does it: the symbology identifier taken off first."""
    start = scan[:3] if scan.startswith("]") else ""
    return gs1.parse(scan.removeprefix(start), today=TODAY)


def test_every_case_of_the_reference_is_tested_here_or_named_as_left_out() -> None:
    tested = ("cd-", "es-", "sym-E4-gtin", "century-", "date-dd00", "cset82", "image-")
    left_out = [case["id"] for case in CASES if not case["id"].startswith(tested)]
    assert len(CASES) == 61
    assert left_out == ["hibc-lic"]  # another system of codes: no part of what a scan means here, see the test below


def test_a_code_of_another_system_is_not_taken_for_one_of_ours() -> None:
    """HIBC primary code: +A123BJC5D6E71 with its check character G."""
    case = case_of("hibc-lic")
    meaning = read_text(case["inputs"]["data"] + case["expected"]["check"], today=TODAY)
    assert (meaning.kind, meaning.why) == (Kind.UNKNOWN, Why.UNKNOWN)


@pytest.mark.parametrize("case", having("cd-"))
def test_check_digits_agree_with_the_published_ones(case: dict[str, Any]) -> None:
    payload, digit = case["inputs"]["payload"], case["expected"]["check_digit"]
    assert str(gs1_standard_check_digit(payload)) == digit
    if len(payload) in (7, 11, 12, 13):
        assert gs1.retail(payload + digit).values == {"01": (payload + digit).rjust(14, "0")}
        assert not gs1.retail(payload + str((int(digit) + 1) % 10)).valid


@pytest.mark.parametrize("case", [c for c in having("es-") if c.id not in PLAIN_SYMBOLS])
def test_element_strings_are_taken_or_refused_as_published(case: dict[str, Any]) -> None:
    elements = elements_of(case["inputs"]["scan"])
    assert elements.valid is case["expected"]["valid"], elements.why
    if elements.valid:
        assert elements.hri == case["expected"]["hri"]
    else:
        assert elements.why
        assert not elements.values


@pytest.mark.parametrize("case", having("es-"))
def test_through_the_one_door_what_is_refused_names_nothing(case: dict[str, Any]) -> None:
    meaning = read_text(case["inputs"]["scan"], today=TODAY)
    if not case["expected"]["valid"]:
        assert meaning.kind is Kind.UNKNOWN
        assert meaning.why
        assert not meaning.gs1


@pytest.mark.parametrize("name", sorted(PLAIN_SYMBOLS))
def test_plain_code_128_and_plain_data_matrix_are_not_gs1(name: str) -> None:
    scan = case_of(name)["inputs"]["scan"]
    meaning = read_text(scan, {"(01)07032069804988": Known(Kind.SWAB_LOT, "x")}.get, today=TODAY)
    assert (meaning.kind, meaning.symbology, meaning.gs1) == (Kind.UNKNOWN, scan[:3], {})


def test_an_ean_8_symbol_gives_its_gtin_with_fourteen_digits() -> None:
    case = case_of("sym-E4-gtin")
    meaning = read_text(case["inputs"]["scan"], today=TODAY)
    assert meaning.gs1 == {"01": case["expected"]["gtin14"]}
    assert meaning.symbology == "]E4"


@pytest.mark.parametrize("case", having("century-"))
def test_the_century_of_a_two_figure_year_follows_the_window(case: dict[str, Any]) -> None:
    year = case["inputs"]["current_year"]
    assert [gs1.full_year(yy, year) for yy in case["inputs"]["yy"]] == case["expected"]["year"]


@given(year=st.integers(2000, 2200), yy=st.integers(0, 99))
def test_a_two_figure_year_is_never_more_than_50_years_ahead_or_49_back(year: int, yy: int) -> None:
    """GS1 General Specifications, section 7.12."""
    full = gs1.full_year(yy, year)
    assert full % 100 == yy
    assert -49 <= full - year <= 50


def test_day_00_is_the_last_day_of_the_month() -> None:
    case = case_of("date-dd00-130200")
    days = [gs1.day_of(value, TODAY).isoformat() for value in case["inputs"]["values"]]
    assert days == case["expected"]["dates"]


def test_the_day_of_expiry_depends_on_the_day_it_is_asked() -> None:
    values = gs1.parse("17760229", today=TODAY).values
    assert gs1.expiry(values, TODAY) == date(2076, 2, 29)
    assert gs1.expiry({}, TODAY) is None


def test_a_leap_day_is_judged_in_its_own_century() -> None:
    """By the calendar: 2100 has no 29 February, 2000 had one."""
    assert gs1.parse("17000229", today=TODAY).valid
    assert not gs1.parse("17000229", today=date(2060, 1, 1)).valid


def test_a_lot_may_hold_82_characters_and_no_other() -> None:
    case = case_of("cset82")
    taken = {c for c in map(chr, range(0x20, 0x7F)) if gs1.parse("10" + c, today=TODAY).valid}
    assert taken == set(case["expected"]["accepted"])
    assert len(taken) == case["expected"]["count"]


@pytest.mark.parametrize("text", ["10é", "10\n", "01٠٧٠٣٢٠٦٩٨٠٤٩٨٨", "10A\x00"])
def test_characters_outside_ascii_are_refused(text: str) -> None:
    assert gs1.parse(text, today=TODAY).why == Why.GS1_CHARACTERS


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("70032612002359", Why.GS1_DATE.format(ai="7003")),
        ("7006261200", Why.GS1_DATE.format(ai="7006")),
        ("7007261201261200", Why.GS1_DATE.format(ai="7007")),
        ("800826120010", Why.GS1_DATE.format(ai="8008")),
    ],
)
def test_where_a_real_day_is_asked_day_00_is_refused(text: str, why: str) -> None:
    """GS1 Barcode Syntax Dictionary: yymmdd for 7003, 7006, 7007, 8008; yymmd0 for 11 to 17 (read)."""
    assert gs1.parse(text, today=TODAY).why == why


@pytest.mark.parametrize(
    "text", ["801742012345678901235", "80180421765432109870", "40295201234567890123", "2534012345000006"]
)
def test_keys_whose_check_digit_the_library_leaves_alone_are_checked(text: str) -> None:
    """GS1 Barcode Syntax Dictionary: csum on 8017, 8018, 402, 253 (read). The numbers here are made up and wrong."""
    assert not gs1.parse(text, today=TODAY).valid


@pytest.mark.parametrize("ai", sorted(gs1._CHECKED))
def test_a_key_with_its_right_check_digit_is_taken_and_with_any_other_refused(ai: str) -> None:
    digits = gs1._CHECKED[ai]
    body = "0123456789012345678"[: digits - 1]
    rest = {"8006": "0102", "8026": "0102"}.get(ai, "")
    right = gs1_standard_check_digit(body)
    taken = {n for n in range(10) if gs1.parse(f"{ai}{body}{n}{rest}", today=TODAY).valid}
    assert taken == {right}


@pytest.mark.parametrize("text", ["(17)2612319", "(31)00123456", "(10)AB C"])
def test_a_bracketed_value_must_fill_its_own_identifier_and_no_more(text: str) -> None:
    """The scanned forms would be read otherwise: 172612319 as a date and a rest, 3100123456 as (3100)."""
    assert not gs1.parse(text, today=TODAY).valid


def test_two_separators_in_a_row_are_named() -> None:
    scan = case_of("es-double-fnc1")["inputs"]["scan"]
    assert gs1.parse(scan, today=TODAY).why == Why.GS1_SEPARATORS


def test_the_same_identifier_twice_is_refused() -> None:
    """GS1 General Specifications, section 4.14.1: no two values for one identifier. From memory."""
    assert gs1.parse("10A\x1d10B", today=TODAY).why == "(10) stands twice in this GS1 code."


def test_a_full_length_lot_still_needs_its_separator() -> None:
    assert not gs1.parse("10AAAAAAAAAAAAAAAAAAAA17261231", today=TODAY).valid
    assert gs1.parse("10AAAAAAAAAAAAAAAAAAAA\x1d17261231", today=TODAY).valid


@given(text=st.text(st.characters(min_codepoint=0x1D, max_codepoint=0x7E), max_size=40))
def test_no_text_at_all_upsets_the_reader_of_element_strings(text: str) -> None:
    elements = gs1.parse(text, today=TODAY)
    assert elements.valid is bool(elements.values)


@given(lot=st.text("ABC123/-", min_size=1, max_size=20), serial=st.text("XYZ789.", min_size=1, max_size=20))
def test_brackets_and_separators_say_the_same(lot: str, serial: str) -> None:
    scanned = gs1.parse(f"010703206980498817261231{'10'}{lot}\x1d21{serial}", today=TODAY)
    assert scanned.valid
    assert gs1.parse(scanned.hri, today=TODAY) == scanned


# What they name -------------------------------------------------------------------------------------------------

GRAI = "00614141123452400"


@pytest.mark.parametrize("key", [f"(8003){GRAI}", f"8003{GRAI}", GRAI, GRAI[1:]])
@pytest.mark.parametrize("kind", [Kind.TRAY, Kind.ITEM])
def test_a_returnable_asset_is_the_tray_or_item_that_the_directory_says(key: str, kind: Kind) -> None:
    meaning = read_text(f"]C18003{GRAI}", {key: Known(kind, "TR-0741")}.get, today=TODAY)
    assert (meaning.kind, meaning.text, meaning.symbology) == (kind, "TR-0741", "]C1")
    assert meaning.gs1 == {"8003": GRAI}
    assert meaning.why is None


def test_a_returnable_asset_that_nobody_knows_is_unknown_and_says_so() -> None:
    meaning = read_text(f"8003{GRAI}", today=TODAY)
    assert (meaning.kind, meaning.valid, meaning.why) == (Kind.UNKNOWN, True, Why.UNKNOWN)


def test_an_individual_asset_is_an_item() -> None:
    meaning = read_text("8004061414112345400", nobody, today=TODAY)
    assert (meaning.kind, meaning.text) == (Kind.ITEM, "061414112345400")


def test_a_gtin_with_a_serial_is_an_item_and_keeps_lot_and_expiry() -> None:
    meaning = read_text(case_of("es-udi-full")["inputs"]["scan"], today=TODAY)
    assert (meaning.kind, meaning.text) == (Kind.ITEM, "(01)07032069804988(21)SN0001")
    assert meaning.gs1 == {"01": "07032069804988", "17": "261231", "10": "LOT-7/A", "21": "SN0001"}


def test_a_box_of_swabs_that_the_directory_knows_gives_its_lot() -> None:
    swabs = {"(01)07032069804988": Known(Kind.SWAB_LOT, "swabs 1.2 mm")}.get
    meaning = read_text("]d201070320698049881726123110LOT7", swabs, today=TODAY)
    assert (meaning.kind, meaning.text) == (Kind.SWAB_LOT, "LOT7")
    assert gs1.expiry(meaning.gs1, TODAY) == date(2026, 12, 31)
