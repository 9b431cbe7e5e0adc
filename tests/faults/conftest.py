"""A folder in memory: where a fault does not ask for a disk, thousands of stores need not wait for one."""

import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

MEMORY = Path("/dev/shm")  # noqa: S108


@pytest.fixture
def quick(tmp_path: Path) -> Iterator[Path]:
    """In memory where the machine has a place for that, else on the disk."""
    if not MEMORY.is_dir():
        yield tmp_path
        return
    with tempfile.TemporaryDirectory(dir=MEMORY) as folder:
        yield Path(folder)
