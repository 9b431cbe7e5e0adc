"""The demo department: big enough to try everything on, within the typical sizes, and nobody else's."""

import csv
import re
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from kiosk.core.catalogue import Catalogue, Item, Kit
from kiosk.core.vocabulary import Check, Disposition, Learnt, Role
from kiosk.lumen.planner import plan_piece
from kiosk.pins import PINS
from kiosk.places import RESOURCES
from kiosk.resources import findings, policy
from kiosk.store.catalogue_files import load_catalogue, load_kits

pytestmark = pytest.mark.usefixtures("real_pins")

DEMO = RESOURCES / "demo"
SCENARIOS = sorted((Path(__file__).resolve().parents[1] / "scenarios").glob("*.yaml"))


@pytest.fixture(scope="module")
def demo() -> Catalogue:
    return load_catalogue(DEMO)


@pytest.fixture(scope="module")
def story() -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load((DEMO / "story.yaml").read_text(encoding="utf-8"))
    return loaded


@pytest.fixture(scope="module")
def types() -> dict[str, Any]:
    rows = yaml.safe_load((RESOURCES / "item_types.yaml").read_text(encoding="utf-8"))
    return {row["code"]: row for row in rows}


def items(demo: Catalogue) -> list[Item]:
    return [item for tray in demo.trays.values() for item in tray.items]


def test_it_has_the_trays_items_people_and_benches_asked_for(demo: Catalogue) -> None:
    assert len(demo.trays) >= 14
    assert len(items(demo)) >= 40
    assert len(demo.people) == 13
    assert list(load_kits(DEMO)) == ["B1", "B2"]


def test_its_trays_hold_as_many_pieces_as_real_ones(demo: Catalogue) -> None:
    """20 to 110 pieces: facts on tray sizes (88 to 110 in large sets) as read; the small end is common practice."""
    pieces = {code: sum(line.want for line in tray.lines) for code, tray in demo.trays.items()}
    assert all(20 <= count <= 110 for count in pieces.values()), pieces
    assert max(pieces.values()) > 100


def test_every_lumened_item_is_on_its_count_sheet(demo: Catalogue) -> None:
    for tray in demo.trays.values():
        assert {line.item for line in tray.lines if line.item} == {item.id for item in tray.items}


def test_every_generic_type_is_there(demo: Catalogue, types: dict[str, Any]) -> None:
    assert {item.type for item in items(demo)} == set(types)


def test_every_size_lies_in_the_typical_range_of_its_type(demo: Catalogue, types: dict[str, Any]) -> None:
    def within(value: Decimal | None, span: str) -> bool:
        least, most = map(Decimal, span.split("-"))
        return value is not None and least <= value <= most

    for item in [*items(demo), *demo.spares.values()]:
        for lumen in item.lumens:
            typical = types[item.type]["lumens"]
            fits = [within(lumen.inside_mm, way["id"]) and within(lumen.length_mm, way["len"]) for way in typical]
            assert any(fits), f"{item.id} {item.type} {lumen.name}: {lumen.inside_mm} x {lumen.length_mm}"


def test_it_shows_what_a_record_can_say(demo: Catalogue) -> None:
    lumens = [lumen for item in items(demo) for lumen in item.lumens]
    assert any(item.qty > 1 for item in items(demo))
    assert any(item.takes_apart for item in items(demo))
    assert any(item.insulated for item in items(demo))
    assert any(item.function for item in items(demo))
    assert any(item.own_mark for item in items(demo))
    assert any(item.landmarks for item in items(demo))
    assert {None} < {lumen.air_kpa for lumen in lumens}
    assert 1 <= sum(lumen.learnt == Learnt.TYPICAL for lumen in lumens) <= 2
    assert any(tray.weight_needed for tray in demo.trays.values())
    assert sum(not load.released for load in demo.loads.values()) == 1
    assert all(any(code in load.trays for load in demo.loads.values()) for code in demo.trays)


def test_both_benches_have_a_kit_and_they_differ() -> None:
    one, two = load_kits(DEMO).values()
    assert one != two
    assert Kit() not in (one, two)


def test_the_roles_of_a_department_are_filled(demo: Catalogue) -> None:
    roles = [person.role for person in demo.people.values()]
    assert {role: roles.count(role) for role in set(roles)} == {
        Role.TECH: 6, Role.TRAINEE: 1, Role.SENIOR: 1, Role.SUPERVISOR: 2, Role.DECONTAM: 2, Role.EDUCATOR: 1,
    }  # fmt: skip


