"""One PostgreSQL server for these tests, and a hub of its own for each of them."""

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.sync.department import Department, new_department
from tests.sync.server import Server, needs_one


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
    needs_one()
    server = Server(ground / "shared")
    yield server
    server.stop()


@pytest.fixture
def hub(server: Server) -> Iterator[Department]:
    """A hub that was just laid."""
    department = new_department(server)
    yield department
    department.close()


@pytest.fixture
def second(server: Server) -> Iterator[Department]:
    """Another hub."""
    department = new_department(server)
    yield department
    department.close()


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """The stick's folder."""
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder
