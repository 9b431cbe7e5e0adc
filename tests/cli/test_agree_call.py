"""From the shell: readers' agreement from a CSV file, in plain lines and as JSON, and what is refused."""

import argparse
import json
import re
from pathlib import Path
from typing import Any

import pytest

from kiosk.cli.agreeing import LIMITS_OF_THE_METHOD, agree
from kiosk.cli.call import CallFault
from tests.quality.readings import CASES

THREE = """picture,Anna,Bela,Caro
P1,clear,Clear,clear
P2,soil,clear,soil
P3,unsure,soil,clear
P4,soil,soil,soil
P5,clear,clear ,
P6,clear,clear,clear
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "readings.csv"


def call(file: Path, text: str | bytes, **more: Any) -> int:
    file.write_bytes(text.encode() if isinstance(text, str) else text)
    given = {"file": file, "level": 0.95, "resamples": 300, "seed": 1, "ordinal": False, "json": True, **more}
    return agree(argparse.Namespace(**given))


def told(file: Path, text: str | bytes, capsys: pytest.CaptureFixture[str], **more: Any) -> dict[str, Any]:
    assert call(file, text, **more) == 0
    document: dict[str, Any] = json.loads(capsys.readouterr().out)
    return document


def lines(file: Path, text: str, capsys: pytest.CaptureFixture[str], **more: Any) -> list[str]:
    assert call(file, text, json=False, **more) == 0
    return capsys.readouterr().out.splitlines()


def csv_of(header: str, rows: list[list[Any]]) -> str:
    return "\n".join([header, *(",".join("" if one is None else str(one) for one in row) for row in rows)])


def test_two_readers_of_fifty_cases_get_the_published_kappa(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case kappa-2x2-0.4 of tests/reference/agreement.json: 20 and 15 agree, 5 and 10 do not."""
    case = CASES["kappa-2x2-0.4"]
    table = case["inputs"]["table"]
    rows = [[f"{a}", f"{b}"] for a in range(2) for b in range(2) for _ in range(table[a][b])]
    found = told(file, csv_of("R1,R2", rows), capsys)
    assert found["percent"] == pytest.approx(100 * case["expected"]["po"])
    assert (found["agreeing"], found["pairs"], found["pictures"], found["readers"]) == (35, 50, 50, 2)
    assert found["cohen"] == pytest.approx(case["expected"]["kappa"])
    assert found["cohen_limits"][0] < 0.4 < found["cohen_limits"][1]
    assert found["fleiss"] is not None


