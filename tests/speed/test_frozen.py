"""The frozen program on the disk against a frozen empty window, as `bash packaging/frozen --measure` last made them."""

from pathlib import Path

import pytest

from tests.speed.conftest import Tell
from tests.speed.figures import Figure

MADE = Path(__file__).parents[2] / "build" / "frozen" / "dist"


def _megabytes(folder: Path) -> float:
    """As `du` counts: whole blocks, a file with several names once."""
    files = {(at.lstat().st_dev, at.lstat().st_ino): at.lstat().st_blocks for at in (folder, *folder.rglob("*"))}
    return 512 * sum(files.values()) / 1e6


@pytest.mark.slow
def test_the_frozen_program_on_the_disk_against_a_frozen_window(tell: Tell) -> None:
    ours, bare = MADE / "throughlight", MADE / "window"
    if not (ours.is_dir() and bare.is_dir()):
        pytest.skip("no frozen program here: bash packaging/frozen --measure makes one, and an empty window beside it")
    sizes = {"ours": [_megabytes(ours)], "base": [_megabytes(bare)]}
    what, against = "frozen program on the disk", "frozen empty PySide6 window"
    tell(Figure(row=19, what=what, against=against, unit="MB", goal=1.6, **sizes))
