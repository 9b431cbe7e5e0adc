"""A store in a folder of its own, and its log."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.store.database import Store
from kiosk.store.log import Log


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where the store of this test lies."""
    return tmp_path / "store"


@pytest.fixture
def store(folder: Path) -> Iterator[Store]:
    """A new store of bench B1."""
    with Store(folder, "B1") as opened:
        yield opened


@pytest.fixture
def log(store: Store) -> Log:
    """The log of the new store."""
    return Log(store)
