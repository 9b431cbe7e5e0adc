"""What we never see: shares by kind of item, weighed by how often a piece is packed, and the list with its reasons."""

import math
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given

from kiosk.core.catalogue import Catalogue, Kit
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening
from kiosk.lumen.planner import plan_tray
from kiosk.lumen.share import planned_share
from kiosk.quality.never_seen import never_seen
from kiosk.quality.packed import PackingFault, packed
from tests.lumen import chance
from tests.lumen.bench import default_kit, default_policy, item, reference_cases, tube
from tests.quality.whole_catalogue import catalogue, catalogues

POLICY, KIT = default_policy(), default_kit()
VOLUMES = [case for case in reference_cases("lumen_geometry.json") if case["id"].startswith("vol-")]


@pytest.mark.parametrize("case", VOLUMES, ids=[case["id"] for case in VOLUMES])
def test_the_wall_of_a_straight_tube_is_four_of_its_volumes_over_its_bore(case: dict[str, Any]) -> None:
    """Volumes of tests/reference/lumen_geometry.json (source: geometry): 4 V / d = pi d L, V in mm3, d and L in mm."""
    bore, length = case["inputs"]["id_mm"], case["inputs"]["length_mm"]
    found = never_seen(catalogue(item(tube(str(bore), str(length)))), POLICY, KIT)
    within = 4 * 1000 * case["tolerance"]["abs"] / bore
    assert float(found.whole.wall_mm2) == pytest.approx(4 * 1000 * case["expected"]["volume_mL"] / bore, abs=within)
    assert float(found.whole.wall_mm2) == pytest.approx(math.pi * bore * length, rel=1e-14)


def test_each_kind_of_item_has_its_share_and_the_least_seen_stands_first() -> None:
    """6 x 100 mm is all seen by light, 0.9 x 1000 mm by nothing: walls of 600 pi and 900 pi mm2."""
    wide, fine = item(tube("6.0", "100"), code="A1"), item(tube("0.9", "1000", air=50), code="A2")
    found = never_seen(catalogue(wide, replace(fine, type="eye_cannula")), POLICY, KIT)
    shares = [(row.type, f"{row.seen:.3f}", f"{row.touched:.3f}") for row in found.by_type]
    assert shares == [("eye_cannula", "0.000", "0.000"), ("fine_suction", "1.000", "1.000")]
    assert float(found.whole.seen or 0) == pytest.approx(600 / 1500, rel=1e-14)


def test_a_piece_packed_oftener_weighs_more_and_every_piece_of_the_tray_counts() -> None:
    """Packed 3 times a week, two pieces in the tray: 6 x 900 pi unseen against 600 pi seen once a week."""
    wide, fine = item(tube("6.0", "100"), code="A1"), item(tube("0.9", "1000", air=50), code="A2", qty=2)
    found = never_seen(catalogue(wide, fine), POLICY, KIT, times_a_week={"T1": Decimal(1), "A2": Decimal(3)})
    assert float(found.whole.seen or 0) == pytest.approx(600 / (600 + 6 * 900), rel=1e-14)
    (row,) = found.not_seen
    assert (row.item, row.lumen, row.pieces, row.not_seen_mm) == ("A2", "bore", Decimal(6), Decimal(1000))
    assert float(row.unseen_a_week_mm2) == pytest.approx(6 * 900 * math.pi, rel=1e-14)
    assert found.weighed == "Weighed by how often each tray was packed."


def test_without_packing_figures_every_tray_counts_once_and_it_is_said() -> None:
    both = catalogue(T1=(item(tube(), code="A1"),), T2=(item(tube(), code="A2"),))
    assert never_seen(both, POLICY, KIT).weighed == "No packing figures: every tray counts as packed once a week."
    some = never_seen(both, POLICY, KIT, times_a_week={"T1": Decimal(5)})
    assert some.weighed == "No packing figure, so counted as packed once a week: T2."
    assert some.whole.pieces == 6


