"""`throughlight chart`: the shape of its JSON, its table, and what it says of a call or a file that is wrong."""

import argparse
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from kiosk.cli import charting
from kiosk.cli.call import CallFault
from tests.quality.charted import CASES

Draw = Callable[..., str]
FILES = {
    "p": "label,found,of\nA,1,9\nB,2,9\n",
    "u": "found,of\n1,9\n2,9\n",
    "c": "found\n1\n2\n",
    "g": "between\n1\n2\n",
    "ewma": "value\n1\n2\n",
    "cusum": "value\n1\n2\n",
}


@pytest.fixture
def draw(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Draw:
    """Write a file, chart it, and give what was printed."""

    def drawn(kind: str, text: str | bytes, *more: str) -> str:
        path = tmp_path / "month.csv"
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        parser = argparse.ArgumentParser()
        charting.options(parser)
        parser.add_argument("--json", action="store_true")
        status = charting.chart(parser.parse_args([kind, str(path), *more]))
        out = capsys.readouterr().out
        told = (
            any(point["signals"] for point in json.loads(out)["points"])
            if "--json" in more
            else "Signals: none." not in out
        )
        assert status == (1 if told else 0)
        return out

    return drawn


def _column(name: str, values: list[Any], **more: Any) -> str:
    lines = [",".join([name, *more]), *(",".join(map(str, [value, *more.values()])) for value in values)]
    return "\n".join(lines) + "\n"


def test_p_chart_prints_the_published_limits_and_signals_as_json(draw: Draw) -> None:
    case = CASES["spc-p-orangejuice"]
    given, expected = case["inputs"], case["expected"]
    shown = json.loads(draw("p", _column("found", given["defectives"], of=given["n"]), "--json"))
    assert list(shown) == ["center", "points"]
    assert shown["center"] == pytest.approx(expected["center"], abs=case["tolerance"]["abs"])
    assert all(list(point) == ["value", "lower", "upper", "signals"] for point in shown["points"])
    assert shown["points"][0]["upper"] == pytest.approx(expected["ucl"], abs=case["tolerance"]["abs"])
    assert {n: point["signals"] for n, point in enumerate(shown["points"], 1) if point["signals"]} == {
        n: ["above"] for n in expected["signals"]
    }


def test_cusum_prints_both_published_sums_as_json(draw: Draw) -> None:
    case = CASES["spc-cusum-montgomery"]
    given, expected = case["inputs"], case["expected"]
    words = ("--target", "10", "--sd", "1", "--slack", str(given["K"]), "--decision", str(given["H"]), "--json")
    shown = json.loads(draw("cusum", _column("value", given["x"]), *words))
    assert [point["up"] for point in shown["points"]] == pytest.approx(expected["c_plus"], abs=0.006)
    assert [point["down"] for point in shown["points"]] == pytest.approx(expected["c_minus"], abs=0.006)
    assert next(n for n, point in enumerate(shown["points"], 1) if point["signals"]) == expected["first_signal"]
    assert {(point["lower"], point["upper"]) for point in shown["points"]} == {(-given["H"], given["H"])}


def test_ewma_takes_weight_target_and_sd_from_the_call(draw: Draw) -> None:
    case = CASES["spc-ewma-montgomery"]
    words = ("--target", "10", "--sd", "1", "--weight", "0.1", "--sigmas", "2.7", "--json")
    shown = json.loads(draw("ewma", _column("value", case["inputs"]["x"]), *words))
    assert shown["center"] == 10
    assert [point["value"] for point in shown["points"]] == pytest.approx(case["expected"]["z"], abs=6e-5)


@pytest.mark.parametrize("kind", FILES)
def test_every_kind_charts_a_file_with_its_columns(draw: Draw, kind: str) -> None:
    assert len(json.loads(draw(kind, FILES[kind], "--json"))["points"]) == 2
    last = draw(kind, FILES[kind]).splitlines()[-2:]
    assert last[0] == "Signals: none."
    assert last[1].startswith("Limits of the method: ")


def test_the_exit_status_says_whether_a_point_signals(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """1 where what is asked about does not hold: the command line's contract."""
    parser = argparse.ArgumentParser()
    charting.options(parser)
    parser.add_argument("--json", action="store_true")
    for last, status in ((6, 0), (40, 1)):
        (tmp_path / "month.csv").write_text(f"found\n4\n5\n6\n4\n5\n{last}\n", encoding="utf-8")
        args = parser.parse_args(["c", str(tmp_path / "month.csv"), "--baseline", "5"])
        assert charting.chart(args) == status
    assert "above at 6" in capsys.readouterr().out


def test_columns_stand_in_any_order_and_empty_lines_are_passed_over(draw: Draw) -> None:
    plain = draw("p", "label,found,of\nA,1,9\nB,2,9\n", "--json")
    assert draw("p", b"\xef\xbb\xbfof, label ,found\r\n9,A,1\r\n\r\n,,\r\n 9,B,2\r\n", "--json") == plain


def test_the_table_is_aligned_and_says_where_it_signals(draw: Draw) -> None:
    found = [4, 5, 6, 3, 5, 4, 6, 5, 4, 5, 6, 4, 25]
    rows = "".join(f"week {n},{some},{40 if n < 13 else 50}\n" for n, some in enumerate(found, 1))
    lines = draw("p", "label,found,of\n" + rows, "--baseline", "12", "--dated", "2031-03-04").splitlines()
    assert lines[:2] == [
        "p chart, 13 points, center 0.1187",
        "Baseline: the first 12 points (week 1 to week 12), fixed on 2031-03-04",
    ]
    head, first, last = lines[3], lines[4], lines[16]
    assert head.split() == ["point", "label", "value", "lower", "upper", "signals"]
    assert last.split() == ["13", "week", "13", "0.5000", "0.0000", "0.2560", "above"]
    ends = [head.index(word) + len(word) for word in ("value", "lower", "upper")]
    for line in (first, last):
        assert all(line[end - 1].isdigit() and line[end : end + 1] in ("", " ") for end in ends)
    assert lines[-2] == "Signals: above at 13."


def test_few_counts_and_a_short_baseline_are_said_under_the_table(draw: Draw) -> None:
    last = draw("p", "found,of\n1,20\n0,20\n2,20\n").splitlines()[-1]
    assert "few counts: the smallest sample is expected to hold 1.0 of the rarer kind" in last
    assert "center and limits come from 3 points" in last
    plenty = draw("p", _column("found", CASES["spc-p-orangejuice"]["inputs"]["defectives"], of=50)).splitlines()[-1]
    assert "few counts" not in plenty
    assert "rough" not in plenty
    assert "more false alarms" in plenty


def test_long_runs_and_few_crossings_are_told_with_what_is_usual(draw: Draw) -> None:
    """24 useful points: up to 8 on a side and 8 crossings are usual (published table)."""
    signals = draw("c", _column("found", [20] * 12 + [30] * 12)).splitlines()[-2]
    assert signals == (
        "Signals: long run at 1 to 24 (12 on one side of the center, up to 8 are usual); "
        "few crossings at 24, for the whole chart (1; 8 or more are usual)."
    )


def test_a_cusum_tells_since_when_its_sum_has_stood(draw: Draw) -> None:
    """Point 23: seven points up to the signal at 29, as published."""
    readings = _column("value", CASES["spc-cusum-montgomery"]["inputs"]["x"])
    signals = draw("cusum", readings, "--target", "10", "--sd", "1").splitlines()[-2]
    assert signals == "Signals: above at 29 to 30 (that sum has been above 0 since point 23)."


@pytest.mark.parametrize(
    ("kind", "text", "complaint"),
    [
        ("p", "found\n1\n", "month.csv line 1: has no column of, which p charts need"),
        (
            "p",
            "found;of\n1;2\n",
            "month.csv line 1: has no column found, which p charts need; its columns are parted",
        ),
        ("p", "found,of\n1,9\n\n7,6\n", "month.csv line 4: found is more than the 6 looked at"),
        ("p", "found,of\n1,9\n0,0\n", "month.csv line 3: of is less than 1"),
        ("u", "found,of\n1,9\n-1,9\n", "month.csv line 3: found is less than 0"),
        ("c", "found\n1\n1.5\n", "month.csv line 3: found is '1.5', not a whole number"),
        ("c", "label,found\nA,1\nB,\n", "month.csv line 3: found is '', not a whole number"),
        ("c", "found\n\u0663\n", "month.csv line 2: found is '\u0663', not a whole number"),
        ("c", "found\n99999999999999\n", "month.csv line 2: found is more than 1000000000000"),
        ("c", "found,of\n1,2\n", "month.csv line 1: has a column 'of'; c charts take label, found"),
        ("c", "found,found\n1,2\n", "month.csv line 1: has column found twice"),
        ("c", "label,found\nA,1\nB\n", "month.csv line 3: has 1 of 2 cells"),
        ("c", 'label,found\n"A\nB",1\nC,x\n', "month.csv line 4: found is 'x', not a whole number"),
        ("c", 'label,found\n"A,1\n', "month.csv line 2: is not CSV: unexpected end of data"),
        ("g", "between\n3\n-2\n", "month.csv line 3: between is less than 0"),
        ("ewma", "value\n3\nnan\n", "month.csv line 3: value is 'nan', not a number such as 9.45"),
        ("ewma", "value\n3\n1e400\n", "month.csv line 3: value is not a finite number"),
        ("ewma", "value\n3\n", "month.csv: --sd has to be given: one reading has no spread"),
        ("c", "found\n", "month.csv: has no points below its line of columns"),
        ("c", "", "month.csv: is empty; it begins with a line of columns: found"),
        ("c", b"found\n\xff\n", "month.csv: is not text in UTF-8"),
        ("np", "found\n1\n", "np: is no kind of chart; there are p, u, c, g, ewma, cusum"),
    ],
)
def test_a_file_that_cannot_be_charted_is_told_by_file_line_and_field(
    draw: Draw, kind: str, text: str | bytes, complaint: str
) -> None:
    with pytest.raises(CallFault) as fault:
        draw(kind, text)
    assert str(fault.value).startswith(complaint)
    assert len(str(fault.value).splitlines()) == 1


@pytest.mark.parametrize(
    ("kind", "words", "complaint"),
    [
        ("p", "--target 1", "--target: is not for p charts"),
        ("c", "--weight 0.1", "--weight: is not for c charts"),
        ("ewma", "--slack 1", "--slack: is not for ewma charts"),
        ("cusum", "--sigmas 2", "--sigmas: is not for cusum charts"),
        ("c", "--dated 2031-03-04", "--dated: dates a baseline; give --baseline too"),
        ("c", "--baseline 3", "month.csv: --baseline asks for 3 points, there are 2"),
        ("c", "--sigmas nan", "month.csv: --sigmas is not a finite number"),
        ("ewma", "--weight 0", "month.csv: --weight is not a number above 0 and up to 1"),
        ("cusum", "--sd -1", "month.csv: --sd is not above 0"),
    ],
)
def test_a_setting_that_does_not_fit_is_told_by_its_name(draw: Draw, kind: str, words: str, complaint: str) -> None:
    with pytest.raises(CallFault) as fault:
        draw(kind, FILES[kind], *words.split())
    assert str(fault.value) == complaint


def test_help_names_the_columns_of_every_kind() -> None:
    from kiosk.cli.chart_file import COLUMNS

    words = charting.FILE_HELP
    assert set(COLUMNS) == set(FILES)
    assert all(column in words for columns in COLUMNS.values() for column in (*columns, "label"))
