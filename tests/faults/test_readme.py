"""The table of faults names tests that there are: at least one in each row, in the file that is named before it."""

import ast
import re
from functools import cache
from pathlib import Path

HERE = Path(__file__).parent
TESTS = HERE.parent
NAMED = re.compile(r"`((?:tests/[\w/]+/)?test_\w+(?:\.py)?)`")


def rows() -> list[tuple[str, list[str]]]:
    """The rows of the table: what happens, and the names of files and tests in what holds it."""
    table = (HERE / "README.md").read_text().partition("| what happens |")[2].partition("\n\n")[0]
    cells = [line.strip("|").split(" | ") for line in table.splitlines()[2:]]
    assert {len(row) for row in cells} == {3}
    return [(row[0].strip(), NAMED.findall(row[2])) for row in cells]


@cache
def names_of(name: str) -> frozenset[str]:
    """The names of the test functions of a file, also of those in a class."""
    path = TESTS.parent / name if "/" in name else HERE / name
    tree = ast.parse(path.read_text())
    return frozenset(one.name for one in ast.walk(tree) if isinstance(one, ast.FunctionDef))


def held(names: list[str]) -> list[tuple[str, str, bool]]:
    """Each test that is named, the file named before it, and whether it is there."""
    found, file = [], ""
    for name in names:
        if name.endswith(".py"):
            file = name
        else:
            found.append((file, name, bool(file) and name in names_of(file)))
    return found


def test_each_row_names_a_test_and_every_test_is_in_the_file_before_it() -> None:
    assert len(rows()) > 25
    for what, names in rows():
        assert held(names), what
        assert not [(file, name) for file, name, there in held(names) if not there], what


def test_a_row_that_names_no_test_or_one_of_another_file_is_told() -> None:
    there = "test_half_a_code_of_a_scanner_pulled_out_is_no_tray_and_the_next_whole_scan_works"
    assert held(["test_pulled_out.py"]) == []
    assert held(["test_pulled_out.py", there]) == [("test_pulled_out.py", there, True)]
    assert held(["test_refused.py", there]) == [("test_refused.py", there, False)]
    assert held([there]) == [("", there, False)]


def test_every_test_that_the_table_names_is_there() -> None:
    here = "\n".join(path.read_text() for path in TESTS.rglob("test_*.py"))
    named = NAMED.findall((HERE / "README.md").read_text())
    assert len(named) > 30
    for name in named:
        if name.endswith(".py"):
            assert (TESTS.parent / name).is_file() or (HERE / name).is_file(), name
        else:
            assert f"def {name}(" in here, name


def test_every_test_here_stands_in_the_table() -> None:
    table = (HERE / "README.md").read_text()
    for path in HERE.glob("test_*.py"):
        if path.name != Path(__file__).name:
            assert f"`{path.name}`" in table, path.name
