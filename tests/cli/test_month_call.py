"""`throughlight month`: one report, the same figures for a spreadsheet and for Datasette, no person in any."""

import csv
import io
import json
from pathlib import Path

import pytest
from sqlite_utils import Database

from kiosk.cli import main
from kiosk.quality.month_tables import COLUMNS, MonthRow, plain_cell, write_csv, write_sqlite
from kiosk.store.bench_store import BenchStore
from tests.quality.made_up import made_up

Told = pytest.CaptureFixture[str]


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("month") / "store"
    store = BenchStore(folder, "B1")
    store.keep(made_up()[1])
    store.close()
    return folder


def test_the_figures_are_the_same_in_the_document_the_spreadsheet_and_the_database(
    folder: Path, tmp_path: Path, capsys: Told
) -> None:
    sheet, figures, paper = tmp_path / "march.csv", tmp_path / "figures.db", tmp_path / "march.pdf"
    line = ["month", "--month", "2031-03", "--store", str(folder), "--json"]
    assert main([*line, "--csv", str(sheet), "--sqlite", str(figures), "--pdf", str(paper)]) == 0
    told = json.loads(capsys.readouterr().out)["figures"]
    with sheet.open(encoding="utf-8", newline="") as text:
        rows = list(csv.DictReader(text))
    as_text = [{name: "" if value is None else str(value) for name, value in row.items()} for row in told]
    assert rows == as_text
    kept = list(Database(figures).query(f"SELECT {', '.join(repr(c) for c in COLUMNS)} FROM figures".replace("'", '"')))
    assert kept == told
    assert paper.read_bytes().startswith(b"%PDF")
    days = [row for row in told if row["figure"] == "by_day"]
    assert {row["label"][:7] for row in days} == {"2031-03"}
    assert all(row["percent"] is None for row in days if row["of"] < 50)


def test_a_month_put_in_again_takes_its_own_place_and_leaves_the_others(tmp_path: Path) -> None:
    path = tmp_path / "figures.db"
    row = MonthRow(figure="by_day", label="2031-03-04", found=1, of=80, percent=1.25)
    write_sqlite([row], "2031-02", path)
    write_sqlite([row, row], "2031-03", path)
    write_sqlite([row], "2031-03", path)
    found = Database(path).query("SELECT month, count(*) AS n FROM by_day GROUP BY month ORDER BY month")
    assert [(each["month"], each["n"]) for each in found] == [("2031-02", 1), ("2031-03", 1)]


@pytest.mark.parametrize("label", ["=1+1", "+1", "-W-1", "@sum", "\tx", "\rx"])
def test_no_cell_is_taken_for_a_formula(label: str) -> None:
    """Source: OWASP, CSV Injection: cells that begin with = + - @ tab or carriage return."""
    assert plain_cell(label) == f"'{label}"
    out = io.StringIO()
    write_csv([MonthRow(figure="by_load", label=label, found=1, of=2)], out)
    assert next(csv.DictReader(io.StringIO(out.getvalue(), newline="")))["label"] == f"'{label}"


def test_no_person_stands_in_any_figure(folder: Path, capsys: Told) -> None:
    assert main(["month", "--month", "2031-03", "--store", str(folder), "--json"]) == 0
    assert "P-014" not in capsys.readouterr().out


@pytest.mark.parametrize("month", ["2031", "2031-13", "March", "2031-03-04"])
def test_a_month_that_is_none_is_said_in_one_line(folder: Path, capsys: Told, month: str) -> None:
    assert main(["month", "--month", month, "--store", str(folder)]) == 2
    said = capsys.readouterr().err
    assert said.count("\n") == 1
    assert "a month is written as 2031-03" in said


def test_a_month_in_which_nothing_was_looked_at_is_told_as_such(folder: Path, tmp_path: Path, capsys: Told) -> None:
    paper = tmp_path / "none.pdf"
    assert main(["month", "--month", "2029-01", "--store", str(folder), "--pdf", str(paper), "--json"]) == 0
    figures = json.loads(capsys.readouterr().out)["figures"]
    assert {(row["figure"], row["found"], row["of"]) for row in figures} == {("by_group", 0, 0)}
    assert paper.read_bytes().startswith(b"%PDF")
