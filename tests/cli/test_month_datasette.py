"""The month's database in the real Datasette: each view answers as JSON, with the figures of the spreadsheet."""

import csv
import json
import subprocess
import sys
from pathlib import Path
from typing import Any
from urllib.parse import quote

import pytest

from kiosk.cli import main
from kiosk.quality.month_tables import COLUMNS, plain_cell
from kiosk.store.bench_store import BenchStore
from tests.quality.made_up import made_up

pytestmark = pytest.mark.slow

pytest.importorskip("datasette", reason="Datasette is not installed here: it comes with the test extras")

MONTH = "2031-03"
MOST = 1000
"""So many rows Datasette gives in one answer at most, as it comes."""


@pytest.fixture(scope="module")
def written(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, list[dict[str, str]]]:
    """The database, and the rows of the spreadsheet."""
    folder = tmp_path_factory.mktemp("month")
    store = BenchStore(folder / "store", "B1")
    store.keep(made_up()[1])
    store.close()
    sheet, figures = folder / "march.csv", folder / "figures.db"
    line = ["month", "--month", MONTH, "--store", str(folder / "store"), "--csv", str(sheet), "--sqlite", str(figures)]
    assert main(line) == 0
    with sheet.open(encoding="utf-8", newline="") as text:
        return figures, list(csv.DictReader(text))


CLIENT = """
import asyncio, json, sys
from datasette.app import Datasette

async def told(path, asked):
    client = Datasette([path]).client
    answers = [await client.get(each) for each in asked]
    return [[each.status_code, each.json()] for each in answers]

print(json.dumps(asyncio.run(told(sys.argv[1], sys.argv[2:]))))
"""
"""In a process of its own, for a warning of another program's is no fault of this one."""


def asked(figures: Path, *paths: str) -> list[Any]:
    """What Datasette answers to each request for JSON."""
    call = [sys.executable, "-c", CLIENT, str(figures), *paths]
    done = subprocess.run(call, capture_output=True, text=True, timeout=120, check=False)
    assert done.returncode == 0, done.stderr
    answers = json.loads(done.stdout)
    assert [status for status, _ in answers] == [200] * len(paths)
    return [body for _, body in answers]


def test_datasette_finds_the_table_and_a_view_for_each_figure(written: tuple[Path, list[dict[str, str]]]) -> None:
    figures, rows = written
    (told,) = asked(figures, f"/{figures.stem}.json")
    assert {view["name"] for view in told["views"]} == {row["figure"] for row in rows}
    assert "figures" in {table["name"] for table in told["tables"]}


def test_each_view_answers_with_the_figures_of_the_spreadsheet(written: tuple[Path, list[dict[str, str]]]) -> None:
    figures, rows = written
    names = sorted({row["figure"] for row in rows})
    assert {"by_day", "by_shift", "by_group", "by_code"} <= set(names)
    answers = asked(figures, *(f"/{figures.stem}/{quote(name)}.json?_shape=array&_size=max" for name in names))
    for name, told in zip(names, answers, strict=True):
        wanted = [row for row in rows if row["figure"] == name]
        assert len(wanted) <= MOST
        assert [row["month"] for row in told] == [MONTH] * len(wanted)
        as_text = [
            {column: "" if row[column] is None else str(plain_cell(row[column])) for column in COLUMNS[1:]}
            for row in told
        ]
        assert as_text == [{column: row[column] for column in COLUMNS[1:]} for row in wanted]
