"""The kit study against planning the whole catalogue again, plainly, with each addition and each two of them."""

import math
from dataclasses import replace
from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kiosk.core.catalogue import Catalogue, Kit, Offer, Scope, Swabs
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Feature, Opening
from kiosk.quality.additions import Addition, AirPressure, LongerStem, MoreHead, MoreScope, offered
from kiosk.quality.kit_candidates import candidates
from kiosk.quality.kit_study import Gain, Study, by_price, kit_study, longest_of_each
from kiosk.quality.packed import packed
from kiosk.quality.replan import Replan
from tests.lumen import chance
from tests.lumen.bench import default_kit, default_policy, item, tube
from tests.quality.whole_catalogue import Sums, catalogue, catalogues, kits, opened, planned_whole, weeks

POLICY, KIT = default_policy(), default_kit()
SWABS = Swabs(heads_mm=(Decimal("2.5"),), reach_mm=Decimal(300), max_over=Decimal("1.5"))
CURVED = Feature.CURVED


def _areas(gain: Gain) -> tuple[object, object, object]:
    return float(gain.seen_mm2), float(gain.touched_mm2), float(gain.checked_mm2)


def _worth(before: Sums, after: Sums) -> Decimal:
    return round(after.seen_mm2 - before.seen_mm2 + after.touched_mm2 - before.touched_mm2, 9)


def _area(gain: Gain) -> Decimal:
    return round(gain.area_mm2, 9)


def _best(gains: tuple[Gain, ...]) -> Decimal:
    return _area(gains[0]) if gains else Decimal(0)


def _everything(had: Catalogue, policy: Policy, kit: Kit) -> list[Addition]:
    """Every size that a lumen of the catalogue could ask for, helpful or not; written apart from the product."""
    ways = [lumen for tray in had.trays.values() for one in tray.items for lumen in one.lumens]
    bores = {lumen.inside_mm for lumen in ways if lumen.inside_mm is not None}
    lengths = {lumen.length_mm for lumen in ways if lumen.length_mm is not None}
    reaches = lengths | {(length + policy.overlap_mm) / 2 for length in lengths}
    stem = None if kit.swabs else max(lengths, default=Decimal(1))
    more: list[Addition] = [MoreHead(head_mm=bore, stem_mm=stem) for bore in bores]
    more += [LongerStem(reach_mm=reach) for reach in reaches if kit.swabs]
    more += [AirPressure(item=one.id, name=one.name) for tray in had.trays.values() for one in tray.items]
    for bore in bores:
        for reach in reaches:
            od = policy.scope_fit_ratio * bore
            more += [MoreScope(od_mm=od, reach_mm=reach, bends=bends) for bends in (False, True)]
    return more


# What it says, in examples reckoned by hand: wall = pi x bore x length.


def test_the_scope_that_would_just_fit_a_curved_lumen_is_told_in_words() -> None:
    """2.1 mm curved, 250 mm: at most 0.9 x 2.1 = 1.89 mm; from both ends 135 mm cover 250 with 20 mm overlap."""
    (gain,) = kit_study(catalogue(item(tube("2.1", "250", CURVED))), POLICY, KIT).singles
    assert gain.words == "a scope of at most 1.89 mm that reaches 135 mm and bends"
    assert _areas(gain) == (pytest.approx(math.pi * 2.1 * 250, rel=1e-14), 0, 0)
    assert (gain.lumens, gain.types, gain.holds) == (1, 1, 0)


def test_a_lumen_open_at_one_end_asks_for_a_scope_of_its_whole_length() -> None:
    (gain,) = kit_study(catalogue(item(tube("2.0", "600", open=Opening.ONE))), POLICY, Kit()).singles[:1]
    assert gain.words == "a scope of at most 1.8 mm that reaches 600 mm, straight or not"


def test_a_swab_head_is_told_with_the_thickest_that_will_do() -> None:
    """Bores of 15 and 18 mm: a head of 18 goes into both, for 15 x 1.5 = 22.5 mm is the limit of the narrower one."""
    two = catalogue(item(tube("15", "100"), code="A1"), item(tube("18", "100"), code="A2"))
    best = kit_study(two, POLICY, KIT).singles[0]
    assert best.words == "a swab head of 18.0 mm (up to 22.5 mm will do)"
    assert float(best.touched_mm2) == pytest.approx(math.pi * 3300, rel=1e-14)


