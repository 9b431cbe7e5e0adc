"""Plays scenario files and says of each whether it holds."""

import tempfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from PySide6.QtWidgets import QApplication

from kiosk.core.events import Handwritten, PlanShown, TicketClosed, TicketReceived
from kiosk.core.evolve import evolve
from kiosk.core.past.counters import Shift, summaries
from kiosk.core.plan import PiecePlan
from kiosk.core.shift import shift_of
from kiosk.core.stamp import Kept, local_time
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.vocabulary import Disposition
from kiosk.rehearsal.budget import Touch
from kiosk.rehearsal.compare import Outcome, Printed, Verdict, compare, fold
from kiosk.rehearsal.fingers import NoSuchKey
from kiosk.rehearsal.play_desk import AT_DESK
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import Scenario, read_scenario
from kiosk.rehearsal.stage import MakeStage
from kiosk.rehearsal.stations import in_time, tickets_made, tickets_named
from kiosk.rehearsal.walking import PlayFault
from kiosk.rehearsal.world import World, build
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
    touches: Sequence[Touch]


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
    logs = player.logs()
    now = {name: log[player.kept_before.get(name, 0) :] for name, log in logs.items()}
    end = _summed_up(scenario, world, player)
    player.close()

    def summed(parts: Sequence[Sequence[Kept]]) -> dict[str, int]:
        return summaries(parts, end, world.policy)

    printed = [_read(path) for path in sorted(set(player.papers()) - player.papers_before, key=_order)]
    outcome = Outcome(
        log=list(in_time(now)),
        plans=_plans(list(in_time(now))),
        first_plans=_plans(list(in_time(now))[::-1]),
        trips={number: trip for log in logs.values() for number, trip in _trips(log).items()},
        tickets=dict(zip(tickets_named(scenario), _tickets(logs), strict=False)),
        papers=printed,
        counters=_counters(scenario, logs, player.kept_before, summed),
        shown=player.camera.shown,
        glass=player.camera.glass,
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
        touches=player.touches,
    )


def _summed_up(scenario: Scenario, world: World, player: Player) -> Shift:
    """The shift whose counters are compared: the one that an action names, else the one in which the play ends."""
    named = next((str(action["shift"]) for action in reversed(scenario.when) if "shift" in action), "")
    if named:
        return named, date.fromisoformat(world.day)
    return shift_of(local_time(player.clock.at_ms, player.clock.offset_min), world.policy.shifts)


def _counters(
    scenario: Scenario,
    logs: Mapping[str, Sequence[Kept]],
    before: Mapping[str, int],
    summed: Callable[[Sequence[Sequence[Kept]]], dict[str, int]],
) -> dict[str, int]:
    """The shift's counters; with `counters_from: now` less what they were at `now`."""
    counts = summed(list(logs.values()))
    if scenario.given.get("counters_from") != "now":
        return counts
    then = summed([log[: before.get(name, 0)] for name, log in logs.items()])
    return {name: count - then[name] for name, count in counts.items()}


def _order(path: Path) -> tuple[int, str]:
    """Papers in the order in which they came out; of one moment, the sheet before the label."""
    return path.stat().st_mtime_ns, path.name


def _read(path: Path) -> Printed:
    from pypdf import PdfReader

    text = " ".join(page.extract_text() for page in PdfReader(path).pages)
    doc = next(doc for doc in _DOCS if path.name.startswith(doc))
    return Printed(doc=doc, file=path, text=fold(text), copy="-copy-" in path.stem)


_DOCS = (
    "exposure_note", "tray_sheet", "return_ticket", "package_label", "repair_tag", "quarantine_tag", "discard_note",
    *AT_DESK,
)  # fmt: skip


def _plans(log: Sequence[Kept]) -> dict[str, PiecePlan]:
    shown = [kept.event for kept in log if isinstance(kept.event, PlanShown)]
    return {plan.piece: plan for event in shown for plan in event.plans}


def _tickets(logs: Mapping[str, Sequence[Kept]]) -> list[str]:
    """What became of each ticket, first one first: received, closed, or "" while it is on its way."""
    events = [kept.event for kept in in_time(logs)]
    received = {event.ticket for event in events if isinstance(event, TicketReceived)}
    closed = {event.ticket for event in events if isinstance(event, TicketClosed)}
    forms = {event.number: event.form for event in events if isinstance(event, Handwritten)}
    out = []
    for number in tickets_made(logs):
        taken_in = {number, forms.get(number, number)} & received
        out.append(str(Disposition.CLOSED if number in closed else Disposition.RECEIVED if taken_in else ""))
    return out


def _trips(log: Sequence[Kept]) -> dict[str, Trip]:
    bench, trips = Bench(), dict[str, Trip]()
    for kept in log:
        bench = evolve(bench, kept)
        trips |= bench.trips
    return trips
