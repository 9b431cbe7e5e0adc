"""Makes the pictures of the README: the demo play's screens and papers, the ones named here."""

import shutil
import sys
import tempfile
from pathlib import Path

from kiosk.app.stage import Stage
from kiosk.places import RESOURCES
from kiosk.rehearsal.play import Result, play_files

SCENARIOS = Path(__file__).parent.parent / "tests" / "scenarios"
PLAYS = {
    RESOURCES / "demo" / "first_look.yaml": {
        "check": "ask",
        "finding": "finding",
        "decision": "decision",
        "overview": "overview",
    },
    SCENARIOS / "S09.yaml": {"intake": "intake"},
    SCENARIOS / "S10.yaml": {"desk": "menu"},
}
"""File that is played -> picture -> kind of view: the one in the middle of all of its kind."""

PAPERS = ("return_ticket", "tray_sheet", "package_label")


def main(folder: Path) -> None:
    """Play the demo tray, a return and a shift's end, and keep their pictures; the papers are the demo tray's."""
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as out:
        results = play_files(list(PLAYS), Stage, out=Path(out), pictures=True)
        for result, pictures in zip(results, PLAYS.values(), strict=True):
            for name, kind in pictures.items():
                shutil.copyfile(_screen(result, kind), folder / f"{name}.png")
        for paper in results[0].papers:
            _render(Path(paper), folder)


def _screen(result: Result, kind: str) -> Path:
    of_kind = [Path(path) for path in result.pictures if Path(path).stem.endswith(f"_{kind}")]
    return of_kind[len(of_kind) // 2]


def _render(paper: Path, folder: Path) -> None:
    import pypdfium2

    name = next((name for name in PAPERS if paper.name.startswith(name)), None)
    if name:
        page = pypdfium2.PdfDocument(paper)[0]
        page.render(scale=203 / 72 if name != "tray_sheet" else 1.6, grayscale=True).to_pil().save(
            folder / f"{name}.png"
        )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