def test_a_longer_stem_touches_what_the_bench_reaches_only_in_part() -> None:
    """3 mm open at both ends, 1000 mm: 2 x 350 with 20 mm overlap leave 320; a stem of 510 mm covers all."""
    stem = next(
        gain
        for gain in kit_study(catalogue(item(tube("3.0", "1000"))), POLICY, KIT).singles
        if gain.additions == (LongerStem(reach_mm=Decimal(510)),)
    )
    assert _areas(stem) == (0, pytest.approx(math.pi * 3 * 320, rel=1e-14), 0)
    assert stem.words == "swabs on a stem of 510 mm"


def test_an_air_pressure_sees_and_touches_nothing_and_lets_a_lumen_be_checked() -> None:
    fine = catalogue(item(tube("0.8", "100")))
    (gain,) = kit_study(fine, POLICY, KIT).singles
    assert gain.additions == (AirPressure(item="A1", name="Tube"),)
    assert _areas(gain) == (0, 0, pytest.approx(math.pi * 80, rel=1e-14))
    assert (gain.lumens, gain.frees) == (1, 1)
    assert kit_study(fine, POLICY, replace(KIT, air_station=False)).singles == ()


def test_what_no_tool_opens_is_told_apart_from_what_one_would() -> None:
    """A rod in the way, and a tiny lumen that is asked for air alone: 3 x 100 and 0.8 x 100; a curved one opens."""
    rows = tube("3.0", "100", Feature.FILLED, air=9), tube("0.8", "100", air=9), tube("2.0", "50", CURVED)
    some = catalogue(*(item(lumen, code=f"A{n}") for n, lumen in enumerate(rows)))
    found = kit_study(some, POLICY, KIT)
    assert float(found.unseen_mm2) == pytest.approx(math.pi * 480, rel=1e-14)
    assert float(found.beyond_seen_mm2) == pytest.approx(math.pi * 380, rel=1e-14)
    assert float(found.beyond_touched_mm2) == pytest.approx(math.pi * 380, rel=1e-14)


def test_a_head_and_the_stem_for_it_are_worth_more_than_their_sum() -> None:
    """1.5 mm, 800 mm. The head alone: 2 x 300 less 20 is 580 mm. The stem alone: no head goes in. Both: all 800 mm."""
    bench = Kit(swabs=SWABS, scopes=(Scope(id="SC-1", od_mm=Decimal(1), reach_mm=Decimal(900), bends=True),))
    had = catalogue(item(tube("1.5", "800")))
    found = kit_study(had, POLICY, bench, pairs=True)
    head, stem = MoreHead(head_mm=Decimal("1.5")), LongerStem(reach_mm=Decimal(410))
    assert [gain.additions for gain in found.singles] == [(head,)]
    (pair,) = found.pairs
    assert set(pair.additions) == {head, stem}
    assert float(found.singles[0].touched_mm2) == pytest.approx(math.pi * 1.5 * 580, rel=1e-14)
    assert float(pair.touched_mm2) == pytest.approx(math.pi * 1.5 * 800, rel=1e-14)
    before = planned_whole(had, POLICY, bench)
    assert _area(pair) > sum(_worth(before, planned_whole(had, POLICY, bench, (each,))) for each in (head, stem))


def test_of_stems_that_open_nothing_alone_each_length_is_tried_with_a_head() -> None:
    """1.5 mm, 700 and 800 mm: stems of 360 and 410 mm open nothing without a head; with one, 410 opens all of both."""
    had = catalogue(item(tube("1.5", "700"), code="A1"), item(tube("1.5", "800"), code="A2"))
    bench = Kit(swabs=SWABS, scopes=(Scope(id="SC-1", od_mm=Decimal(1), reach_mm=Decimal(900), bends=True),))
    pairs = kit_study(had, POLICY, bench, pairs=True).pairs
    assert [float(pair.touched_mm2) / math.pi / 1.5 for pair in pairs] == pytest.approx([1500, 1400], rel=1e-13)


def test_lumens_alike_of_two_items_are_opened_by_the_pressure_of_their_own_item_alone() -> None:
    two = catalogue(item(tube("0.8", "100"), code="A1"), item(tube("0.8", "100"), code="A2"))
    gains = kit_study(two, POLICY, KIT).singles
    assert [(gain.additions[0], gain.lumens) for gain in gains] == [
        (AirPressure(item="A1", name="Tube"), 1),
        (AirPressure(item="A2", name="Tube"), 1),
    ]


