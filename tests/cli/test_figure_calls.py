"""`throughlight rate` and `sample`: numbers in, limits and sample sizes out."""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from kiosk.cli import main


def test_a_rate_prints_both_numbers_its_percentage_and_both_limits(capsys: pytest.CaptureFixture[str]) -> None:
    """Source of the limits: Newcombe, Statistics in Medicine 17 (1998), Table I, 81 of 263."""
    assert main(["rate", "81", "263"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[0] == "81 of 263: 30.80 %"
    assert "Wilson: 25.53 to 36.62 %" in lines[1]
    assert "exact (Clopper-Pearson): 25.27 to 36.76 %" in lines[2]


def test_a_rate_as_json_has_the_share_and_its_limits(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: R package binom, 18 of 20."""
    assert main(["rate", "18", "20", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["rate"] == 0.9
    assert told["wilson"] == pytest.approx([0.6989663547715128, 0.972133518786232])
    assert told["exact"] == pytest.approx([0.6830172859809176, 0.9876514728297052])


def test_few_are_a_count_and_no_percentage_and_none_are_no_data(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rate", "3", "20"]) == 0
    assert capsys.readouterr().out.startswith("3 of 20: no percentage under 50\n")
    assert main(["rate", "0", "0"]) == 0
    assert capsys.readouterr().out == "0 of 0: no data\n"
    assert main(["rate", "0", "0", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"rate": None, "wilson": None, "exact": None}


def test_a_sample_says_how_many_and_what_none_wrong_would_mean(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: discovery sampling, 100 pieces, 5 wrong shown with 0.95: 45."""
    assert main(["sample", "--lot", "100", "--allow", "4", "--confidence", "0.95"]) == 0
    out = capsys.readouterr().out
    assert out.startswith("Look at 45 of 100")
    assert "at most 4 wrong in all, 95 in 100 sure" in out
    assert main(["sample", "--lot", "100", "--allow", "4", "--confidence", "0.95", "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"n": 45}


def test_a_plan_for_two_shares_says_how_many_what_passes_and_what_it_risks(capsys: pytest.CaptureFixture[str]) -> None:
    """Source: find.plan of the R package AcceptanceSampling, manual: 5 % with 0.95, 15 % with 0.075: n 80, c 7."""
    call = ["sample", "--aql", "0.05", "--ltpd", "0.15", "--consumer-risk", "0.075"]
    assert main([*call, "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == {"n": 80, "accept": 7}
    assert main(call) == 0
    out = capsys.readouterr().out
    assert out.startswith("Look at 80 of a long run, drawn at random; with more than 7 wrong, look at all.")
    assert "With 15 in 100 wrong it passes at most 7.5 times in 100." in out
    assert main([*call, "--lot", "40", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["n"] < 40


def test_one_in_a_million_is_not_told_as_none_and_nearly_sure_not_as_sure(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["rate", "1", "1000000"]) == 0
    assert capsys.readouterr().out.startswith("1 of 1000000: 0.0001 %")
    assert main(["sample", "--lot", "100", "--allow", "4", "--confidence", "0.9999999"]) == 0
    assert "99.99999 in 100 sure" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (["rate", "5", "100000000000000000000"], "is no count"),
        (["sample", "--lot", "1000000000000000000000", "--allow", "10", "--confidence", "0.95"], "is no lot"),
        (["rate", "5", "3"], "5 of 3 is no count"),
        (["rate", "1", "3", "--level", "95"], "95.0 is no confidence level"),
        (["sample", "--lot", "3", "--allow", "4", "--confidence", "0.9"], "4 wrong among 3 is no lot"),
        (["sample", "--lot", "3", "--allow", "1", "--confidence", "2"], "2.0 is no confidence"),
        (["sample", "--lot", "3"], "give --lot, --allow and --confidence; or --aql and --ltpd"),
        (
            ["sample", "--lot", "40", "--allow", "2", "--confidence", "0.95", "--consumer-risk", "0.1"],
            "belong to --aql and --ltpd",
        ),
        (["sample", "--aql", "0.01"], "--aql and --ltpd go together"),
        (["sample", "--aql", "0.01", "--ltpd", "0.05", "--allow", "1"], "without --allow and --confidence"),
        (["sample", "--aql", "0.05", "--ltpd", "0.01"], "good under bad"),
    ],
)
def test_numbers_that_cannot_be_are_refused_in_one_line(
    call: list[str], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(call) == 2
    out, err = capsys.readouterr()
    assert out == ""
    assert said in err
    assert err.count("\n") == 1


def test_whoever_reads_only_the_beginning_is_not_told_of_a_broken_pipe(tmp_path: Path) -> None:
    rows = "\n".join("3,80" for _ in range(20_000))
    (tmp_path / "p.csv").write_text(f"found,of\n{rows}\n", "utf-8")
    command = [sys.executable, "-m", "kiosk", "chart", "p", str(tmp_path / "p.csv")]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE) as chart:
        assert chart.stdout is not None
        assert chart.stderr is not None
        assert chart.stdout.readline().startswith(b"p chart, 20000 points")
        chart.stdout.close()
        assert chart.stderr.read() == b""
    assert chart.returncode == 0
