"""The invented department a scenario plays in: its `given` as catalogue, policy, kit and clock."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from kiosk import resources
from kiosk.core.catalogue import Catalogue, CountLine, Item, Landmark, Load, Loaner, Lumen, Person, Tray
from kiosk.core.policy import Policy, PolicyFault
from kiosk.core.vocabulary import Role
from kiosk.lumen.records import RecordFault, item_from_mapping, kit_from_mapping
from kiosk.pins import hash_pin
from kiosk.places import RESOURCES
from kiosk.rehearsal.scenario import Scenario, ScenarioFault, actions_of
from kiosk.store.catalogue_files import load_catalogue

PIN = "2468"
"""Everybody's PIN in a rehearsal."""

OFFSET_MIN = 60
"""Local time of every rehearsal: UTC plus one hour, so that a mix-up of the two is seen."""

OTHERS = "Other pieces"
"""The count line of the pieces without a lumen."""


@dataclass(frozen=True, slots=True, kw_only=True)
class World:
    """What a scenario is played in. `at_ms` is its `now`, Unix milliseconds."""

    catalogue: Catalogue
    policy: Policy
    at_ms: int
    day: str


def build(scenario: Scenario) -> World:
    """The scenario's department. Raises ScenarioFault naming the file and what is wrong in it."""
    given = scenario.given
    if given.get("department") == "demo":
        return _demo(scenario)
    try:
        now = str(given["now"])
        spares = {str(a["in"]) for a in actions_of(scenario) if a["do"] == "sub_item"}
        trays: dict[str, Tray] = {}
        spare_items: dict[str, Item] = {}
        for row in (*given.get("trays", ()), *given.get("before_trays", ())):
            items = [_with_landmarks(item_from_mapping(item), scenario) for item in row.get("items", ())]
            spare_items |= {item.id: item for item in items if item.id in spares}
            mine = tuple(item for item in items if item.id not in spares)
            trays[row["id"]] = _tray(row, mine, lines_named(scenario, row["id"]))
        loads = _loads(given, tuple(trays))
        catalogue = Catalogue(
            trays=trays,
            spares=spare_items,
            people={row["id"]: person_from(row) for row in given.get("people", ())},
            loads=loads,
            kit=kit_from_mapping({**resources.read_yaml(RESOURCES / "kit.yaml"), **_set(given, "kit")}),
        )
        policy = resources.policy(_set(given, "policy"))
    except (KeyError, TypeError, RecordFault, PolicyFault) as fault:
        raise ScenarioFault(f"{scenario.file}: given: {fault}") from fault
    return World(catalogue=catalogue, policy=policy, at_ms=at_ms(now), day=now.split(maxsplit=1)[0])


def _loads(given: Mapping[str, Any], trays: tuple[str, ...]) -> dict[str, Load]:
    """The load of every tray; those of `loads` (oldest first) carry the trays that they name."""
    rows = [*given.get("loads", ()), *([given["load"]] if given.get("load") else [])]
    named = {tray for row in rows for tray in row.get("trays", ())}
    rest = tuple(tray for tray in trays if tray not in named)
    return {
        row["id"]: Load(id=row["id"], released=row["released"], trays=tuple(row.get("trays", rest))) for row in rows
    }


def _demo(scenario: Scenario) -> World:
    """The demo department's first bench, with everybody's PIN that of a rehearsal."""
    catalogue = load_catalogue(RESOURCES / "demo", "B1")
    people = {key: replace(person, pin_hash=_HASH) for key, person in catalogue.people.items()}
    now = str(scenario.given["now"])
    policy = resources.policy(_set(scenario.given, "policy"))
    return World(
        catalogue=replace(catalogue, people=people), policy=policy, at_ms=at_ms(now), day=now.split(maxsplit=1)[0]
    )


def at_ms(local: str) -> int:
    """ "2031-03-04 07:12" local as Unix milliseconds."""
    sign = "+" if OFFSET_MIN >= 0 else "-"
    offset = f"{sign}{abs(OFFSET_MIN) // 60:02d}:{abs(OFFSET_MIN) % 60:02d}"
    return int(datetime.fromisoformat(f"{local}:00{offset}").timestamp() * 1000)


