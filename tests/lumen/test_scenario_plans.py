"""Every plan, tool, length not seen and hold that the written shifts name."""

from typing import Any

import pytest
import yaml

from kiosk.core.plan import PiecePlan
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.records import items_from_rows, plan_as_json
from tests.lumen.bench import TESTS, default_kit, default_policy

SHIFTS: dict[str, Any] = {
    name: yaml.safe_load((TESTS / "scenarios" / f"{name}.yaml").read_text(encoding="utf-8"))
    for name in (f"S{n:02}" for n in range(1, 25))
}
"""The shifts whose plan is that of the tray as it is opened; the later ones are held where they are played, and
so is a shift in which no tray is opened."""
HOLD_WORDS = {"unknown size": "unknown_lumen"}


def _plans(shift: dict[str, Any], measured: dict[str, Any] | None = None) -> dict[str, PiecePlan]:
    given = shift["given"]
    policy = default_policy(**given.get("policy", {}).get("set", {}))
    kit = default_kit(**given.get("kit", {}).get("set", {}))
    rows = [row for tray in given["trays"] for row in tray["items"]]
    for row in rows:
        for lumen in row["lumens"]:
            lumen |= (measured or {}).get(f"{row['id']}.{lumen['n']}", {})
    return {plan.piece: plan for plan in plan_tray(items_from_rows(rows), policy, kit)}


def _load(shift: str) -> dict[str, Any]:
    loaded: dict[str, Any] = yaml.safe_load((TESTS / "scenarios" / f"{shift}.yaml").read_text(encoding="utf-8"))
    return loaded


@pytest.mark.parametrize("shift", [name for name, shift in SHIFTS.items() if shift["then"]["plan"]])
def test_the_plan_is_the_one_written_down(shift: str) -> None:
    plans = _plans(_load(shift))
    assert {piece: list(plan.keys) for piece, plan in plans.items()} == SHIFTS[shift]["then"]["plan"]


@pytest.mark.parametrize("shift", [name for name, shift in SHIFTS.items() if "use" in shift["then"]])
def test_the_tools_are_the_ones_written_down(shift: str) -> None:
    plans = _plans(_load(shift))
    for piece, tools in SHIFTS[shift]["then"]["use"].items():
        use = plan_as_json(plans[piece])["use"]
        assert {key: use.get(key) for key in tools} == tools


@pytest.mark.parametrize("shift", [name for name, shift in SHIFTS.items() if "not_seen" in shift["then"]])
def test_the_lengths_not_seen_are_the_ones_written_down(shift: str) -> None:
    plans = _plans(_load(shift))
    not_seen = {
        f"{piece}.{lumen}": stretch
        for piece, plan in plans.items()
        for lumen, stretch in plan_as_json(plan)["not_seen"].items()
    }
    assert not_seen == SHIFTS[shift]["then"]["not_seen"]


@pytest.mark.parametrize("shift", SHIFTS)
def test_the_holds_are_the_ones_written_down_and_no_others(shift: str) -> None:
    wanted = SHIFTS[shift]["then"].get("plan_holds", {})
    holds = {
        f"{piece}.{lumen.lumen}": lumen.hold
        for piece, plan in _plans(_load(shift)).items()
        for lumen in plan.lumens
        if lumen.hold
    }
    assert holds == {key: HOLD_WORDS.get(hold, hold) for key, hold in wanted.items()}


def test_a_lumen_gauged_at_the_bench_gets_its_plan() -> None:
    shift = _load("S18")
    plans = _plans(shift, shift["given"]["measured"])
    assert {piece: list(plan.keys) for piece, plan in plans.items()} == shift["then"]["plan_after_measure"]
    assert plans["P1"].hold is None


def test_a_banned_brush_is_on_no_plan() -> None:
    """Common practice, no source: a brush sprays, and carries soil from piece to piece."""
    assert default_policy().brush_rule == "banned"
    for shift in SHIFTS:
        for plan in _plans(_load(shift)).values():
            assert not [key for key in plan.keys if key.rpartition(".")[2] == "brush"], shift