def test_a_spare_counts_only_with_a_figure_of_its_own() -> None:
    with_spare = replace(catalogue(item(tube())), spares={"X1": item(tube(), code="X1")})
    assert never_seen(with_spare, POLICY, KIT).whole.pieces == 1
    assert never_seen(with_spare, POLICY, KIT, times_a_week={"X1": Decimal(4)}).whole.pieces == 5


@pytest.mark.parametrize(
    ("figures", "words"),
    [({"T9": Decimal(1)}, "T9 is neither a tray nor an item"), ({"T1": Decimal(-1)}, "T1 cannot be packed -1 times")],
)
def test_a_packing_figure_that_cannot_be_is_named(figures: dict[str, Decimal], words: str) -> None:
    with pytest.raises(PackingFault, match=words):
        packed(catalogue(item(tube())), figures)


def test_each_lumen_not_seen_has_the_reason_that_its_plan_gives() -> None:
    """Reasons as design and policy have them: no scope fits, part out of reach, forbidden, tiny, filled, not known."""
    rows = {
        "curved": tube("2.0", "200", Feature.CURVED),
        "long": tube("3.0", "1000"),
        "forbidden": tube("2.0", "30", open=Opening.ONE, forbid=[Check.SCOPE]),
        "tiny": tube("0.8", "100", air=100),
        "rod": tube("3.0", "300", Feature.FILLED, air=100),
        "typical": tube(learnt=Learnt.TYPICAL),
        "seen": tube("6.0", "100"),
    }
    items = [item(lumen, code=f"A{n}") for n, lumen in enumerate(rows.values())]
    found = {row.item: row for row in never_seen(catalogue(*items), POLICY, KIT).not_seen}
    because = {
        name: tuple(f"{check}: {why}" for check, why in found[f"A{n}"].because)
        for n, name in enumerate(rows)
        if f"A{n}" in found
    }
    assert because == {
        "curved": ("scope: left out: no scope at this bench fits (thinnest that bends is 1.9 mm, limit 1.8 mm)",),
        "long": (
            "scope: middle (3.0 mm): scope, 1.9 mm, limit 2.7 mm; 400 mm from each end is 220 mm short of 1000 mm",
        ),
        "forbidden": ("scope: left out: the IFU forbids it",),
        "tiny": ("air: tiny (0.8 mm): air, at most 100 kPa by the IFU",),
        "rod": ("scope: left out: filled, a rod or cable is in the way",),
        "typical": ("dry: left out: on hold, the size is typical only, not confirmed",),
    }
    assert found["A1"].not_seen_mm == 220
    assert found["A5"].hold == "unknown_lumen"


def test_a_lumen_of_unknown_size_stands_at_the_end_of_the_list_and_in_no_share() -> None:
    found = never_seen(catalogue(item(tube(None), tube("0.8", "50", air=9, name="tap"))), POLICY, KIT)
    assert [(row.lumen, row.unseen_mm2 is None) for row in found.not_seen] == [("tap", False), ("bore", True)]
    assert found.whole.unknown == 1
    nothing = never_seen(catalogue(item(tube(None))), POLICY, KIT).whole
    assert (nothing.seen, nothing.touched, nothing.unknown) == (None, None, 1)


@given(catalogues(), chance.policies(), chance.kits())
def test_with_every_tray_once_the_shares_are_those_of_the_plan_of_all_trays(
    found_in: Catalogue, policy: Policy, kit: Kit
) -> None:
    plans = [plan for tray in found_in.trays.values() for plan in plan_tray(tray.items, policy, kit)]
    wanted, got = planned_share(plans), never_seen(found_in, policy, kit)
    assert (got.whole.seen is None) == (wanted.seen is None)
    assert float(got.whole.seen or 0) == pytest.approx(float(wanted.seen or 0), rel=1e-14)
    assert float(got.whole.touched or 0) == pytest.approx(float(wanted.touched or 0), rel=1e-14)
    listed = {(row.item, row.lumen) for row in got.not_seen}
    named = {(plan.item, its.lumen) for plan in plans for its in plan.lumens if its.not_seen or its.wall_mm2 is None}
    assert named <= listed
    assert listed == named or policy.verify_where == "dirty"
    assert all(row.because for row in got.not_seen)