def _set(given: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    row: Mapping[str, Any] = given.get(key, {}).get("set", {})
    return row


_HASH = hash_pin(PIN, b"rehearsal of a shift")


def person_from(row: Mapping[str, Any]) -> Person:
    """A person of a scenario: the id is the badge."""
    return Person(id=row["id"], name=row["name"], role=Role(row["role"]), badge=row["id"], pin_hash=_HASH)


def lines_named(scenario: Scenario, tray: str) -> dict[str, int]:
    """The lines of a tray that an action names, and how many are listed: a count's `line`, an `other` piece."""
    named, here = {}, ""
    for action in actions_of(scenario):
        here = str(action["tray"]) if action["do"] == "scan_tray" else here
        if action["do"] == "count" and "finding" in action and here == tray:
            named[str(action["line"])] = int(action["want"])
        if "other" in action and here == tray:
            named[str(action["other"])] = 1
    return named


def _tray(row: Mapping[str, Any], items: tuple[Item, ...], named: Mapping[str, int]) -> Tray:
    """The tray's record. A line that is named and no item has stands for so many of the other pieces."""
    lines = [CountLine(name=f"{item.name} ({item.id})", want=item.qty, item=item.id) for item in items]
    lines += [CountLine(name=one["line"], want=int(one["want"]), implant=True) for one in row.get("implants", ())]
    plain = {name: want for name, want in named.items() if name not in {item.name for item in items}}
    lines += [CountLine(name=name, want=want) for name, want in plain.items()]
    others = int(row.get("others", 0)) - sum(plain.values())
    if others > 0:
        lines.append(CountLine(name=OTHERS, want=others))
    return Tray(
        code=row["id"],
        name=row["name"],
        items=items,
        lines=tuple(lines),
        weight_needed=bool(row.get("weight_needed", False)),
        packaging=("wrap", "container", "pouch"),
        indicators=int(row.get("indicators", 1)),
        loaner=_loaner(row) if row.get("loaner") else None,
    )


_SET = re.compile(r"(\d+) of (\d+)")


def _loaner(row: Mapping[str, Any]) -> Loaner:
    """The vendor's set; which tray of how many stands in its name ("tray 2 of 6")."""
    found = _SET.search(row["name"])
    part, of = (int(found[1]), int(found[2])) if found else (0, 0)
    filed, returning = bool(row.get("ifu_on_file")), bool(row.get("returning"))
    return Loaner(vendor=str(row.get("vendor", "")), part=part, of=of, ifu_on_file=filed, returning=returning)


def places_named(scenario: Scenario) -> Iterator[tuple[str, str, str]]:
    """Every place a NO is at: (item, lumen or "", words). The item record carries them as landmarks to touch."""
    for action in actions_of(scenario):
        if action["do"] == "answer" and "at" in action:
            item, lumen, _ = split_check(action["check"])
            yield item.split("#")[0], lumen, str(action["at"])


def split_check(name: str) -> tuple[str, str, str]:
    """ "F1.inner.teeth" -> (piece, lumen, check); "F1.look" -> (piece, "", check)."""
    piece, _, rest = name.partition(".")
    lumen, _, check = rest.rpartition(".")
    return piece, lumen, check


def _with_landmarks(item: Item, scenario: Scenario) -> Item:
    mine = [(lumen, words) for name, lumen, words in places_named(scenario) if name == item.id]
    whole = tuple(Landmark(name=words) for lumen, words in mine if not lumen)
    lumens = tuple(_marked(lumen, [words for name, words in mine if name == lumen.name]) for lumen in item.lumens)
    return replace(item, lumens=lumens, landmarks=item.landmarks + whole)


def _marked(lumen: Lumen, words: list[str]) -> Lumen:
    return replace(lumen, landmarks=lumen.landmarks + tuple(Landmark(name=name) for name in words))
