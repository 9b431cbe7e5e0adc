"""A print server of the test's own on loopback, and a printer that keeps what it is sent."""

import os
import shutil
import socket
import subprocess
import threading
import time
from pathlib import Path
from typing import Self

CONF = """
Listen 127.0.0.1:{port}
LogLevel error
MaxLogSize 0
Browsing No
DefaultAuthType None
WebInterface No
ErrorPolicy stop-printer
PreserveJobHistory Yes
JobRetryInterval 1
<Location />
  Order allow,deny
  Allow from 127.0.0.1
</Location>
<Location /admin>
  Order allow,deny
  Allow from 127.0.0.1
</Location>
<Policy default>
  JobPrivateAccess all
  JobPrivateValues none
  <Limit All>
    Order allow,deny
    Allow from 127.0.0.1
  </Limit>
</Policy>
"""
FILES = """
ServerRoot {root}/etc
RequestRoot {root}/spool
TempDir {root}/spool/tmp
CacheDir {root}/cache
StateDir {root}/state
AccessLog {root}/log/access
ErrorLog {root}/log/error
PageLog {root}/log/page
Printcap
FatalErrors none
ConfigFilePerm 0644
LogFilePerm 0644
"""


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


class SocketPrinter:
    """Takes jobs on a raw socket. `hold` keeps the connection open without reading: a printer that hangs."""

    def __init__(self, *, hangs: bool = False) -> None:
        self.jobs: list[bytes] = []
        self._hangs = hangs
        self._held: list[socket.socket] = []
        self._server = socket.create_server(("127.0.0.1", 0))
        self.port: int = self._server.getsockname()[1]
        self._thread = threading.Thread(target=self._serve, daemon=True)
        self._thread.start()

    def _serve(self) -> None:
        while True:
            try:
                link, _ = self._server.accept()
            except OSError:
                return
            if self._hangs:
                self._held.append(link)
                continue
            with link:
                parts = []
                while part := link.recv(65536):
                    parts.append(part)
                self.jobs.append(b"".join(parts))

    def close(self) -> None:
        self._server.shutdown(socket.SHUT_RDWR)
        self._server.close()
        self._thread.join(5)
        for link in self._held:
            link.close()


class PrintServer:
    """cupsd with its own configuration, spool and port in a folder."""

    def __init__(self, root: Path) -> None:
        self._root = root
        self.port = free_port()
        self.name = f"127.0.0.1:{self.port}"
        self._server: subprocess.Popen[bytes] | None = None
        root.chmod(0o755)
        for folder in ("etc", "spool", "spool/tmp", "cache", "state", "log"):
            (root / folder).mkdir()
        (root / "cupsd.conf").write_text(CONF.format(port=self.port))
        (root / "cups-files.conf").write_text(FILES.format(root=root))

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        self.stop()

    def start(self) -> None:
        program = shutil.which("cupsd", path=f"{os.environ['PATH']}:/usr/sbin:/usr/local/sbin")
        assert program
        command = [program, "-f", "-c", str(self._root / "cupsd.conf"), "-s", str(self._root / "cups-files.conf")]
        self._server = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        end = time.monotonic() + 15
        while time.monotonic() < end:
            try:
                socket.create_connection(("127.0.0.1", self.port), 1).close()
                return
            except OSError:
                assert self._server.poll() is None, (self._root / "log" / "error").read_text()
                time.sleep(0.05)
        raise AssertionError("the print server did not start")

    def stop(self) -> None:
        if self._server is not None:
            self._server.terminate()
            self._server.wait(15)
            self._server = None

    def run(self, *command: str) -> str:
        environment = {**os.environ, "CUPS_SERVER": self.name, "LC_ALL": "C"}
        sbin = f"{os.environ['PATH']}:/usr/sbin"
        program = shutil.which(command[0], path=sbin)
        assert program, command
        done = subprocess.run(
            [program, *command[1:]], capture_output=True, text=True, check=False, timeout=15, env=environment
        )
        assert done.returncode == 0, done.stderr
        return done.stdout

    def add_queue(self, name: str, port: int) -> None:
        """A queue that passes on what it is given."""
        self.run("lpadmin", "-p", name, "-E", "-v", f"socket://127.0.0.1:{port}", "-m", "raw")

    def waiting(self) -> str:
        return self.run("lpstat", "-W", "not-completed", "-o")
