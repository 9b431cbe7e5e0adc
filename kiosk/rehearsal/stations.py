"""The stations of a written shift: which there are, who stands where, and what all of them kept, in one row."""

from collections.abc import Iterator, Mapping, Sequence
from heapq import merge
from pathlib import Path
from typing import Any

from kiosk.core import events as e
from kiosk.core.stamp import Kept
from kiosk.core.vocabulary import Role
from kiosk.devices.clock import HandClock
from kiosk.rehearsal.scenario import Scenario, actions_of
from kiosk.rehearsal.stage import MakeStage, Stage
from kiosk.rehearsal.world import World

FIRST, DECONTAM = "B1", "D1"


def stations_of(scenario: Scenario, world: World) -> tuple[str, ...]:
    """The first bench, the benches that the file names, and decontam's station where somebody works there."""
    people = world.catalogue.people
    actions = actions_of(scenario)
    benches = dict.fromkeys([FIRST, *scenario.given.get("benches", ()), *(a["bench"] for a in actions if "bench" in a)])
    dirty = any(str(a.get("who")) in people and people[str(a["who"])].role is Role.DECONTAM for a in actions)
    return (*(str(name) for name in benches), *([DECONTAM] if dirty or "told" in scenario.given else []))


def folders_of(names: Sequence[str], out: Path) -> dict[str, Path]:
    """The folder of each station; the first one's is `out` itself."""
    return {name: out if name == FIRST else out / name for name in names}


def raise_stages(
    names: Sequence[str], make: MakeStage, world: World, clock: HandClock, out: Path, size: tuple[int, int]
) -> dict[str, Stage]:
    """A stage for each station, in a folder of its own; the first one's is `out` itself. Each hears all others."""
    folders = folders_of(names, out)
    stages = {}
    for name in names:
        beside = [folders[other] / "store" for other in names if other != name]
        stages[name] = make(world, clock, folders[name], size, station=name, beside=beside)
    return stages


def in_time(logs: Mapping[str, Sequence[Kept]]) -> Iterator[Kept]:
    """The events of all stations in the order of their time; those of one station stay in their own order."""
    return merge(*logs.values(), key=_at)


def _at(kept: Kept) -> int:
    return kept.stamp.at_ms


def tickets_made(logs: Mapping[str, Sequence[Kept]]) -> list[str]:
    """The numbers of the return tickets made so far, first one first."""
    return [kept.event.ticket for kept in in_time(logs) if isinstance(kept.event, e.ItemBack | e.TrayBack)]


def tickets_named(scenario: Scenario) -> list[str]:
    """The names that the file has for its tickets, in the order of their first mention."""
    named: list[Any] = [action.get("ticket") for action in actions_of(scenario)]
    named += scenario.then.get("disposition", {})
    return list(dict.fromkeys(str(name) for name in named if str(name).startswith("K-")))
