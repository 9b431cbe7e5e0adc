"""Items and kit from plain mappings, every fault in one sentence, and the plan as JSON."""

import json
from decimal import Decimal
from typing import Any

import pytest

from kiosk.core.catalogue import Kit, Landmark
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening
from kiosk.lumen.planner import plan_piece, plan_tray
from kiosk.lumen.records import RecordFault, item_from_mapping, items_from_rows, kit_from_mapping, plan_as_json
from tests.lumen.bench import default_policy, item, tube

BORE: dict[str, Any] = {"n": "bore", "id_mm": 1.2, "len_mm": 150, "open": "both"}
ROW: dict[str, Any] = {"id": "A2", "name": "Ear suction 5 Fr", "type": "fine_suction", "lumens": [BORE]}


def test_a_full_record_becomes_an_item() -> None:
    row = ROW | {
        "qty": 2, "takes_apart": True, "insulated": True, "function": ["pin passes"], "own_mark": True,
        "landmarks": [{"name": "handle"}],
        "lumens": [
            BORE | {
                "open": "one", "f": ["curved", "blind"], "air_kpa": 100, "forbid": ["swab"], "learnt": "gauge_pin",
                "landmarks": [{"name": "bend", "at_mm": 90.5}],
            }
        ],
    }  # fmt: skip
    got = item_from_mapping(row)
    lumen = got.lumens[0]
    assert (got.qty, got.takes_apart, got.insulated, got.own_mark) == (2, True, True, True)
    assert (got.function, got.landmarks) == (("pin passes",), (Landmark(name="handle"),))
    assert (lumen.inside_mm, lumen.length_mm, lumen.open) == (Decimal("1.2"), Decimal(150), Opening.ONE)
    assert lumen.features == frozenset({Feature.CURVED, Feature.BLIND})
    assert lumen.forbid == frozenset({Check.SWAB})
    assert (lumen.air_kpa, lumen.learnt) == (100, Learnt.GAUGE_PIN)
    assert lumen.landmarks == (Landmark(name="bend", at_mm=Decimal("90.5")),)


def test_sizes_keep_their_decimals_exactly() -> None:
    assert item_from_mapping(ROW).lumens[0].inside_mm == Decimal("1.2")


def test_a_piece_with_a_mark_carries_its_own_mark() -> None:
    assert item_from_mapping(ROW | {"mark": "SH-0031"}).own_mark
    assert not item_from_mapping(ROW).own_mark


def test_unknown_sizes_are_allowed() -> None:
    lumen = item_from_mapping(ROW | {"lumens": [{"n": "bore", "id_mm": None, "len_mm": None}]}).lumens[0]
    assert (lumen.inside_mm, lumen.length_mm, lumen.air_kpa) == (None, None, None)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"id": "A#1"}, "item 'A#1': field id must be text without # or ."),
        ({"name": " "}, "item A2: field name must be text, not ' '"),
        ({"qty": 0}, "item A2: field qty must be a whole number from 1, not 0"),
        ({"takes_apart": "yes"}, "item A2: field takes_apart must be true or false, not 'yes'"),
        ({"take_apart": True}, "item A2: field take_apart is not known, takes_apart is meant"),
        ({"function": "turns"}, "item A2: field function must be a list, not 'turns'"),
        ({"lumens": [BORE, BORE]}, "item A2, lumen bore: field n stands twice"),
        ({"lumens": [5]}, "item A2: lumen 5 is not a mapping of fields"),
    ],
)
def test_a_fault_of_an_item_names_item_and_field(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(RecordFault) as fault:
        item_from_mapping(ROW | change)
    assert str(fault.value) == sentence


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"n": "a.b"}, "item A2, lumen 'a.b': field n must be text without a dot"),
        ({"id_mm": "5 Fr"}, "item A2, lumen bore: field id_mm must be a number, not '5 Fr'"),
        ({"id_mm": 0}, "item A2, lumen bore: field id_mm must be above 0, not 0"),
        ({"len_mm": True}, "item A2, lumen bore: field len_mm must be a number, not True"),
        ({"len_mm": float("nan")}, "item A2, lumen bore: field len_mm must be a number, not nan"),
        ({"open": "ends"}, "item A2, lumen bore: field open does not know 'ends'"),
        ({"f": ["bent"]}, "item A2, lumen bore: field f does not know 'bent'"),
        ({"forbid": ["swabs"]}, "item A2, lumen bore: field forbid does not know 'swabs'"),
        ({"air_kpa": 99.5}, "item A2, lumen bore: field air_kpa must be whole kilopascals, not 99.5"),
        ({"fr": 5}, "item A2, lumen bore: field fr is not known"),
        (
            {"landmarks": [{"name": "bend", "at_mm": 151}]},
            "item A2, lumen bore: field at_mm of a landmark is off the lumen, 151 mm",
        ),
    ],
)
def test_a_fault_of_a_lumen_names_item_lumen_and_field(change: dict[str, Any], sentence: str) -> None:
    with pytest.raises(RecordFault) as fault:
        item_from_mapping(ROW | {"lumens": [BORE | change]})
    assert str(fault.value) == sentence