def test_many_readers_get_the_published_kappa_and_no_kappa_of_two(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Fleiss 1971, case fleiss-1971-diagnoses of tests/reference/agreement.json."""
    case = CASES["fleiss-1971-diagnoses"]
    found = told(file, csv_of("A,B,C,D,E,F", case["inputs"]["ratings_rows_are_patients"]), capsys)
    assert found["fleiss"] == pytest.approx(case["expected"]["kappa"], abs=case["tolerance"]["abs"])
    assert (found["cohen"], found["cohen_standard_error"], found["cohen_limits"]) == (None, None, None)


@pytest.mark.parametrize("ordinal", [False, True])
def test_missing_readings_leave_alpha_and_take_fleiss_away(
    file: Path, capsys: pytest.CaptureFixture[str], ordinal: bool
) -> None:
    """Krippendorff 2011, case kripp-C of tests/reference/agreement.json."""
    case = CASES["kripp-C"]
    rows = [list(row) for row in zip(*case["inputs"]["observers_by_units"], strict=True)]
    found = told(file, csv_of("A,B,C,D", rows), capsys, ordinal=ordinal)
    scale = "ordinal" if ordinal else "nominal"
    assert found["krippendorff_scale"] == scale
    assert found["krippendorff"] == pytest.approx(case["expected"][scale], abs=case["tolerance"]["abs"])
    assert found["fleiss"] is None
    assert (found["pictures"], found["pictures_compared"]) == (12, 11)
    low, high = found["krippendorff_limits"]
    assert low < found["krippendorff"] < high
    assert (found["level"], found["resamples"], found["seed"], found["resamples_without_alpha"]) == (0.95, 300, 1, 0)


def test_no_variation_is_null_and_said_in_words(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Case kappa-undefined: both used one answer only; shown as not defined, never as 1 or 0."""
    text = csv_of("R1,R2", [["clear", "clear"]] * 30)
    found = told(file, text, capsys)
    assert found["percent"] == 100
    names = ("cohen", "fleiss", "krippendorff", "krippendorff_limits", "cohen_limits")
    assert [found[name] for name in names] == [None] * 5
    said = lines(file, text, capsys)
    assert sum(line.endswith(": not defined: no variation") for line in said) == 3


def test_nothing_to_compare_is_null_and_said_in_words(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    text = "picture,R1,R2\nP1,clear,\nP2,,soil\n"
    found = told(file, text, capsys)
    assert [found[name] for name in ("percent", "cohen", "fleiss", "krippendorff")] == [None] * 4
    assert (found["agreeing"], found["pairs"]) == (0, 0)
    assert lines(file, text, capsys)[1] == "Nothing can be compared: no picture was read twice."


def test_the_plain_lines_give_both_numbers_behind_every_percentage_and_the_limits_of_the_method(
    file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    said = lines(file, f"{THREE}P7,,,soil\n", capsys)
    assert said[0] == "Pictures: 7, read at least twice: 6. Readers: 3."
    assert said[1] == "Agreement: 11 of 16 pairs of readings of one picture"  # no percentage under 50
    assert said[2] == "Read alike by all who read them: 4 of 6 pictures"
    assert said[3] == "Cohen's kappa: does not apply; it is for two readers, here are 3"
    assert said[4] == "Fleiss' kappa: does not apply; not every picture was read equally often"
    # Worked by hand. Within: (9 - 5)/2 + (9 - 3)/2 = 5. All 17 compared: (17^2 - 10^2 - 6^2 - 1^2)/16 = 9.5.
    assert said[5].startswith(f"Krippendorff's alpha (nominal): {1 - 5 / 9.5:.3f} [")
    assert "95 % limits from 300 resamples of the pictures, seed 1" in said[5]
    assert said[6:8] == ["Split: P3: clear 1, soil 1, unsure 1", "Split: P2: soil 2, clear 1"]
    assert said[8:] == list(LIMITS_OF_THE_METHOD)
    assert "not correctness" in said[8]


def test_two_readers_are_told_with_limits(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The SAS printout, case kappa-sas-3x3 of tests/reference/agreement.json."""
    table = CASES["kappa-sas-3x3"]["inputs"]["table"]
    rows = [[a, b] for a in range(3) for b in range(3) for _ in range(table[a][b])]
    said = lines(file, csv_of("R1,R2", rows), capsys)
    assert "Cohen's kappa: 0.484 [0.214, 0.755], 95 % limits, 19 pictures" in said


@pytest.mark.parametrize(
    ("rows", "why"),
    [
        # 2 x 0.5 ** 7, or 1.6 %, of the resamples have one answer only: few enough to leave out.
        ([["a", "a"]] * 3 + [["b", "b"]] * 4, "1.000; no limits: all figures are the same in 300 resamples"),
        ([["a", "a"]] * 9 + [["a", "b"]], r"0\.000; no limits: no variation in 1?\d\d of 300 resamples"),
    ],
)
def test_why_there_are_no_limits_is_said(
    file: Path, capsys: pytest.CaptureFixture[str], rows: list[list[str]], why: str
) -> None:
    (alpha,) = [line for line in lines(file, csv_of("R1,R2", rows), capsys) if line.startswith("Kripp")]
    assert re.search(f": {why} of the pictures, seed 1$", alpha)


def test_readers_are_never_named(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    out = json.dumps(told(file, THREE, capsys)) + "\n".join(lines(file, THREE, capsys))
    assert not re.search("Anna|Bela|Caro", out)


def test_split_pictures_are_told_by_name_or_by_line(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert told(file, THREE, capsys)["split"] == [
        {"picture": "P3", "answers": {"clear": 1, "soil": 1, "unsure": 1}},
        {"picture": "P2", "answers": {"soil": 2, "clear": 1}},
    ]
    unnamed = 'R1,R2\n\n"a\nx",a\n,\nb,a\n'
    found = told(file, unnamed, capsys)
    assert [one["picture"] for one in found["split"]] == ["line 3", "line 6"]
    assert found["pictures"] == 2


def test_a_file_as_spreadsheets_write_it_is_read(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A byte order mark, ends of lines with carriage returns, rows of empty cells, short rows."""
    text = "\ufeffPicture,R1,R2\r\nP1,clear,soil\r\nP2,soil,soil\r\nP3,clear\r\n,,\r\n\r\n"
    found = told(file, text, capsys)
    assert (found["pictures"], found["pictures_compared"], found["agreeing"], found["pairs"]) == (3, 2, 1, 2)


def test_steps_are_ordered_as_numbers(file: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """10 lies after 9, and 1.0 is 1: as texts the order would be another, and alpha too."""
    rows = [["1", "1.0"], ["9", "10"], ["10", "9"], ["2", "1"], ["-1", "-1"], ["-0", "0"]]
    ranks = [["b", "b"], ["e", "f"], ["f", "e"], ["c", "b"], ["a", "a"], ["0", "0"]]
    numbers = {"a": 0, "0": 1, "b": 2, "c": 3, "e": 4, "f": 5}
    again = [[numbers[one] for one in row] for row in ranks]
    found, wanted = (told(file, csv_of("R1,R2", one), capsys, ordinal=True) for one in (rows, again))
    assert found["krippendorff"] == wanted["krippendorff"]
    assert found["agreeing"] == 3


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("", "readings.csv line 1: there are no readers"),
        ("\n\n", "readings.csv line 1: there are no readers"),
        ("picture\nP1\n", "readings.csv line 1: there are no readers"),
        ("picture,R1,R2\nP1,a,b\nP2,a,b,c\n", "readings.csv line 3: has 4 fields, the header has 3"),
        ("picture,R1,R2\nP1,a,\nP2,,\n", "readings.csv line 3: .* fewer than two readings in all"),
        ("picture,R1,R2\n", "readings.csv line 1: .* fewer than two readings in all"),
        ("picture,R1\nP1,a\n\nP2,a\nP1,b\n", "readings.csv line 5, field picture: P1 stands in line 2 too"),
        ("picture,R1\nP1,a\n,a\n", "readings.csv line 3, field picture: is empty"),
        ("R1,picture\na,P1\nb,P2\n", "readings.csv line 1, field 2: picture can only be the first column"),
        ("picture,R1,R1\nP1,a,a\n", "readings.csv line 1, field 3: the reader R1 stands twice"),
        ("picture,R1,,R2\nP1,a,a,a\n", "readings.csv line 1, field 3: the reader has no name"),
        ("picture;R1;R2\nP1;a;a\n", "readings.csv line 1: its fields are parted by ;"),
        ("picture\tR1\tR2\nP1\ta\ta\n", "readings.csv line 1: its fields are parted by tabs"),
        ('picture,R1\nP1,a\nP2,"a\n', "readings.csv line 3: cannot be read as CSV"),
        (b"picture,R1\nP1,\xff\n", "readings.csv: is not in UTF-8"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_sentence(file: Path, text: str | bytes, line: str) -> None:
    with pytest.raises(CallFault, match=f"^{line}") as refused:
        call(file, text)
    assert len(str(refused.value).splitlines()) == 1


@pytest.mark.parametrize("step", ["soil", "nan", "inf", "1e9", "1_0", "١", "1,5", "9" * 12])
def test_a_step_that_is_no_number_is_refused(file: Path, step: str) -> None:
    with pytest.raises(CallFault, match=r"readings\.csv line 3, field R2: .* is not a number"):
        call(file, f'picture,R1,R2\nP1,1,2\nP2,1,"{step}"\n', ordinal=True)


@pytest.mark.parametrize(
    ("more", "line"),
    [
        ({"level": 0.0}, "--level 0.0"),
        ({"level": 95.0}, "--level 95.0"),
        ({"level": float("nan")}, "--level nan"),
        ({"resamples": 99}, "--resamples 99"),
        ({"resamples": 1_000_001}, "--resamples 1000001"),
        ({"seed": -1}, "--seed -1"),
    ],
)
def test_a_call_that_cannot_be_made_is_refused(file: Path, more: dict[str, Any], line: str) -> None:
    with pytest.raises(CallFault, match=f"^{line}: give "):
        call(file, THREE, **more)


def test_a_file_that_is_not_there_is_told_by_its_name(file: Path) -> None:
    """The command line says an OSError in one line with the file's name."""
    with pytest.raises(FileNotFoundError) as fault:
        agree(argparse.Namespace(file=file, level=0.95, resamples=100, seed=1, ordinal=False, json=True))
    assert fault.value.filename == str(file)
