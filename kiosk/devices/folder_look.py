"""A look into a folder that another program drops pictures into. Slow: runs on the worker, and touches no widget.

What lies there is foreign: a link or a pipe is not opened, a file over the bound is not read, one that is being
written is left alone until it reads whole.
"""

import os
import stat
from dataclasses import dataclass, field
from pathlib import Path

MOST_BYTES = 32 << 20
MOST_PIXELS = 50_000_000
"""Bounds of one picture (choices): the largest stills of borescopes are a tenth of that."""
MOST_FILES = 5_000
"""Entries that are looked at in one look (a choice)."""
WHOLE_AFTER_MS = 5_000
"""A file that has not changed for so long and still is no whole picture never will be (a choice)."""

SUFFIXES = frozenset({".png", ".jpg", ".jpeg"})
_ENDS = {"PNG": b"IEND\xaeB`\x82", "JPEG": b"\xff\xd9"}
"""The last bytes of a file of each format (ISO/IEC 15948, ISO/IEC 10918-1); some programs pad a little after them."""
_PADDING = 1024

_Mark = tuple[int, int, int]  # inode, bytes, time of change in ns


@dataclass(frozen=True, slots=True, kw_only=True)
class Looked:
    """What one look found: is the folder there; whole new pictures, oldest first; names of files that are none."""

    there: bool
    pictures: tuple[tuple[str, bytes], ...] = ()
    unreadable: tuple[str, ...] = ()


@dataclass(slots=True)
class FolderLook:
    """Knows what lay in `folder` before. The first look takes nothing: what lay there is of another piece."""

    folder: Path
    _known: dict[str, _Mark] = field(default_factory=dict)
    _growing: dict[str, tuple[_Mark, int]] = field(default_factory=dict)
    _begun: bool = False

    def look(self, now_ms: int) -> Looked:
        """Look once; `now_ms` is the steady clock. Never raises for what lies there."""
        try:
            marks = self._marks()
        except OSError:
            return Looked(there=False)
        if not self._begun:
            self._begun, self._known = True, marks
            return Looked(there=True)
        self._known = {name: mark for name, mark in self._known.items() if name in marks}
        self._growing = {name: since for name, since in self._growing.items() if name in marks}
        new = sorted((mark[2], name) for name, mark in marks.items() if self._known.get(name) != mark)
        pictures, unreadable = [], []
        for _, name in new:
            mark = marks[name]
            seen, since = self._growing.get(name, (None, now_ms))
            since = since if seen == mark else now_ms
            self._growing[name] = (mark, since)
            data = self._whole(name, mark) if seen == mark else None  # not before it has kept still for one look
            if data is not None:
                pictures.append((name, data))
            elif mark[1] > MOST_BYTES or now_ms - since >= WHOLE_AFTER_MS:
                unreadable.append(name)
            else:
                continue
            self._known[name] = mark
            del self._growing[name]
        return Looked(there=True, pictures=tuple(pictures), unreadable=tuple(unreadable))

    def _marks(self) -> dict[str, _Mark]:
        marks: dict[str, _Mark] = {}
        with os.scandir(self.folder) as entries:
            for number, entry in enumerate(entries):
                if number >= MOST_FILES:
                    break
                if Path(entry.name).suffix.lower() not in SUFFIXES or entry.name.startswith("."):
                    continue
                try:
                    told = entry.stat(follow_symlinks=False)
                except OSError:  # it was taken away meanwhile
                    continue
                if stat.S_ISREG(told.st_mode):
                    marks[entry.name] = (told.st_ino, told.st_size, told.st_mtime_ns)
        return marks

    def _whole(self, name: str, mark: _Mark) -> bytes | None:
        """The bytes of a file, where they are a whole picture within the bounds and the file is still the same."""
        if not 0 < mark[1] <= MOST_BYTES:
            return None
        try:
            opened = os.open(self.folder / name, os.O_RDONLY | os.O_NOFOLLOW | os.O_NONBLOCK)
            with os.fdopen(opened, "rb") as file:
                data = file.read(MOST_BYTES + 1)
                told = os.fstat(file.fileno())
        except OSError:
            return None
        same = (told.st_ino, told.st_size, told.st_mtime_ns) == mark and len(data) == mark[1]
        return data if same and is_whole(data) else None


def is_whole(data: bytes) -> bool:
    """Do the bytes decode to their last row as a PNG or JPEG within the bounds? Never raises."""
    import io
    import warnings

    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=tuple(_ENDS)) as picture:
                if picture.width * picture.height > MOST_PIXELS:
                    return False
                picture.load()
                return _ENDS[picture.format or ""] in data[-_PADDING:]
    except Exception:  # noqa: BLE001 - a decoder of foreign bytes: whatever it raises, they are no picture
        return False
