"""A real PostgreSQL server in a folder of its own: made, started, killed and stopped by the tests."""

import os
import random
import shutil
import signal
import socket
import subprocess
import time
from pathlib import Path

import pytest

BIN = max(Path("/usr/lib/postgresql").glob("[1-9][0-9]/bin"), default=Path("/usr/lib/postgresql/15/bin"))
"""Where Debian puts the server's programs; the newest there is."""

_SETTINGS = """
listen_addresses = '127.0.0.1'
port = {port}
unix_socket_directories = '{folder}'
shared_buffers = '128MB'
max_connections = {connections}
max_wal_size = '2GB'
log_min_messages = fatal
password_encryption = 'scram-sha-256'
logging_collector = off
"""
_WHO = """
local all postgres peer map=own
local all all scram-sha-256
{tls} all all 127.0.0.1/32 {asks}
"""


def there_is_one() -> bool:
    """Are the server's programs on this machine?"""
    return (BIN / "initdb").is_file()


def needs_one() -> None:
    """Leave the test out, and say so, where there is no server to be had."""
    if not there_is_one():
        pytest.skip("no PostgreSQL 15 on this machine (Debian: postgresql-15)")


def free_port() -> int:
    """A port of loopback that nobody uses, below those that the system gives to callers (from 32768 on).

    A caller that asks for one of its own kind again and again, while nobody listens there, can meet itself.
    """
    while True:
        port = random.SystemRandom().randrange(15000, 32000)
        with socket.socket() as probe:
            try:
                probe.bind(("127.0.0.1", port))
            except OSError:
                continue
            return port


class Server:
    """One cluster. The superuser comes in by the Unix socket alone, as the user who runs the server or as root."""

    def __init__(
        self, folder: Path, *, tls: tuple[Path, Path] | None = None, connections: int = 60, asks: str = "scram-sha-256"
    ) -> None:
        self.folder, self.port = folder, free_port()
        self._data = folder / "data"
        folder.mkdir(parents=True)
        if os.geteuid() == 0:  # the server refuses to run as root
            shutil.chown(folder, "postgres")
        self._run(BIN / "initdb", "-D", self._data, "-U", "postgres", "-E", "UTF8", "--locale=C", "-A", "scram-sha-256",
                  "--pwfile", self._password_file(), "-k")  # fmt: skip
        with (self._data / "postgresql.conf").open("a") as conf:
            conf.write(_SETTINGS.format(port=self.port, folder=folder, connections=connections))
            if tls:
                conf.write("ssl = on\nssl_min_protocol_version = 'TLSv1.3'\n")
                conf.write(f"ssl_cert_file = '{tls[0]}'\nssl_key_file = '{tls[1]}'\n")
        (self._data / "pg_hba.conf").write_text(_WHO.format(tls="hostssl" if tls else "host", asks=asks))
        (self._data / "pg_ident.conf").write_text("own postgres postgres\nown root postgres\n")
        self.start()

    def _password_file(self) -> Path:
        path = self.folder / "password"
        path.write_text(os.urandom(16).hex())
        if os.geteuid() == 0:
            shutil.chown(path, "postgres")
        return path

    def start(self) -> None:
        """Start, and wait until it answers."""
        self._run(BIN / "pg_ctl", "-D", self._data, "-l", self.folder / "log", "-w", "-t", "60", "start")

    def stop(self) -> None:
        """Stop at once: nobody needs its files any more."""
        self._run(BIN / "pg_ctl", "-D", self._data, "-w", "-m", "immediate", "stop")

    def kill(self) -> None:
        """SIGKILL to every process of the cluster, as when the machine's power goes; wait until they are gone."""
        first = int((self._data / "postmaster.pid").read_text().split()[0])
        os.kill(first, signal.SIGSTOP)  # no further ones come about meanwhile
        group = [first, *_children(first)]
        for pid in group:
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        until = time.monotonic() + 20
        while any(Path(f"/proc/{pid}/stat").exists() and _runs(pid) for pid in group) and time.monotonic() < until:
            time.sleep(0.01)
        for lock in (self._data / "postmaster.pid", self.folder / f".s.PGSQL.{self.port}.lock"):
            lock.unlink(missing_ok=True)  # where nobody reaps the dead, their number is still taken

    def seconds(self) -> float:
        """Processor time that the cluster took so far, of one core; of its processes that ended too."""
        first = int((self._data / "postmaster.pid").read_text().split()[0])
        ticks = _ticks(first, 4) + sum(_ticks(pid, 2) for pid in _children(first))
        return ticks / os.sysconf("SC_CLK_TCK")

    def socket_url(self, name: str = "postgres") -> str:
        """The superuser's way in."""
        return f"postgresql://postgres@/{name}?host={self.folder}&port={self.port}"

    def url(self, name: str, port: int = 0) -> str:
        """A bench's way in, over loopback; `port`: of a proxy."""
        return f"postgresql://127.0.0.1:{port or self.port}/{name}"

    def _run(self, *command: str | Path) -> None:
        words = [str(word) for word in command]
        if os.geteuid() == 0:
            words = ["setpriv", "--reuid=postgres", "--regid=postgres", "--init-groups", *words]
        # Its output goes to a file: a pipe would be held open by the server itself.
        said = self.folder.parent / f"{self.folder.name}.out"
        with said.open("ab") as out:
            run = subprocess.run(words, check=False, stdout=out, stderr=out, cwd="/", timeout=100)
        log = self.folder / "log"
        assert run.returncode == 0, said.read_text()[-2000:] + (log.read_text()[-2000:] if log.exists() else "")


def _children(pid: int) -> list[int]:
    tasks = Path(f"/proc/{pid}/task/{pid}/children")
    return [int(word) for word in tasks.read_text().split()] if tasks.exists() else []


def _ticks(pid: int, fields: int) -> int:
    """utime and stime of a process; of its children that ended too, where four fields are asked for (proc(5))."""
    try:
        stat = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    except OSError:
        return 0
    return sum(int(value) for value in stat[11 : 11 + fields])


def _runs(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in {"Z", "X"}
    except OSError:
        return False
