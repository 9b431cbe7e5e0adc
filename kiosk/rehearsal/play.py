"""Plays scenario files and says of each whether it holds."""

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QApplication

from kiosk.core.bench import Bench, Trip
from kiosk.core.counters import summary
from kiosk.core.events import PlanShown
from kiosk.core.evolve import evolve
from kiosk.core.plan import PiecePlan
from kiosk.core.shift import shift_of
from kiosk.core.stamp import Kept, local_time
from kiosk.rehearsal.compare import Outcome, Printed, Verdict, compare, fold
from kiosk.rehearsal.fingers import NoSuchKey
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import Scenario, read_scenario
from kiosk.rehearsal.stage import MakeStage
from kiosk.rehearsal.walking import PlayFault
from kiosk.rehearsal.world import build
from kiosk.ui.theme import load_fonts


@dataclass(frozen=True, slots=True, kw_only=True)
class Result:
    """One scenario played. `missed`: where, wanted, got."""

    scenario: str
    held: bool
    checked: int
    missed: list[dict[str, Any]]
    papers: list[str]
    pictures: list[str]
    taps: int


def play_files(
    files: Sequence[Path],
    make_stage: MakeStage,
    *,
    out: Path | None = None,
    pictures: bool = False,
    size: tuple[int, int] = (1920, 1080),
    show: bool = False,
) -> list[Result]:
    """Play each file on a stage of its own under `out`. Raises ScenarioFault for a file that can not be played."""
    scenarios = [read_scenario(path) for path in files]
    app = QApplication.instance() or QApplication([])
    load_fonts()
    folder = out or Path(tempfile.mkdtemp(prefix="throughlight-"))
    results = [play(s, make_stage, folder / s.id, pictures=pictures, size=size, slow_ms=300 * show) for s in scenarios]
    del app
    return results


def play(
    scenario: Scenario,
    make_stage: MakeStage,
    out: Path,
    *,
    pictures: bool = False,
    size: tuple[int, int] = (1920, 1080),
    slow_ms: int = 0,
) -> Result:
    """Play one scenario and compare everything under its `then`."""
    world = build(scenario)
    out.mkdir(parents=True, exist_ok=True)
    if (out / "store").exists():
        raise PlayFault(f"{out}: a play was left here; name an empty folder")
    player = Player(scenario, world, make_stage, out=out, size=size, pictures=pictures, slow_ms=slow_ms)
    fault = ""
    try:
        player.play()
    except (PlayFault, NoSuchKey) as stopped:
        fault = " ".join([str(stopped), *getattr(stopped, "__notes__", ())])
    log = list(player.stage.kiosk.store.read())
    end = shift_of(local_time(player.clock.at_ms, player.clock.offset_min), world.policy.shifts)
    player.stage.close()
    printed = [_read(path) for path in sorted(player.stage.papers.glob("*.pdf"), key=_order)]
    outcome = Outcome(
        log=log,
        plans=_plans(log),
        trips=_trips(log),
        papers=printed,
        counters=summary(log, end, world.policy.shifts),
        shown=player.camera.shown,
    )
    verdict = compare(scenario.then, outcome)
    if fault:
        verdict = Verdict(
            checked=verdict.checked, missed=[{"where": "when", "wanted": "", "got": fault}, *verdict.missed]
        )
    return Result(
        scenario=scenario.id,
        held=not verdict.missed,
        checked=verdict.checked,
        missed=verdict.missed,
        papers=[str(paper.file) for paper in printed],
        pictures=[str(path) for path in player.camera.pictures],
        taps=player.fingers.taps,
    )


def _order(path: Path) -> tuple[int, str]:
    """Papers in the order in which they came out; of one moment, the sheet before the label."""
    return path.stat().st_mtime_ns, path.name


def _read(path: Path) -> Printed:
    from pypdf import PdfReader

    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    doc = next(doc for doc in _DOCS if path.name.startswith(doc))
    return Printed(doc=doc, file=path, text=fold(text))


_DOCS = ("tray_sheet", "return_ticket", "package_label", "repair_tag", "quarantine_tag")


def _plans(log: Sequence[Kept]) -> dict[str, PiecePlan]:
    shown = [kept.event for kept in log if isinstance(kept.event, PlanShown)]
    return {plan.piece: plan for event in shown for plan in event.plans}


def _trips(log: Sequence[Kept]) -> dict[str, Trip]:
    bench, trips = Bench(), dict[str, Trip]()
    for kept in log:
        bench = evolve(bench, kept)
        trips |= bench.trips
    return trips