def test_the_pins_told_in_the_readme_sign_in(demo: Catalogue) -> None:
    row = re.compile(r"^\| ([^|]+) \| (P-\d+) \| (\w+) \| (\d+) \| (\d+) \|$", re.MULTILINE)
    told = row.findall((DEMO / "README.md").read_text(encoding="utf-8"))
    assert len(told) == len(demo.people)
    for name, code, role, badge, pin in told:
        person = demo.people[code]
        assert (person.name, person.role, person.badge) == (name, role, badge)
        assert PINS.matches(pin, person.pin_hash)


def test_no_pin_lies_in_the_shipped_files() -> None:
    with (DEMO / "people.csv").open(encoding="utf-8", newline="") as file:
        assert "pin" not in next(csv.reader(file))


def test_nothing_in_it_is_taken_from_the_scenarios(demo: Catalogue) -> None:
    assert SCENARIOS
    known = {value for path in SCENARIOS for value in _named(yaml.safe_load(path.read_text(encoding="utf-8"))["given"])}
    own = [*demo.trays, *demo.loads, *demo.people, *(item.id for item in items(demo))]
    own += [tray.name for tray in demo.trays.values()] + [person.name for person in demo.people.values()]
    own += [item.name for item in [*items(demo), *demo.spares.values()]]
    assert not known & set(own)
    parts = {part for name in known for part in name.split()}
    assert not parts & {part for person in demo.people.values() for part in person.name.split()}


def _named(given: object) -> Iterator[str]:
    """Every id and name under `given`."""
    if isinstance(given, dict):
        yield from (str(given[key]) for key in ("id", "name") if key in given)
        for value in given.values():
            yield from _named(value)
    elif isinstance(given, list):
        for value in given:
            yield from _named(value)


def test_the_story_speaks_of_this_department(demo: Catalogue, story: dict[str, Any], types: dict[str, Any]) -> None:
    assert set(story["trips_per_weekday"]) == set(demo.trays)
    assert set(story["findings"]) <= set(types)
    staff = {person for week in story["staffing"].values() for shift in week.values() for person in _people(shift)}
    assert staff == {code for code, person in demo.people.items() if person.role is not Role.EDUCATOR}
    assert sum(story["share_of_trips_by_shift"].values()) == pytest.approx(1)
    for found in (row for rows in story["findings"].values() for row in rows):
        assert found["code"] in findings().kinds
        assert found["check"] in story["answer_seconds"]
    assert all(1 <= once["day"] <= story["days"] for once in story["once"])


def test_every_check_of_the_story_is_one_that_a_bench_asks(demo: Catalogue, story: dict[str, Any]) -> None:
    asked = {
        (item.type, check.check)
        for kit in load_kits(DEMO).values()
        for item in items(demo)
        for check in plan_piece(item, policy(), kit, piece=item.id).checks
    }
    wanted = {(kind, Check(row["check"])) for kind, rows in story["findings"].items() for row in rows}
    assert wanted <= asked, sorted(wanted - asked)


def test_the_trays_told_in_the_readme_are_those_that_hold(demo: Catalogue) -> None:
    for kit in load_kits(DEMO).values():
        held = {
            tray.code
            for tray in demo.trays.values()
            for item in tray.items
            if plan_piece(item, policy(), kit, piece=item.id).hold
        }
        assert held == {"TR-0756", "TR-0760"}


def _people(shift: dict[str, Any]) -> Iterator[str]:
    for place in shift.values():
        yield from [place] if isinstance(place, str) else place


def test_about_two_percent_of_the_storys_trays_go_back(demo: Catalogue, story: dict[str, Any]) -> None:
    """About 2 % of trays return from assembly to decontam: Alfred et al., BMJ Qual Saf 2020;29:320."""
    share = _share_of_trips(demo, story, {Disposition.TRAY_BACK})
    assert share == pytest.approx(0.02, abs=0.002)
    assert share == pytest.approx(story["trays_back_share"], abs=0.002)
    assert _share_of_trips(demo, story, set(Disposition)) > 2 * share  # most findings are smaller ones


def _share_of_trips(demo: Catalogue, story: dict[str, Any], back: set[Disposition]) -> float:
    """Share of trips with at least one finding whose default disposition is among `back`."""
    trips: dict[str, float] = story["trips_per_weekday"]
    found = 0.0
    for code, tray in demo.trays.items():
        spared = 1.0
        for item in tray.items:
            for row in story["findings"].get(item.type, []):
                if findings()[row["code"]].back in back:
                    spared *= (1 - float(row["p"])) ** item.qty
        found += trips[code] * (1 - spared)
    return found / sum(trips.values())
