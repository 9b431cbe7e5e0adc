"""House codes: the check character against its standard, the ten characters, and what people type."""

import re
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from stdnum.iso7064 import mod_37_2

from kiosk.codes import house
from kiosk.codes.directory import Known
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind, Meaning

ISO = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
ROWS = st.sampled_from(house.PREFIXES)
NUMBERS = st.integers(0, 9_999_999)
SHORTS = st.builds(lambda row, n: f"{row.prefix}-{n:0{row.figures}d}", ROWS, NUMBERS)
LABELS = st.builds(
    lambda bench, day, n: f"B{bench}-{day:%y%m%d}-{n:04d}",
    st.integers(1, 32),
    st.dates(min_value=date(2020, 1, 1), max_value=date(2054, 12, 31)),
    st.integers(0, 99_999),
)
CODES = st.one_of(SHORTS, LABELS)


def meant(kind: Kind, text: str) -> Meaning:
    return Meaning(kind=kind, text=text)


# The check character --------------------------------------------------------------------------------------------


def test_the_published_example_of_mod_37_2_gives_its_check_character() -> None:
    """ISBT 128 donation number G123 498 654 321, check character H, sum 148354: Guidelines for the Blood Transfusion
    Services in the UK, annex 2, tables A2.1 and A2.2 (read), which uses ISO/IEC 7064, MOD 37-2."""
    assert sum(ISO.index(c) * 2 ** (13 - at) for at, c in enumerate("G123498654321")) == 148354
    assert house.check_character("G123498654321") == "H"


def test_the_example_of_another_library_gives_its_check_character() -> None:
    """python-stdnum 2.2, stdnum/iso7064/mod_37_2.py, doc example G123489654321Y."""
    assert house.check_character("G123489654321") == "Y"


@given(text=st.text(ISO, max_size=24))
def test_the_check_character_agrees_with_another_library(text: str) -> None:
    assert house.check_character(text) == mod_37_2.calc_check_digit(text)


@given(code=CODES, at=st.integers(0, 9), other=st.sampled_from(ISO))
def test_any_single_wrong_character_is_found(code: str, at: int, other: str) -> None:
    """Promised by ISO/IEC 7064, 1.3 a), for all its systems."""
    ten = house.encode(code)
    wrong = ten[:at] + other + ten[at + 1 :]
    assert (house.check_character(wrong[:9]) == wrong[9]) is (wrong == ten)


@pytest.mark.parametrize("code", ["K-0007", "K-30007", "TR-0734", "B3-261117-0012", "W-2201"])
def test_every_single_wrong_character_of_the_alphabet_is_refused(code: str) -> None:
    ten = house.encode(code)
    for at in range(10):
        for other in ISO:
            wrong = house.decode(ten[:at] + other + ten[at + 1 :])
            same = ten[at] == other or (at and ten[at] == other.translate(str.maketrans("OI", "01")))
            assert (wrong is not None and wrong.valid) is bool(same), (at, other)


@given(code=CODES, at=st.integers(0, 8), apart=st.sampled_from([1, 2]))
def test_any_swap_of_neighbors_or_around_one_character_is_found(code: str, at: int, apart: int) -> None:
    """37 is prime, 2 - 1 and 4 - 1 are no multiples of it, so that the standard's "nearly all" is all."""
    ten = list(house.encode(code))
    if at + apart > 9:
        return
    swapped = [*ten]
    swapped[at], swapped[at + apart] = ten[at + apart], ten[at]
    text = "".join(swapped)
    assert (house.check_character(text[:9]) == text[9]) is (swapped == ten)


@given(row=ROWS, one=NUMBERS, at=st.integers(0, 6), figure=st.sampled_from("0123456789"))
def test_a_number_with_one_wrong_figure_never_fits_the_check_character_that_was_printed(
    row: house.Prefix, one: int, at: int, figure: str
) -> None:
    figures = f"{one:07d}"
    other = int(figures[:at] + figure + figures[at + 1 :])
    tails = [house.with_check(f"{row.prefix}-{n:0{row.figures}d}").rpartition("-")[2] for n in (one, other)]
    assert (tails[0] == tails[1]) is (one == other)


@given(row=ROWS, one=NUMBERS)
def test_a_number_with_two_figures_swapped_never_fits_the_check_character_that_was_printed(
    row: house.Prefix, one: int
) -> None:
    figures = f"{one:07d}"
    printed = house.with_check(f"{row.prefix}-{one:0{row.figures}d}").rpartition("-")[2]
    for at, (left, right) in enumerate(pairwise(figures)):
        other = int(figures[:at] + right + left + figures[at + 2 :])
        tail = house.with_check(f"{row.prefix}-{other:0{row.figures}d}").rpartition("-")[2]
        assert (tail == printed) is (left == right)


# The ten characters ---------------------------------------------------------------------------------------------


@given(code=CODES)
def test_ten_characters_without_i_o_u_mean_the_code_again(code: str) -> None:
    ten = house.encode(code)
    assert re.fullmatch(f"[{house.ALPHABET}]{{10}}", ten)
    assert not set("IOU*") & set(ten)
    meaning = house.decode(ten)
    assert meaning is not None
    assert (meaning.text, meaning.valid) == (code, True)


