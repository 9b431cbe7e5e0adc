"""`handover` and `lookback` on a store: JSON with what waits and what was met, and their papers as PDF."""

import json
from datetime import date
from pathlib import Path

import pytest

from kiosk.cli import main
from kiosk.rehearsal.story import tell


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("cli") / "B1"
    tell(folder, bench_number=1, days=2, until=date(2031, 3, 4), seed=3)
    return folder


def said(capsys: pytest.CaptureFixture[str], *call: str) -> object:
    assert main([*call, "--json"]) == 0
    return json.loads(capsys.readouterr().out)


def test_the_handover_tells_what_is_held_and_what_comes_next(
    store: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = said(capsys, "handover", "--store", str(store), "--pdf", str(tmp_path / "h.pdf"))
    assert isinstance(rows, list)
    assert rows
    assert all(row["next"] and row["state"] for row in rows)
    assert (tmp_path / "h.pdf").read_bytes().startswith(b"%PDF")


def test_a_lookback_by_scope_tells_trips_rule_and_what_is_not_known(
    store: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    by_bench = said(capsys, "lookback", "--bench", "B1", "--store", str(store), "--pdf", str(tmp_path / "l.pdf"))
    assert isinstance(by_bench, dict)
    assert len(by_bench["trips"]) > 5
    assert by_bench["rule"]
    assert by_bench["not_known"]
    one = by_bench["trips"][0]
    by_load = said(capsys, "lookback", "--load", one["loads"][0], "--store", str(store))
    assert isinstance(by_load, dict)
    assert one["trip"] in {row["trip"] for row in by_load["trips"]}
    assert len(by_load["trips"]) < len(by_bench["trips"])
    chains = by_load["chains"]
    assert not {row["trip"] for row in chains["trips"]} & {row["trip"] for row in by_load["trips"]}
    assert {row["trip"] for row in chains["trips"]} <= {row["trip"] for row in by_bench["trips"]}
    assert all(row["way"] and row["last_known"] and 1 <= row["steps"] <= chains["most"] for row in chains["trips"])
    assert any("does not say that anything on it was soiled" in line for line in chains["not_known"])
    assert (tmp_path / "l.pdf").read_bytes().startswith(b"%PDF")


def test_a_lookback_over_nothing_is_refused(store: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["lookback", "--store", str(store)]) == 2
    assert "name one of" in capsys.readouterr().err
