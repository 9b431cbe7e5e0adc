"""The hub's disk runs full: it says so, keeps nothing by halves, and takes the rest when there is room again."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import psycopg
import pytest

from kiosk.store.outage import Outage
from kiosk.sync.exchange import send_own
from tests.sync.department import Department, new_department
from tests.sync.logs import Listed
from tests.sync.rows import rows
from tests.sync.server import Server

pytestmark = [pytest.mark.postgres, pytest.mark.slow]

SMALL, ROOM = "size=20m", "size=200m"
"""Of the hub's tables: little more than an empty database, and enough."""


def _mount(disk: Path, options: str) -> None:
    line = ["mount", "-t", "tmpfs", "-o", options, "none", str(disk)]
    if subprocess.run(line, check=False, capture_output=True, timeout=20).returncode:
        pytest.skip("nothing can be mounted here")


@pytest.fixture
def small(ground: Path) -> Iterator[Path]:
    """A disk of its own, of the user that the server runs as."""
    if os.geteuid() != 0:
        pytest.skip("mounting needs root")
    disk = ground / "small"
    disk.mkdir()
    _mount(disk, SMALL)
    shutil.chown(disk, "postgres")
    yield disk
    subprocess.run(["umount", str(disk)], check=True, timeout=20)


@pytest.fixture
def tight(server: Server, small: Path) -> Iterator[Department]:
    """A hub whose tables lie on it."""
    hub = new_department(server)
    with psycopg.connect(server.socket_url(), autocommit=True) as connection:
        connection.execute(f"CREATE TABLESPACE small LOCATION '{small}'".encode())
        connection.execute(f"ALTER DATABASE {hub.name} SET TABLESPACE small".encode())
    yield hub
    hub.close()
    with psycopg.connect(server.socket_url(), autocommit=True) as connection:
        connection.execute("DROP TABLESPACE small")


def test_a_hub_whose_disk_is_full_says_so_keeps_whole_batches_and_goes_on_when_there_is_room(
    tight: Department, small: Path
) -> None:
    b1 = tight.let_in("B1")
    own, door = Listed(b1, rows(b1.origin, 40_000)), tight.hub(b1, patience_s=20)
    with pytest.raises(Outage) as told:
        send_own(own, door, sent_ms=lambda: 0)
    assert told.value.key == "hub_full"
    with pytest.raises(Outage):
        send_own(own, door, sent_ms=lambda: 0)
    _mount(small, f"remount,{ROOM}")
    kept = tight.stored(b1.origin)
    assert 0 < len(kept) < len(own.kept)
    assert kept == own.kept[: len(kept)]
    assert send_own(own, door, sent_ms=lambda: 0).rows == len(own.kept) - len(kept)
    assert tight.stored(b1.origin) == own.kept