@given(code=CODES)
def test_the_printed_form_with_its_check_means_the_code_again(code: str) -> None:
    printed = house.with_check(code)
    for typed in (printed, printed.lower(), f" {printed} "):
        meaning = house.decode(typed)
        assert meaning is not None
        assert (meaning.text, meaning.valid) == (code, True), typed


def test_where_i_o_u_or_a_star_would_be_due_the_spare_character_changes_it() -> None:
    tens = [house.encode(f"K-{n:04d}") for n in range(400)]
    star = [ten for ten in tens if house.check_character(ten[:8] + "0") in "IOU*"]
    assert {house.check_character(ten[:8] + "0") for ten in star} == set("IOU*")
    assert all(ten[8] == "A" for ten in star)
    assert all(ten[8] == "0" for ten in tens if ten not in star)


def test_every_prefix_has_a_letter_of_its_own() -> None:
    letters = [row.letter for row in house.PREFIXES]
    assert len({*letters, "B"}) == len(letters) + 1
    assert {*letters, "B"} <= set(house.ALPHABET)
    rows = re.findall(r"^\| (\w+) \| (\w) \|", house.__doc__ or "", re.MULTILINE)
    assert rows == [*((row.prefix, row.letter) for row in house.PREFIXES), ("B", "B")]


@pytest.mark.parametrize(
    "text",
    [
        "TR0734",
        "TR-734",
        "TR-00734",
        "P-21",
        "ZZ-1",
        "K-",
        "K-12345678",
        "K-٣",
        "B0-261117-0001",
        "B33-261117-0001",
        "B3-560101-0001",
    ],
)
def test_what_has_no_ten_characters_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=re.escape(text[:2])):
        house.encode(text)


# What people type -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "kind", "text"),
    [
        ("TR-0734", Kind.TRAY, "TR-0734"),
        ("tr734", Kind.TRAY, "TR-0734"),
        ("TR O734", Kind.TRAY, "TR-0734"),
        ("LN-0009", Kind.TRAY, "LN-0009"),
        ("W-2201", Kind.LOAD, "W-2201"),
        ("SC-1", Kind.SCOPE, "SC-1"),
        ("K-0007", Kind.TICKET, "K-0007"),
        ("k7", Kind.TICKET, "K-0007"),
        ("P-014", Kind.PERSON, "P-014"),
        ("SH-0031", Kind.ITEM, "SH-0031"),
    ],
)
def test_a_short_number_is_taken_as_people_type_it(typed: str, kind: Kind, text: str) -> None:
    assert house.decode(typed) == meant(kind, text)


def test_a_ticket_of_more_than_four_figures_asks_for_its_check_character() -> None:
    """A rule of the house: a check digit where more than four figures. Common practice, no source."""
    assert house.decode("K-30007") == Meaning(
        kind=Kind.UNKNOWN, text="K-30007", valid=False, why="Type the check character at the end of the number too."
    )
    assert house.decode(house.with_check("K-30007")) == meant(Kind.TICKET, "K-30007")


@pytest.mark.parametrize("typed", ["K-0007-X", "K-0007X", "K-30007-A", "TR-0734-0", "B3-261117-0012-0"])
def test_a_wrong_check_character_is_refused_with_a_sentence(typed: str) -> None:
    assert house.decode(typed) == Meaning(kind=Kind.UNKNOWN, text=typed, valid=False, why=Why.CHECK)


def test_a_last_figure_counts_as_a_check_only_where_it_stands_apart() -> None:
    """R-30001-4 is right; R300014 could be a longer number, so it is asked for its own check."""
    assert house.with_check("R-30001") == "R-30001-4"
    assert house.decode("R-30001-4") == meant(Kind.LABEL, "R-30001")
    together = house.decode("R300014")
    assert together is not None
    assert together.why == Why.CHECK_LEFT_OUT


@pytest.mark.parametrize("typed", ["", "hello", "12345", "TR-", "XX-0001", "K-12345678", "A+B", "B3-2611-0012"])
def test_what_has_not_the_shape_of_a_house_code_is_left_to_others(typed: str) -> None:
    assert house.decode(typed) is None


def test_a_label_of_a_day_that_never_was_is_refused() -> None:
    refused = house.decode("B3-261399-0012-0")
    assert refused is not None
    assert not refused.valid


@given(text=st.text(max_size=16))
def test_no_text_at_all_upsets_the_house_codes(text: str) -> None:
    house.decode(text)


# The directory --------------------------------------------------------------------------------------------------

KNOWN = {
    "7031142": Known(Kind.PERSON, "P-21"),
    "P-21": Known(Kind.PERSON, "P-21"),
    "T1": Known(Kind.PERSON, "T1"),
    "E71": Known(Kind.ITEM, "E71"),
    "TR-30417": Known(Kind.TRAY, "TR-30417"),
    "K-0001": Known(Kind.TRAY, "K-0001"),
}


@pytest.mark.parametrize(
    ("typed", "kind", "text"),
    [
        ("7031142", Kind.PERSON, "P-21"),
        ("t1", Kind.PERSON, "T1"),
        ("E71", Kind.ITEM, "E71"),
        ("TR-30417", Kind.TRAY, "TR-30417"),
        ("K-0001", Kind.TRAY, "K-0001"),
        ("P-021", Kind.PERSON, "P-21"),
    ],
)
def test_what_the_catalogue_knows_is_known_by_its_own_text_first(typed: str, kind: Kind, text: str) -> None:
    assert house.decode(typed, KNOWN.get) == meant(kind, text)
