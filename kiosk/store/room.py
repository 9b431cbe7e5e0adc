"""Room on a full disk: the oldest pictures that belong to no finding go first. Records never go."""

from collections.abc import Iterable, Set
from pathlib import Path

PICTURES = frozenset({".png", ".jpg", ".jpeg"})


def make_room(folders: Iterable[Path], linked: Set[str], need: int) -> tuple[Path, ...]:
    """Take away the oldest pictures whose names are not `linked`, until `need` bytes are free; those taken away.

    Only files that are pictures by name are touched, and only directly in `folders`.
    """
    free = [
        file
        for folder in folders
        if folder.is_dir()
        for file in folder.iterdir()
        if file.is_file() and file.suffix.lower() in PICTURES and file.name not in linked
    ]
    gone, made = [], 0
    for file in sorted(free, key=_age):
        if made >= need:
            break
        size = file.stat().st_size
        file.unlink()
        made += size
        gone.append(file)
    return tuple(gone)


def _age(file: Path) -> tuple[float, str]:
    return file.stat().st_mtime, file.name
