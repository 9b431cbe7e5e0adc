"""`kit-study`: the ranked list as JSON, and as a table with its limits in words, of files and of a store."""

import argparse
import json
from pathlib import Path
from typing import Any

import pytest

from kiosk.cli import main
from kiosk.cli.call import CallFault
from kiosk.cli.kit import LIMITS, kit_study
from kiosk.places import RESOURCES
from kiosk.store.bench_store import BenchStore
from kiosk.store.catalogue_files import load_catalogue

DEMO = RESOURCES / "demo"


def call(**more: Any) -> argparse.Namespace:
    given = {
        "bench": None,
        "catalogue": DEMO,
        "kit": None,
        "policy": None,
        "store": None,
        "pairs": False,
        "top": 10,
        "json": True,
    }
    return argparse.Namespace(**{**given, **more})


def ranked(capsys: pytest.CaptureFixture[str], **more: Any) -> list[dict[str, Any]]:
    assert kit_study(call(**more)) == 0
    rows: list[dict[str, Any]] = json.loads(capsys.readouterr().out)
    return rows


def test_the_json_is_a_list_ranked_by_the_wall_newly_seen_and_touched(capsys: pytest.CaptureFixture[str]) -> None:
    rows = ranked(capsys)
    assert [row["rank"] for row in rows] == list(range(1, len(rows) + 1))
    areas = [row["seen_mm2"] + row["touched_mm2"] for row in rows]
    assert areas == sorted(areas, reverse=True)
    assert all(row["lumens"] >= row["types"] >= 1 for row in rows)
    assert {row["weighed"] for row in rows} == {"No packing figures: every tray counts as packed once a week."}


def test_the_demo_bench_without_a_thin_scope_that_bends_is_told_to_get_one(capsys: pytest.CaptureFixture[str]) -> None:
    """Of resources/demo: bench B1's scope that bends has 1.9 mm. Curved bores of 2.1, 2.0, 1.6, 1.4 and 1.1 mm wait.

    By hand: pi x (2.1 x 125 + 2.0 x 300 + 2 x 1.6 x 150 + 2 x 1.4 x 120 + 1.1 x 150), the fine ones two in a tray.
    Thickness 0.9 x 1.1 mm; the longest, 300 mm, from both ends with 20 mm overlap: 160 mm.
    """
    first = ranked(capsys)[0]
    assert first["additions"] == [{"kind": "scope", "od_mm": 0.99, "reach_mm": 160.0, "bends": True}]
    by_hand = 3.141592653589793 * (2.1 * 125 + 2.0 * 300 + 2 * 1.6 * 150 + 2 * 1.4 * 120 + 1.1 * 150)
    assert first["seen_mm2"] == pytest.approx(by_hand, abs=0.05)
    assert (first["touched_mm2"], first["lumens"], first["types"]) == (0, 5, 2)


def test_top_is_how_many_are_listed_and_pairs_stand_in_the_same_ranking(capsys: pytest.CaptureFixture[str]) -> None:
    assert len(ranked(capsys, top=2)) == 2
    rows = ranked(capsys, top=2, pairs=True)
    assert [len(row["additions"]) for row in rows] == [2, 2, 1, 1]


def test_the_table_says_what_is_closed_now_and_under_it_the_limits(capsys: pytest.CaptureFixture[str]) -> None:
    assert kit_study(call(json=False, pairs=True)) == 0
    out = capsys.readouterr().out
    assert "With the kit of B1" in out
    assert "Two together:" in out
    assert "a scope of at most 0.99 mm that reaches 160 mm and bends" in out
    assert "every tray counts as packed once a week" in out
    assert out.rstrip().endswith(LIMITS)
    assert "is not cleaning" in LIMITS


@pytest.mark.parametrize("named", [[], ["--bench", "1"]])
def test_the_line_as_it_is_typed_studies_the_first_bench_where_none_is_named(
    capsys: pytest.CaptureFixture[str], named: list[str]
) -> None:
    assert main([*named, "kit-study", "--catalogue", str(DEMO), "--json"]) == 0
    assert json.loads(capsys.readouterr().out) == ranked(capsys)


def test_another_bench_has_another_list(capsys: pytest.CaptureFixture[str]) -> None:
    assert ranked(capsys, bench=2) != ranked(capsys, bench=1)
    with pytest.raises(CallFault, match="there is no bench B7; there are B1, B2"):
        kit_study(call(bench=7))


