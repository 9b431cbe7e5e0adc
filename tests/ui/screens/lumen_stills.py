"""Rendered stills of lumens as small files, never of a real one (`kiosk.sight.rendered`)."""

from pathlib import Path

WIDE, HIGH = 480, 270


def lay_stills(folder: Path, files: list[str]) -> None:
    """A still for each name, every other one with soil."""
    from PIL import Image

    from kiosk.sight.rendered import by_chance, still

    folder.mkdir(parents=True, exist_ok=True)
    for n, file in enumerate(files, 1):
        made = still(by_chance(n, soil=bool(n % 2), width=WIDE, height=HIGH))
        Image.fromarray(made.picture).save(folder / file)


def lies(path: Path, _sha256: str) -> bool:
    """Stands for holding a file against its hash where a test's log names invented hashes: it lies here, or not."""
    return path.is_file()
