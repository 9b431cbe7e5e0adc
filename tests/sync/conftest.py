"""One PostgreSQL server for these tests, and a hub of its own for each of them."""

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.sync.department import Department, new_department
from tests.sync.server import Server, there_is_one


@pytest.fixture(scope="session")
def ground() -> Iterator[Path]:
    """A folder that the server's own user can reach: pytest's are closed to all but one."""
    folder = Path(tempfile.mkdtemp(prefix="throughlight-"))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


@pytest.fixture(scope="session")
def server(ground: Path) -> Iterator[Server]:
    """The server that tests share. Where there is none to be had they are left out, and say so."""
    if not there_is_one():
        pytest.skip("no PostgreSQL 15 on this machine (Debian: postgresql-15)")
    server = Server(ground / "shared")
    yield server
    server.stop()


@pytest.fixture
def hub(server: Server) -> Iterator[Department]:
    """A hub that was just laid."""
    department = new_department(server)
    yield department
    department.close()