def test_a_swab_that_reaches_part_only_may_add_a_hold_and_it_is_told() -> None:
    """The one way in which more kit holds a tray: by the plan's rule 14, not seen and swabbed in part is a hold.

    1.5 mm curved, 800 mm, no scope: air alone is asked now, and no hold. With a head, the swab is 220 mm short.
    """
    bench = Kit(swabs=SWABS, air_station=True)
    gains = kit_study(catalogue(item(tube("1.5", "800", CURVED, air=90))), POLICY, bench).singles
    holds = {gain.additions: gain.holds for gain in gains}
    assert holds[MoreHead(head_mm=Decimal("1.5")),] == 1
    assert [h for additions, h in holds.items() if not isinstance(additions[0], MoreHead)] == [0] * (len(holds) - 1)


def test_how_often_a_tray_is_packed_decides_which_scope_is_worth_most() -> None:
    """A thicker scope for the one tray; the thinner one opens both, but by the walls they stand four to one."""
    had = catalogue(T1=(item(tube("2.0", "100", CURVED)),), T2=(item(tube("1.5", "100", CURVED), code="A2"),))
    often = kit_study(had, POLICY, KIT, times_a_week={"T1": Decimal(4), "T2": Decimal(1)})
    assert [float(gain.seen_mm2) / math.pi for gain in often.singles] == pytest.approx([950, 800], rel=1e-13)
    assert often.weighed == "Weighed by how often each tray was packed."


def test_with_prices_the_area_for_each_unit_of_price_is_told() -> None:
    had = catalogue(T1=(item(tube("2.0", "100", CURVED)),), T2=(item(tube("15", "100"), code="A2"),))
    plain = kit_study(had, POLICY, KIT, pairs=True)
    assert all(gain.per_price_mm2 is None for gain in (*plain.singles, *plain.pairs))
    head, scope = plain.singles[0].additions[0], plain.singles[1].additions[0]
    priced = kit_study(had, POLICY, KIT, pairs=True, prices={head: Decimal(10), scope: Decimal(40)})
    assert [float(gain.per_price_mm2 or 0) for gain in priced.singles] == pytest.approx([math.pi * 150, math.pi * 5])
    assert [float(gain.per_price_mm2 or 0) for gain in priced.pairs] == pytest.approx([math.pi * 1700 / 50])


OFFERS = (
    Offer(
        id="Q-1", kind="scope", od_mm=Decimal("1.7"), reach_mm=Decimal(60), bends=True, price=Decimal(40), currency="X"
    ),
    Offer(
        id="Q-2", kind="scope", od_mm=Decimal("1.7"), reach_mm=Decimal(90), bends=True, price=Decimal(50), currency="X"
    ),
    Offer(id="Q-3", kind="head", head_mm=Decimal(16), price=Decimal(10), currency="X"),
    Offer(
        id="Q-4", kind="scope", od_mm=Decimal("2.7"), reach_mm=Decimal(90), bends=True, price=Decimal(1), currency="X"
    ),
)
"""Q-1 and Q-2 go into a bore of 2.0 mm, Q-4 does not; Q-3 goes into one of 15 mm."""


def test_an_offer_is_tried_as_it_is_and_not_as_the_size_that_would_just_do() -> None:
    """2.0 mm curved, 160 mm: from both ends 60 mm each see 100, for 20 overlap; 90 mm each see all.

    By hand: seen pi x 2 x 100 and pi x 2 x 160; touched pi x 15 x 100.
    """
    had = catalogue(T1=(item(tube("2.0", "160", CURVED)),), T2=(item(tube("15", "100"), code="A2"),))
    bench = replace(KIT, offers=OFFERS)
    study = kit_study(had, POLICY, bench, pairs=True, prices=offered(bench))
    best = by_price((*study.singles, *study.pairs))
    told: list[object] = [(gain.price, float(gain.per_price_mm2 or 0) / math.pi) for gain in best]
    assert told == [
        (Decimal(10), pytest.approx(150)),
        (Decimal(50), pytest.approx((1500 + 200) / 50)),
        (Decimal(60), pytest.approx((1500 + 320) / 60)),
        (Decimal(50), pytest.approx(320 / 50)),
        (Decimal(40), pytest.approx(200 / 40)),
    ]
    rows = longest_of_each(study.singles)
    assert len([row for row, _ in rows if row.price is None]) == 2, "the sizes that would just do, without a price"
    assert all(gain.price is None or not shorter for gain, shorter in rows)


