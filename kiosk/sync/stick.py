"""Files on a stick that anybody may have had: read only where they are plain files, written whole, read back for real.

A stick says that it wrote what it has not written yet. So what was written is dropped from this machine's own memory
of it and read again before anybody is told that the stick may be pulled out.
"""

import errno
import os
import stat
from collections.abc import Iterable, Iterator
from contextlib import contextmanager, suppress
from hashlib import sha256
from pathlib import Path
from typing import IO

from kiosk.store.durable import sync_folder
from kiosk.store.outage import Outage, outages

CHUNK = 1 << 16


def shown(path: Path) -> str:
    """The file's name for a line of text: a name on a stick can hold what would steer a terminal."""
    return "".join(letter if letter.isprintable() else "?" for letter in path.name)


@contextmanager
def plain_file(path: Path, most: int) -> Iterator[IO[bytes]]:
    """The file, open to be read, where it is a plain one of at most so many bytes. Raises Outage.

    No link is followed, and nothing waits for who would write into a pipe. Whatever the stick does while the file is
    open is an Outage too (`read_some`).
    """
    try:
        handle = os.open(path, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK | os.O_CLOEXEC)
    except OSError as fault:
        key = "bundle_not_plain" if fault.errno in {errno.ELOOP, errno.ENXIO} else "bundle_not_read"
        raise Outage(key, file=shown(path)) from fault
    found = os.fstat(handle)
    if not stat.S_ISREG(found.st_mode) or found.st_size > most:
        os.close(handle)  # a folder can not even be made a file of
        key = "bundle_large" if stat.S_ISREG(found.st_mode) else "bundle_not_plain"
        raise Outage(key, file=shown(path))
    with os.fdopen(handle, "rb", buffering=0) as file:
        yield file


def read_some(file: IO[bytes], path: Path, most: int = CHUNK) -> bytes:
    """The next bytes of the file, fewer than asked for only at its end. Raises Outage where the stick is gone."""
    out = b""
    try:
        while len(out) < most and (more := file.read(most - len(out))):
            out += more
    except OSError as fault:
        raise Outage("bundle_not_read", file=shown(path)) from fault
    return out


def write_plain(path: Path, chunks: Iterable[bytes]) -> bytes:
    """Write the file whole and durably, never through a link that lies there; its SHA-256. Raises Outage."""
    try:
        with outages():
            return _write(path, chunks)
    except OSError as fault:  # what the stick holds there already is in the way
        raise Outage("bundle_not_written", file=shown(path)) from fault


def _write(path: Path, chunks: Iterable[bytes]) -> bytes:
    part = path.with_name(f".{path.name}.part")
    digest = sha256()
    try:
        part.unlink(missing_ok=True)
        flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | os.O_NOFOLLOW | os.O_CLOEXEC
        with os.fdopen(os.open(part, flags, 0o600), "wb") as file:
            for chunk in chunks:
                digest.update(chunk)
                file.write(chunk)
            file.flush()
            os.fsync(file.fileno())
        part.replace(path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
    sync_folder(path.parent)
    return digest.digest()


def read_back(path: Path, most: int) -> bytes:
    """The SHA-256 of what the stick itself holds: this machine's own memory of the file is dropped first."""
    digest = sha256()
    with plain_file(path, most) as file:
        os.posix_fadvise(file.fileno(), 0, 0, os.POSIX_FADV_DONTNEED)
        while chunk := read_some(file, path):
            digest.update(chunk)
    return digest.digest()