def test_kit_and_policy_by_file_stand_in_for_those_of_the_bench(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    kit, policy = tmp_path / "kit.yaml", tmp_path / "policy.yaml"
    kit.write_text("scopes: [{id: S, od_mm: 0.5, reach_mm: 900, bends: true}]\nair_station: true\n", "utf-8")
    rows = ranked(capsys, kit=kit)
    assert {each["kind"] for row in rows for each in row["additions"]} == {"swab_head"}
    assert all(each["stem_mm"] for row in rows for each in row["additions"])
    policy.write_text("clean_methods: [look, dry, light, air]\n", "utf-8")
    assert ranked(capsys, policy=policy) == []
    kit.write_text("scopes: [{id: S, od_mm: thin, reach_mm: 900}]\n", "utf-8")
    with pytest.raises(CallFault, match=r"kit.yaml line 1: kit, scope S: field od_mm must be a number"):
        kit_study(call(kit=kit))


def test_nothing_to_add_is_said_in_words(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    policy = tmp_path / "policy.yaml"
    policy.write_text("clean_methods: [look, dry, light, air]\n", "utf-8")
    assert kit_study(call(policy=policy, json=False)) == 0
    assert "nothing that could be added would open any of it" in capsys.readouterr().out


def test_without_a_folder_the_stores_own_catalogue_is_studied(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    store = BenchStore(tmp_path / "B1")
    store.keep_catalogue(load_catalogue(DEMO, "B1"), at_ms=1)
    store.close()
    assert ranked(capsys, catalogue=None, store=tmp_path / "B1") == ranked(capsys)
    with pytest.raises(CallFault, match="there is no store here"):
        kit_study(call(catalogue=None, store=tmp_path / "none"))


OFFERS = """
offers:
  - {id: Q-1, kind: scope, od_mm: 0.95, reach_mm: 170, bends: true, price: 1250.50, currency: MXN}
  - {id: Q-2, kind: head, head_mm: 20, price: 12, currency: MXN}
"""


def test_where_the_kit_names_prices_each_offer_has_its_area_for_each_unit_of_price(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The demo's scope offer sees what its best scope of 0.99 mm sees, for it is thinner and reaches further."""
    kit = tmp_path / "kit.yaml"
    kit.write_text((RESOURCES / "kit.yaml").read_text("utf-8"), "utf-8")
    assert not [row for row in ranked(capsys, kit=kit, pairs=True) if "price" in row]
    kit.write_text((RESOURCES / "kit.yaml").read_text("utf-8") + OFFERS, "utf-8")
    rows = ranked(capsys, kit=kit, pairs=True, top=3)
    priced = sorted((row for row in rows if "price" in row), key=lambda row: row["rank_by_price"])
    assert {row["price"] for row in priced} == {1250.5, 12.0, 1262.5}
    for row in priced:
        assert row["currency"] == "MXN"
        area = row["seen_mm2"] + row["touched_mm2"]
        assert row["per_price_mm2"] == pytest.approx(area / row["price"], rel=2e-3)
    assert [row["per_price_mm2"] for row in priced] == sorted((row["per_price_mm2"] for row in priced), reverse=True)
    assert [row["rank"] for row in rows] == list(range(1, len(rows) + 1))
    assert kit_study(call(kit=kit, json=False, pairs=True)) == 0
    out = capsys.readouterr().out
    assert "Most wall for each MXN first, one alone or two together:" in out
    assert "a scope of at most 0.95 mm that reaches 170 mm and bends; 1,250.5 MXN, " in out


@pytest.mark.parametrize(
    ("offer", "fault"),
    [
        ("{id: Q-1, kind: brush, price: 1, currency: X}", "offer Q-1: field kind must be one of scope, head, stem"),
        ("{id: Q-1, kind: stem, reach_mm: 500, price: cheap, currency: X}", "offer Q-1: field price must be a number"),
        ("{id: Q-1, kind: stem, reach_mm: 500, price: 5}", "offer Q-1: field currency must be text"),
        ("{id: Q-1, kind: stem, od_mm: 5, price: 5, currency: X}", "offer Q-1: field od_mm does not go with kind stem"),
        (
            ", ".join(
                f"{{id: Q-{n}, kind: stem, reach_mm: 500, price: 5, currency: {each}}}"
                for n, each in ((1, "X"), (2, "Y"))
            ),
            "offer Q-2: field currency is not the X of the first one",
        ),
    ],
)
def test_an_offer_that_cannot_be_read_is_told_by_its_field(tmp_path: Path, offer: str, fault: str) -> None:
    kit = tmp_path / "kit.yaml"
    kit.write_text(f"offers: [{offer}]\n", "utf-8")
    with pytest.raises(CallFault, match=fault):
        kit_study(call(kit=kit))


def test_a_top_below_one_is_refused() -> None:
    with pytest.raises(CallFault, match="--top 0"):
        kit_study(call(top=0))
