"""Gathers what the benchmarks of a run found, and prints it as one table at the end."""

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from tests.speed.figures import EVENTS, Figure, table
from tests.speed.five_years import Department
from tests.speed.long_store import make_long_store

_FOUND = pytest.StashKey[list[Figure]]()

LAST = 1000

Tell = Callable[[Figure], None]


@pytest.fixture
def tell(request: pytest.FixtureRequest) -> Tell:
    """Put a figure into the table that is printed when everything has run."""
    return request.config.stash.setdefault(_FOUND, []).append


@pytest.fixture(scope="session")
def long(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """The folder of a store of many events. Nothing is kept in it: who wants to, works on a copy."""
    ground = tmp_path_factory.mktemp("long")
    make_long_store(ground / "store", EVENTS)
    yield ground / "store"
    shutil.rmtree(ground)


@pytest.fixture(scope="session")
def department(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Department]:
    """Five years of checks. What is kept in it lies after them; who opens it for himself says so (`let_go`)."""
    ground = tmp_path_factory.mktemp("department")
    department = Department(ground)
    yield department
    department.close()
    shutil.rmtree(ground)


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    """Print the table: past the capture, whatever order the benchmarks ran in."""
    found = config.stash.get(_FOUND, [])
    if found:
        terminalreporter.section("ratios of this run (a time is told, never passed or failed)")
        terminalreporter.write_line(table(sorted(found, key=lambda figure: (figure.row or LAST, figure.what))))
