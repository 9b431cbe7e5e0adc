"""The one door: texts as scanners send them, and pictures of codes, turned and blurred too."""

import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
import qrcode
import zxingcpp
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image, ImageFilter

from kiosk.codes import house, write
from kiosk.codes.directory import Known
from kiosk.codes.read import read_image, read_text
from kiosk.codes.why import Why
from kiosk.core.meaning import Kind, Meaning
from tests.codes.pictures import from_matrix

TODAY = date(2026, 11, 25)
HRI = "(01)07032069804988(17)261231(10)ABC123(21)SN7"
VALUES = {"01": "07032069804988", "17": "261231", "10": "ABC123", "21": "SN7"}


def symbol(text: str, form: zxingcpp.BarcodeFormat, scale: int = 4, **options: bool) -> Image.Image:
    made = zxingcpp.create_barcode(text, form, **options).to_image(scale=scale)
    drawn: Image.Image = Image.fromarray(made)
    page = Image.new("L", (drawn.width + 120, drawn.height + 120), 255)
    page.paste(drawn, (60, 60))
    return page


def from_bars(widths: tuple[int, ...], module: int = 3) -> Image.Image:
    image = Image.new("L", ((sum(widths) + 20) * module, 160), 255)
    at = 10 * module
    for n, width in enumerate(widths):
        if n % 2 == 0:
            image.paste(0, (at, 20, at + width * module, 140))
        at += width * module
    return image


# Texts ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("ending", ["", "\r", "\r\n", "\t", "  "])
@pytest.mark.parametrize("symbology", ["", "]C0", "]Q1", "]A0", "]d1"])
def test_a_house_code_is_read_from_any_plain_symbol_whatever_the_scanner_ends_with(symbology: str, ending: str) -> None:
    ten = house.encode("TR-0734")
    expected = Meaning(kind=Kind.TRAY, text="TR-0734", symbology=symbology or None)
    assert read_text(symbology + ten + ending, today=TODAY) == expected
    assert read_text(symbology + "TR-0734" + ending, today=TODAY) == expected


@pytest.mark.parametrize("fnc1", ["<GS>", "{GS}", "^]", "~"])
def test_a_printable_stand_in_for_fnc1_counts_only_where_the_scanner_is_set_to_it(fnc1: str) -> None:
    scan = f"01070320698049881726123110ABC123{fnc1}21SN7"
    assert read_text(scan, today=TODAY, fnc1=(fnc1,)).gs1 == VALUES
    assert read_text(scan, today=TODAY).gs1 != VALUES


def test_bracketed_and_scanned_element_strings_mean_the_same() -> None:
    assert read_text(HRI, today=TODAY).gs1 == VALUES
    assert read_text("01070320698049881726123110ABC123\x1d21SN7", today=TODAY).gs1 == VALUES


@pytest.mark.parametrize("raw", ["", "\r\n", "]C0", "]Q1\r"])
def test_an_empty_scan_says_so(raw: str) -> None:
    meaning = read_text(raw, today=TODAY)
    assert (meaning.kind, meaning.valid, meaning.why) == (Kind.UNKNOWN, False, Why.EMPTY)


@pytest.mark.parametrize("raw", ["0419-22", "hello", "12345", "http://example.org/x"])
def test_a_label_that_nobody_knows_is_kept_and_said(raw: str) -> None:
    assert read_text(raw, today=TODAY) == Meaning(
        kind=Kind.UNKNOWN, text=raw, why="This bench does not know this label."
    )


@given(raw=st.text(max_size=60))
def test_no_scan_at_all_upsets_the_door_and_what_is_refused_never_opens(raw: str) -> None:
    meaning = read_text(raw, today=TODAY)
    assert meaning.text.isprintable()
    assert (meaning.why is not None) is (meaning.kind is Kind.UNKNOWN)
    assert meaning.valid or meaning.kind is Kind.UNKNOWN


def test_the_catalogue_comes_before_gs1() -> None:
    numbers = {"0107032069804988": Known(Kind.PERSON, "P-21")}.get
    assert read_text("0107032069804988", numbers, today=TODAY).kind is Kind.PERSON
    assert read_text("]C10107032069804988", numbers, today=TODAY).kind is Kind.UNKNOWN


def test_every_sentence_is_short_and_blames_nobody() -> None:
    for why in Why:
        assert len(why.split()) <= 16, why
        assert not {"error", "invalid", "failed"} & set(why.lower().split()), why
        assert why.endswith("."), why