def test_without_an_offer_no_price_is_named() -> None:
    assert offered(KIT) == {}
    study = kit_study(catalogue(item(tube("15", "100"))), POLICY, KIT, prices=offered(KIT))
    assert by_price(study.singles) == ()


def test_of_two_offers_of_one_size_the_cheaper_is_the_price_and_a_head_needs_a_stem() -> None:
    dearer = replace(OFFERS[2], id="Q-9", price=Decimal(12))
    assert offered(replace(KIT, offers=(dearer, OFFERS[2]))) == {MoreHead(head_mm=Decimal(16)): Decimal(10)}
    assert offered(Kit(offers=(dearer,))) == {}
    on_stem = replace(dearer, reach_mm=Decimal(300))
    assert offered(Kit(offers=(on_stem,))) == {MoreHead(head_mm=Decimal(16), stem_mm=Decimal(300)): Decimal(12)}


@settings(max_examples=30, deadline=None)
@given(catalogues(), kits(), st.lists(chance.scopes("ANY"), min_size=1, max_size=3), st.data())
def test_an_offer_is_worth_what_planning_the_whole_catalogue_again_with_it_tells(
    had: Catalogue, kit: Kit, scopes: list[Scope], data: st.DataObject
) -> None:
    prices = data.draw(st.lists(st.integers(1, 900), min_size=len(scopes), max_size=len(scopes)))
    bench = replace(
        kit,
        offers=tuple(
            Offer(id=f"Q-{n}", kind="scope", od_mm=one.od_mm, reach_mm=one.reach_mm, bends=one.bends,
                  price=Decimal(price), currency="X")
            for n, (one, price) in enumerate(zip(scopes, prices, strict=True))
        ),
    )  # fmt: skip
    before = planned_whole(had, POLICY, kit)
    study = kit_study(had, POLICY, bench, prices=offered(bench))
    told = {gain.additions: gain for gain in by_price(study.singles)}
    for addition, price in offered(bench).items():
        worth = _worth(before, planned_whole(had, POLICY, kit, (addition,)))
        gain = told.get((addition,))
        assert (_area(gain) if gain else 0) == worth
        assert gain is None or gain.per_price_mm2 == gain.area_mm2 / price


def test_a_bound_that_leaves_something_out_says_so_in_a_sentence() -> None:
    many = catalogue(*(item(tube(f"2.{n}", f"{100 + n}", CURVED), code=f"A{n}") for n in range(8)))
    whole = kit_study(many, POLICY, Kit(swabs=SWABS), pairs=True)
    assert whole.cut == ()
    cut = kit_study(many, POLICY, Kit(swabs=SWABS), pairs=True, most_sizes=3, most_pairs=4)
    assert [sentence.split(",")[0] for sentence in cut.cut] == ["Of scopes", "Of pairs"]
    assert cut.singles[0] == whole.singles[0]
    assert len(cut.pairs) <= 4


def test_of_scopes_of_one_thickness_the_one_that_opens_most_is_listed_with_the_shorter_ones_behind_it() -> None:
    two = catalogue(item(tube("2.0", "100", CURVED), code="A1"), item(tube("2.0", "400", CURVED), code="A2"))
    (row,) = longest_of_each(kit_study(two, POLICY, KIT).singles)
    assert row[0].words == "a scope of at most 1.8 mm that reaches 210 mm and bends"
    assert [gain.words for gain in row[1]] == ["a scope of at most 1.8 mm that reaches 60 mm and bends"]


# What must hold whatever the catalogue, the policy and the kit.


@st.composite
def _studies(draw: st.DrawFn, *, pairs: bool = False) -> tuple[Catalogue, Policy, Kit, dict[str, Decimal], Study]:
    had, policy, kit = draw(catalogues()), draw(st.just(POLICY) | chance.policies()), draw(kits())
    times = draw(weeks(had))
    study = kit_study(had, policy, kit, times_a_week=times, pairs=pairs, most_pairs=10**9, most_sizes=10**9)
    assert study.cut == ()
    return had, policy, kit, times, study


