"""The table of faults names tests that there are."""

import re
from pathlib import Path

HERE = Path(__file__).parent
TESTS = HERE.parent
NAMED = re.compile(r"`((?:tests/[\w/]+/)?test_\w+(?:\.py)?)`")


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