def test_reading_a_house_code_loads_no_reader_of_pictures_and_no_gs1_library() -> None:
    look = (
        "import sys; from kiosk.codes.read import read_text; read_text('TR-0734');"
        "print([m for m in ('biip', 'PIL', 'pyzbar', 'zxingcpp', 'qrcode', 'PySide6') if m in sys.modules])"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run([sys.executable, "-c", look], cwd=root, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


# Pictures -------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("form", "options", "symbology"),
    [
        (zxingcpp.BarcodeFormat.DataMatrix, {"force_square": True}, "]d2"),
        (zxingcpp.BarcodeFormat.Code128, {}, "]C1"),
        (zxingcpp.BarcodeFormat.QRCode, {}, "]Q3"),
    ],
)
def test_a_picture_of_a_gs1_symbol_gives_its_element_strings(
    form: zxingcpp.BarcodeFormat, options: dict[str, bool], symbology: str
) -> None:
    """Made by zxing-cpp from bracketed text: reference cases image-d2 and image-C1."""
    (meaning,) = read_image(symbol(HRI, form, gs1=True, **options), today=TODAY)
    assert (meaning.symbology, meaning.gs1) == (symbology, VALUES)


@pytest.mark.parametrize(
    "form", [zxingcpp.BarcodeFormat.Code128, zxingcpp.BarcodeFormat.QRCode, zxingcpp.BarcodeFormat.DataMatrix]
)
@pytest.mark.parametrize("turn", range(0, 360, 20))
def test_a_picture_is_read_however_it_is_turned(form: zxingcpp.BarcodeFormat, turn: int) -> None:
    picture = symbol("TR-0734", form).rotate(turn, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    (meaning,) = read_image(picture, today=TODAY)
    assert (meaning.kind, meaning.text) == (Kind.TRAY, "TR-0734")


@pytest.mark.parametrize(
    ("form", "radius"),
    [
        (zxingcpp.BarcodeFormat.Code128, 2),
        (zxingcpp.BarcodeFormat.QRCode, 3),
        (zxingcpp.BarcodeFormat.DataMatrix, 3),
    ],
)
def test_a_blurred_picture_is_read(form: zxingcpp.BarcodeFormat, radius: int) -> None:
    picture = symbol("TR-0734", form, scale=6).filter(ImageFilter.GaussianBlur(radius))
    (meaning,) = read_image(picture, today=TODAY)
    assert meaning.text == "TR-0734"


def test_a_turned_and_blurred_number_code_is_read() -> None:
    picture = from_matrix(write.number_code(house.encode("K-30007")))
    picture = picture.rotate(33, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    (meaning,) = read_image(picture.filter(ImageFilter.GaussianBlur(2)), today=TODAY)
    assert (meaning.kind, meaning.text) == (Kind.TICKET, "K-30007")


def test_a_code_of_the_second_reader_beside_one_of_the_first_is_not_missed() -> None:
    both = Image.new("L", (700, 400), 255)
    both.paste(symbol("TR-0734", zxingcpp.BarcodeFormat.QRCode), (0, 0))
    both.paste(symbol("SC-1", zxingcpp.BarcodeFormat.DataMatrix), (380, 0))
    assert {meaning.text for meaning in read_image(both, today=TODAY)} == {"TR-0734", "SC-1"}


def test_a_picture_file_is_read_and_no_picture_is_an_outage(tmp_path: Path) -> None:
    made = qrcode.QRCode()
    made.add_data("W-2201")
    made.make()
    with (tmp_path / "load.png").open("wb") as file:
        made.make_image().save(file)
    assert [m.text for m in read_image(tmp_path / "load.png", today=TODAY)] == ["W-2201"]
    (tmp_path / "not.png").write_text("no picture")
    with pytest.raises(OSError, match="not\\.png"):
        read_image(tmp_path / "not.png", today=TODAY)


def test_a_picture_without_a_code_means_nothing() -> None:
    assert read_image(Image.new("RGB", (200, 100), "white"), today=TODAY) == []


def test_without_the_first_reader_the_second_does_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "pyzbar", None)
    (meaning,) = read_image(symbol("TR-0734", zxingcpp.BarcodeFormat.QRCode), today=TODAY)
    assert meaning.text == "TR-0734"


# Written codes --------------------------------------------------------------------------------------------------


@given(number=st.integers(0, 9_999_999))
def test_every_number_code_is_21_by_21_modules(number: int) -> None:
    """QR version 1 is 21 x 21 and holds ten alphanumeric characters at level H (ISO/IEC 18004, table of capacities,
    from memory: version 1-H, 10 alphanumeric)."""
    matrix = write.number_code(house.encode(f"K-{number:04d}"))
    assert len(matrix) == 21
    assert {len(row) for row in matrix} == {21}


def test_a_number_code_is_of_level_h_and_alphanumeric() -> None:
    ten = house.encode("K-0007")
    (code,) = zxingcpp.read_barcodes(from_matrix(write.number_code(ten)))
    assert (code.text, code.ec_level) == (ten, "H")


def test_more_than_a_number_code_holds_is_refused() -> None:
    with pytest.raises(ValueError, match="does not fit"):
        write.number_code("ABCDEFGHJKL")


def test_a_longer_qr_code_is_read_back() -> None:
    (code,) = zxingcpp.read_barcodes(from_matrix(write.qr("B3-261117-0012-Y", level="Q")))
    assert (code.text, code.ec_level) == ("B3-261117-0012-Y", "Q")


@pytest.mark.parametrize("text", ["TR-0734", "K00300070C", "B3-261117-0012"])
def test_bars_of_code_128_are_read_back(text: str) -> None:
    widths = write.code128(text)
    assert sum(widths) % 11 == 2  # characters of 11 modules, and a stop of 13 (ISO/IEC 15417, from memory)
    assert {code.bytes.decode() for code in zxingcpp.read_barcodes(from_bars(widths))} == {text}