@settings(max_examples=60, deadline=None)
@given(_studies())
def test_what_a_single_addition_opens_is_what_planning_the_whole_catalogue_again_tells(
    given_: tuple[Catalogue, Policy, Kit, dict[str, Decimal], Study],
) -> None:
    had, policy, kit, times, study = given_
    before = planned_whole(had, policy, kit, weeks=times)
    for gain in study.singles:
        after = planned_whole(had, policy, kit, gain.additions, times)
        assert round(gain.seen_mm2, 9) == round(after.seen_mm2 - before.seen_mm2, 9)
        assert round(gain.touched_mm2, 9) == round(after.touched_mm2 - before.touched_mm2, 9)
        assert round(gain.checked_mm2, 9) == round(after.checked_mm2 - before.checked_mm2, 9)
        which = opened(before, after)
        assert gain.lumens == len(which)
        kinds = {one.id: one.type for tray in had.trays.values() for one in tray.items}
        assert gain.types == len({kinds[code] for _, code, _ in which})
        was = {key: its.hold for key, (its, _) in before.lumens.items()}
        now = {key: its.hold for key, (its, _) in after.lumens.items()}
        assert gain.holds == sum(was[key] is None and now[key] is not None for key in was)
        assert gain.frees == sum(was[key] is not None and now[key] is None for key in was)


@settings(max_examples=40, deadline=None)
@given(_studies(), chance.scopes("ANY"))
def test_no_addition_of_any_size_is_worth_more_than_the_best_of_the_study(
    given_: tuple[Catalogue, Policy, Kit, dict[str, Decimal], Study], any_scope: Scope
) -> None:
    had, policy, kit, times, study = given_
    before = planned_whole(had, policy, kit, weeks=times)
    sizes = _everything(had, policy, kit)
    best = max((_worth(before, planned_whole(had, policy, kit, (each,), times)) for each in sizes), default=0)
    assert _best(study.singles) == best
    by_chance = MoreScope(od_mm=any_scope.od_mm, reach_mm=any_scope.reach_mm, bends=any_scope.bends)
    assert _worth(before, planned_whole(had, policy, kit, (by_chance,), times)) <= best


@settings(max_examples=30, deadline=None)
@given(_studies(pairs=True))
def test_the_best_pair_is_the_best_of_all_pairs_planned_plainly_and_none_is_worth_less_than_its_better_half(
    given_: tuple[Catalogue, Policy, Kit, dict[str, Decimal], Study],
) -> None:
    had, policy, kit, times, study = given_
    before = planned_whole(had, policy, kit, weeks=times)
    found = candidates(Replan(packed(had, times), policy, kit), most_sizes=10**9).additions
    alone = {each: _worth(before, planned_whole(had, policy, kit, (each,), times)) for each in found}
    told = {frozenset(gain.additions): gain for gain in study.pairs}
    best = Decimal(0)
    for pair in combinations(found, 2):
        after = planned_whole(had, policy, kit, pair, times)
        worth = _worth(before, after)
        assert worth >= max(alone[each] for each in pair)
        best = max(best, worth)
        if gain := told.get(frozenset(pair)):
            assert _area(gain) == worth
            assert gain.lumens == len(opened(before, after))
    assert max(_best(study.pairs), _best(study.singles)) == max(best, max(alone.values(), default=Decimal(0)))


@settings(max_examples=60, deadline=None)
@given(catalogues(), chance.policies(), kits(), st.data())
def test_more_kit_never_lowers_what_is_seen_touched_or_checked_and_only_a_swab_that_reaches_part_adds_a_hold(
    had: Catalogue, policy: Policy, kit: Kit, data: st.DataObject
) -> None:
    """The known exception: where nobody sees the wall, a swab that goes in and reaches part only makes it a hold."""
    some = st.sampled_from(_everything(had, policy, kit))
    more = data.draw(st.lists(some, min_size=1, max_size=2))
    before, after = planned_whole(had, policy, kit), planned_whole(had, policy, kit, more)
    for key, (was, proven) in before.lumens.items():
        its, proof = after.lumens[key]
        assert (its.seen_mm2 or 0) >= (was.seen_mm2 or 0)
        assert (its.touched_mm2 or 0) >= (was.touched_mm2 or 0)
        assert proof >= proven
        if was.hold is None and its.hold is not None:
            assert its.hold == "cannot_reach"
            assert was.touched_mm2 == 0
            assert any(isinstance(each, MoreHead) for each in more)
