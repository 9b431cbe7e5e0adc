"""The way to the printer: a folder where none is set, else a queue of the operating system (CUPS: lp, lpstat, cancel).

Nothing prints by itself later. A job is handed over held, let go only to a printer that is ready, and watched until it
has left; if it does not leave in time it is canceled. One that could not even be canceled is canceled before the next.
"""

import os
import re
import subprocess
import time
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

NO_ANSWER = "The printer does not answer. Your work is saved."
NOT_READY = "The printer is not ready. Your work is saved."
NO_FOLDER = "The folder for papers can not be written. Your work is saved."
OWN_SERVER = "127.0.0.1:631"  # by number: a bare system may not know the name localhost
LOOK_EVERY_S = 0.1
CANCEL_S = 2.0  # kept back of the patience, for the cancel


class PrinterDown(Exception):
    """The paper did not come out, and will not later. `sentence` is for the screen."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """Where a paper went: a queue's name, or the path of the file."""

    where: str


class Printer(Protocol):
    """Puts a PDF on paper. `doc` is the kind of paper (vocabulary Doc), `name` names the job. Raises PrinterDown."""

    def print(self, doc: str, name: str, pdf: bytes) -> Printed: ...


@dataclass(frozen=True, slots=True)
class FolderPrinter:
    """No printer set: each paper is a PDF in a folder, on disk before this returns; none is ever written over."""

    folder: Path

    def print(self, doc: str, name: str, pdf: bytes) -> Printed:
        stem = re.sub(r"[^A-Za-z0-9._-]+", "-", f"{doc}-{name}").strip("-.")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            path = self._free(stem)
            part = path.with_suffix(".part")
            with part.open("wb") as file:
                file.write(pdf)
                file.flush()
                os.fsync(file.fileno())
            part.replace(path)
            folder = os.open(self.folder, os.O_RDONLY)
            try:
                os.fsync(folder)
            finally:
                os.close(folder)
        except OSError as fault:
            raise PrinterDown(NO_FOLDER) from fault
        return Printed(where=str(path))

    def _free(self, stem: str) -> Path:
        path, copy = self.folder / f"{stem}.pdf", 1
        while path.exists():
            copy += 1
            path = self.folder / f"{stem}-{copy}.pdf"
        return path


@dataclass(slots=True, kw_only=True)
class QueuePrinter:
    """A CUPS queue. `media` names the stock of each kind of paper; `server` is host:port, "" for the machine's own.

    `print` takes at most `patience_s`: a printer that has not taken the whole paper by then counts as down.
    """

    queue: str
    media: Mapping[str, str] = field(default_factory=dict)
    server: str = ""
    patience_s: float = 10.0
    left: list[str] = field(default_factory=list)  # jobs that could not be canceled yet

    def print(self, doc: str, name: str, pdf: bytes) -> Printed:
        end = time.monotonic() + self.patience_s - CANCEL_S
        self._check_ready(end)
        self.sweep(end)
        stock = ["-o", f"media={self.media[doc]}"] if doc in self.media else []
        said = self._run(["lp", "-d", self.queue, "-t", name, *stock, "-H", "hold", "--", "-"], end, pdf)
        found = re.search(rf"{re.escape(self.queue)}-\d+", said)
        if not found:
            raise PrinterDown(NO_ANSWER)
        job = found.group()
        try:
            self._check_ready(end)
            self._run(["lp", "-i", job, "-H", "immediate"], end)
            self._wait_until_taken(job, end)
        except PrinterDown:
            self._cancel(job)
            raise
        return Printed(where=self.queue)

    def sweep(self, end: float | None = None) -> None:
        """Cancel what could not be canceled when it failed. Raises PrinterDown while the server is still away."""
        for job in tuple(self.left):
            self._run(["cancel", job], end or time.monotonic() + CANCEL_S, allow=("already",))
            self.left.remove(job)

    def _check_ready(self, end: float) -> None:
        """Is the server up, does the queue accept jobs, is it not stopped? Raises PrinterDown."""
        accepts = self._run(["lpstat", "-a", self.queue], end)
        state = self._run(["lpstat", "-p", self.queue], end)
        if f"{self.queue} accepting requests" not in accepts or " disabled since" in state:
            raise PrinterDown(NOT_READY)

    def _wait_until_taken(self, job: str, end: float) -> None:
        from kiosk.paper.ipp import COMPLETED, job_state

        """Until the job has left the queue. Raises PrinterDown if it does not, or left without being printed."""
        while job in self._run(["lpstat", "-W", "not-completed", "-o", self.queue], end).split():
            state = self._run(["lpstat", "-p", self.queue], end)
            if " disabled since" in state or time.monotonic() > end:
                raise PrinterDown(NO_ANSWER)
            time.sleep(LOOK_EVERY_S)
        try:
            left = max(end - time.monotonic(), 0.1)
            result = job_state(self.server or OWN_SERVER, int(job.rpartition("-")[2]), left)
        except OSError as fault:
            raise PrinterDown(NO_ANSWER) from fault
        if result != COMPLETED:
            raise PrinterDown(NO_ANSWER)

    def _cancel(self, job: str) -> None:
        try:
            self._run(["cancel", job], time.monotonic() + CANCEL_S, allow=("already",))
        except PrinterDown:
            self.left.append(job)

    def _run(self, command: list[str], end: float, data: bytes = b"", allow: tuple[str, ...] = ()) -> str:
        """What a command said, in English. Raises PrinterDown when it fails, is missing or takes too long."""
        server = {"CUPS_SERVER": self.server} if self.server else {}
        environment = {**os.environ, "LC_ALL": "C", "LANGUAGE": "C", **server}
        left = end - time.monotonic()
        if left <= 0:
            raise PrinterDown(NO_ANSWER)
        try:
            done = subprocess.run(command, input=data, capture_output=True, timeout=left, check=False, env=environment)
        except (OSError, subprocess.TimeoutExpired) as fault:
            raise PrinterDown(NO_ANSWER) from fault
        error = done.stderr.decode(errors="replace")
        if done.returncode and not any(word in error for word in allow):
            raise PrinterDown(NO_ANSWER)
        return done.stdout.decode(errors="replace")
