"""A written shift: the scenario file, read and checked. Format: tests/scenarios/README.md."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kiosk.resources import ResourceFault, read_yaml

ACTIONS = frozenset(
    {
        "sign_in", "sign_out", "scan_tray", "scan_other", "count", "answer", "all_yes", "photo", "undo", "confirm",
        "weigh", "indicators", "package", "print", "event", "bench_clean", "gloves", "scope_clean", "pause", "resume",
        "power_cut", "power_back", "sub_item", "hold_release", "wait", "printer_down", "printer_up", "by_hand",
        "clock_change", "second_person", "scan_item", "hand_over", "measure", "search", "override", "correct_record",
        "receive", "not_here", "ticket_answer", "dirty_check", "send_back_clean", "reprint", "settings",
    }
)  # fmt: skip
"""The actions that can be played so far."""


class ScenarioFault(ValueError):
    """A scenario that cannot be played; the message is one sentence naming the file and the place."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scenario:
    """A scenario as written. `given`, `when` and `then` keep the file's shape."""

    id: str
    title: str
    given: Mapping[str, Any]
    when: tuple[Mapping[str, Any], ...]
    then: Mapping[str, Any]
    file: str
    covers: tuple[str, ...] = field(default=())


def actions_of(scenario: Scenario) -> tuple[Mapping[str, Any], ...]:
    """Every action of the file: those played before `now`, then those of `when`."""
    return (*scenario.given.get("before", ()), *scenario.when)


def read_scenario(path: Path) -> Scenario:
    """Read one file. Raises ScenarioFault."""
    try:
        tree = read_yaml(path)
    except ResourceFault as fault:
        raise ScenarioFault(str(fault)) from fault
    if not isinstance(tree, Mapping):
        raise ScenarioFault(f"{path.name}: is not a scenario")
    for key in ("id", "given", "when", "then"):
        if key not in tree:
            raise ScenarioFault(f"{path.name}: has no `{key}`")
    _can_be_played(path, "action", tree["when"])
    _can_be_played(path, "given.before: action", (tree["given"] or {}).get("before", ()))
    return Scenario(
        id=str(tree["id"]),
        title=str(tree.get("title", "")),
        given=tree["given"],
        when=tuple(tree["when"]),
        then=tree["then"],
        file=path.name,
        covers=tuple(tree.get("covers", ())),
    )


def _can_be_played(path: Path, where: str, actions: Sequence[Any]) -> None:
    for number, action in enumerate(actions, 1):
        if not isinstance(action, Mapping) or "do" not in action:
            raise ScenarioFault(f"{path.name}: {where} {number} has no `do`")
        if action["do"] not in ACTIONS:
            raise ScenarioFault(f"{path.name}: {where} {number}: `{action['do']}` can not be played yet")
