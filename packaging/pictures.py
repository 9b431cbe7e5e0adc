"""Makes the pictures of the README and the guides: the demo play's screens and papers, the ones named here."""

import shutil
import sys
import tempfile
from datetime import UTC, date, datetime, time
from pathlib import Path

from PySide6.QtWidgets import QApplication

from kiosk.app.departments import STORY_SEED, catalogue_for
from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.app.stage import Stage
from kiosk.core.commands import Page, Turn
from kiosk.desk import make_desk
from kiosk.devices.clock import HandClock
from kiosk.paper.printer import FolderPrinter
from kiosk.places import RESOURCES
from kiosk.rehearsal.play import Result, play_files
from kiosk.rehearsal.story import tell
from kiosk.resources import policy
from kiosk.store.bench_store import BenchStore

DAY, SIZE = date(2026, 4, 11), (1920, 1080)

SCENARIOS = Path(__file__).parent.parent / "tests" / "scenarios"
PLAYS = {
    RESOURCES / "demo" / "first_look.yaml": {
        "scan": "scan",
        "count": "count",
        "check": "ask",
        "finding": "finding",
        "decision": "decision",
        "overview": "overview",
        "bench": "steps/2",
        "pack": "pack/2",
    },
    SCENARIOS / "S09.yaml": {"returns": "idle", "intake": "intake"},
    SCENARIOS / "S10.yaml": {"desk": "menu", "summary": "list"},
}
"""File that is played -> picture -> kind of view: the one of this number, or the one in the middle of its kind."""

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
        _numbers(folder, Path(out) / "numbers")


def _numbers(folder: Path, store: Path) -> None:
    """The quality desk over four weeks of the demo's history."""
    tell(store, bench_number=1, days=28, until=DAY, seed=STORY_SEED)
    clock = HandClock(at_ms=int(datetime.combine(DAY, time(9), UTC).timestamp() * 1000), offset_min=0)
    bench = BenchStore(store)
    catalogue = catalogue_for(bench, demo=True, bench_number=1, at_ms=clock.now().at_ms)
    (store / "incoming").mkdir(exist_ok=True)
    kiosk = Kiosk(
        store=bench,
        desk=make_desk(catalogue, policy({}), bench_number=1),
        clock=clock,
        window=make_window(SIZE, guess_px_per_mm(SIZE), clock, side="clean"),
        printer=FolderPrinter(store / "papers"),
        shelves=Shelves(incoming=store / "incoming"),
    )
    kiosk.window.show()
    kiosk.start(looks_for_quiet=False)
    kiosk.send(Turn(page=Page.NUMBERS))
    QApplication.processEvents()
    kiosk.window.grab().save(str(folder / "numbers.png"))
    kiosk.stop()


def _screen(result: Result, kind: str) -> Path:
    kind, _, number = kind.partition("/")
    of_kind = [Path(path) for path in result.pictures if Path(path).stem.endswith(f"_{kind}")]
    return of_kind[int(number) if number else len(of_kind) // 2]


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
