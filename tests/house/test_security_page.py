"""The page on security names tests that there are, and leaves no part and no kind of threat out."""

import ast
import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "security.md"
PARTS = {
    "badge and PIN", "event log", "backups", "hub link", "hub database", "ticket codes", "exposure notes",
    "the kiosk's machine", "bundles on a stick", "updates and supply",
}  # fmt: skip
NAMED = re.compile(r"`(tests/[\w/]+\.py)::(\w+)`")


def rows() -> list[list[str]]:
    """The rows of the table of threats: part, kind, what, against it, held by."""
    table = PAGE.read_text(encoding="utf-8").partition("## The table")[2]
    lines = [line for line in table.splitlines() if line.startswith("| ")][1:]
    return [[cell.strip() for cell in line.strip("|").split(" | ")] for line in lines]


def names_in(path: Path) -> set[str]:
    """The names of the test functions of a file."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    return {node.name for node in ast.walk(tree) if isinstance(node, ast.FunctionDef) and node.name.startswith("test_")}


def test_every_test_that_the_page_names_is_there() -> None:
    named = NAMED.findall(PAGE.read_text(encoding="utf-8"))
    assert len(named) > 60
    there = {file: names_in(ROOT / file) for file, _ in set(named)}
    assert not [f"{file}::{name}" for file, name in named if name not in there[file]]


@pytest.mark.parametrize("part", sorted(PARTS))
def test_every_part_is_asked_for_every_kind_of_threat(part: str) -> None:
    kinds = {row[1] for row in rows() if row[0] == part}
    assert kinds == ({"all"} if part == "bundles on a stick" else set("STRIDE"))


def test_every_row_names_its_tests_or_says_that_it_is_open() -> None:
    assert {row[0] for row in rows()} == PARTS
    assert {len(row) for row in rows()} == {5}
    for part, kind, what, _, held in rows():
        assert held == "open" or NAMED.sub("", held).strip(", ") == "", (part, kind, what)
