"""What the lumen tests build with: the shipped policy and kit, lumens and items in few words, reference cases."""

import json
from collections.abc import Iterable, Mapping
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from kiosk.core.catalogue import Item, Kit, Lumen
from kiosk.core.plan import LumenPlan, PiecePlan
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening
from kiosk.lumen.planner import plan_piece
from kiosk.lumen.records import kit_from_mapping
from kiosk.places import RESOURCES

TESTS = Path(__file__).parents[1]


@cache
def resource(name: str) -> Any:
    return yaml.safe_load((RESOURCES / name).read_text(encoding="utf-8"))


def default_policy(**changes: Any) -> Policy:
    return Policy.from_mapping(resource("policy.yaml") | changes)


def default_kit(**changes: Any) -> Kit:
    return kit_from_mapping(resource("kit.yaml") | changes)


def reference_cases(name: str) -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = json.loads((TESTS / "reference" / name).read_text(encoding="utf-8"))["cases"]
    return cases


def tube(
    inside: str | None = "2.6",
    length: str | None = "160",
    *features: Feature,
    open: Opening = Opening.BOTH,  # noqa: A002  # the word of the record
    air: int | None = None,
    forbid: Iterable[Check] = (),
    learnt: Learnt = Learnt.IFU,
    name: str = "bore",
) -> Lumen:
    return Lumen(
        name=name,
        inside_mm=None if inside is None else Decimal(inside),
        length_mm=None if length is None else Decimal(length),
        open=open,
        features=frozenset(features),
        air_kpa=air,
        forbid=frozenset(forbid),
        learnt=learnt,
    )


def item(*lumens: Lumen, code: str = "A1", **more: Any) -> Item:
    return Item(id=code, name="Tube", type="fine_suction", lumens=lumens, **more)


def planned(lumen: Lumen, policy: Policy, kit: Kit, **more: Any) -> tuple[PiecePlan, LumenPlan]:
    """The plan of a piece with one lumen, and of that lumen."""
    plan = plan_piece(item(lumen), policy, kit, piece="A1", **more)
    return plan, plan.lumens[0]


def asked(plan: PiecePlan) -> list[str]:
    """The checks of the first lumen in order, without its name."""
    return [str(check.check) for check in plan.checks if check.lumen]


def why(plan: PiecePlan) -> Mapping[str, str]:
    """Every reason of a plan with one lumen, of checks that are there and of those left out."""
    return {str(check.check): check.because for check in plan.checks} | dict(plan.lumens[0].left_out)