@pytest.mark.parametrize(
    ("rows", "sentence"),
    [
        ({"A2": ROW}, "a plan file is a list of items"),
        ([ROW, ROW], "item A2: field id stands twice"),
        (["A2"], "item 'A2': not a mapping of fields"),
    ],
)
def test_a_fault_of_the_whole_file_is_one_sentence(rows: object, sentence: str) -> None:
    with pytest.raises(RecordFault) as fault:
        items_from_rows(rows)
    assert str(fault.value) == sentence


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"scopes": [{"id": "SC-1", "reach_mm": 400}]}, "kit, scope SC-1: field od_mm must be a number, not None"),
        ({"swabs": {"heads_mm": [-1]}}, "kit, swabs: field heads_mm must be above 0, not -1"),
        ({"brushes": []}, "kit: field brushes is not known"),
    ],
)
def test_a_fault_of_the_kit_names_tool_and_field(
    change: dict[str, Any], sentence: str, kit_row: dict[str, Any]
) -> None:
    with pytest.raises(RecordFault) as fault:
        kit_from_mapping(kit_row | change)
    assert str(fault.value) == sentence


def test_a_kit_keeps_its_scopes_in_the_order_of_the_bench(kit_row: dict[str, Any]) -> None:
    more = [{"id": name, "od_mm": 1, "reach_mm": 100} for name in ("B", "A")]
    assert [scope.id for scope in kit_from_mapping(kit_row | {"scopes": more}).scopes] == ["B", "A"]
    assert kit_from_mapping({}) == Kit()


def test_the_plan_of_a_fine_ear_suction_as_json(policy: Policy, kit: Kit) -> None:
    bore = BORE | {"f": ["curved", "branched"], "air_kpa": 100}
    (plan,) = plan_tray([item_from_mapping(ROW | {"lumens": [bore]})], policy, kit)
    assert json.loads(json.dumps(plan_as_json(plan))) == {
        "piece": "A2",
        "name": "Ear suction 5 Fr",
        "plan": ["look", "bore.dry", "bore.swab", "bore.air"],
        "use": {"bore.swab": "1.2 mm"},
        "ends": {"bore.swab": "one end"},
        "not_seen": {"bore": "all"},
        "not_seen_mm": {"bore": 150.0},
        "seen_share": 0.0,
        "touched_share": 1.0,
        "hold": None,
        "because": {
            "look": "every piece: outside first, under the magnifier",
            "bore.dry": "every lumen: dry comes first",
            "bore.swab": "narrow (1.2 mm): swab, smallest head not thinner than the bore",
            "bore.air": "no scope here, so by policy: air, at most 100 kPa by the IFU",
            "bore.scope": "left out: no scope at this bench fits (thinnest that bends is 1.9 mm, limit 1.08 mm)",
        },
    }


def test_what_is_not_known_is_null_in_json_and_never_zero(kit: Kit) -> None:
    tiny = default_policy(unknown_lumen="treat_as_tiny")
    plan = plan_as_json(plan_piece(item(tube(None, None, air=100)), tiny, kit, piece="A1"))
    assert plan["not_seen"] == {"bore": "all"}
    assert plan["not_seen_mm"] == {"bore": None}
    assert plan["seen_share"] is plan["touched_share"] is None


def test_both_looks_for_water_keep_their_reasons_in_json(kit: Kit) -> None:
    methods = [str(method) for method in default_policy().clean_methods]
    wet = default_policy(clean_methods=[*methods, "water"], by_size={"wide": ["light", "water"]})
    plan = plan_as_json(plan_piece(item(tube("6.0", "100")), wet, kit, piece="A1"))
    assert plan["plan"].count("bore.dry") == 2
    assert plan["because"]["bore.dry"] == "every lumen: dry comes first; dry again after water"
