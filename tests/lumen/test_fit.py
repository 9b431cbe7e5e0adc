"""Which tools fit, and how far they reach, at the very edges."""

from decimal import Decimal

import pytest

from kiosk.core.catalogue import Scope, Swabs
from kiosk.core.vocabulary import Feature, Opening
from kiosk.lumen import fit
from tests.lumen.bench import default_kit, tube

RATIO, OVERLAP = Decimal("0.9"), Decimal(20)
SWABS = Swabs(heads_mm=(Decimal("1.2"), Decimal("1.6"), Decimal("2.0")), reach_mm=Decimal(350), max_over=Decimal("1.5"))


def _scope(name: str, od: str = "1.0", reach: int = 400, *, bends: bool = True) -> Scope:
    return Scope(id=name, od_mm=Decimal(od), reach_mm=Decimal(reach), bends=bends)


def _best(
    *scopes: Scope, bore: str = "2.6", length: int = 300, curved: bool = False, blind: bool = False
) -> str | None:
    found = fit.best_scope(
        scopes, Decimal(bore), Decimal(length), curved=curved, blind=blind, fit_ratio=RATIO, overlap_mm=OVERLAP
    )
    return None if found is None else f"{found.scope.id} {found.reach.ends} {found.reach.short_mm}"


@pytest.mark.parametrize(
    ("bore", "head"),
    [("1.2", "1.2"), ("1.21", "1.6"), ("0.8", "1.2"), ("0.79", None), ("2.0", "2.0"), ("2.01", None)],
)
def test_the_head_is_the_smallest_not_thinner_than_the_bore(bore: str, head: str | None) -> None:
    assert fit.swab_head(SWABS, Decimal(bore)) == (None if head is None else Decimal(head))


@pytest.mark.parametrize(
    ("length", "blind", "ends", "short"),
    [
        (350, False, "one end", 0),
        (351, False, "both ends", 0),
        (680, False, "both ends", 0),
        (681, False, "part", 1),
        (350, True, "one end", 0),
        (351, True, "part", 1),
    ],
)
def test_a_stem_reaches_all_both_ends_or_part(length: int, blind: bool, ends: str, short: int) -> None:
    reach = fit.reach(Decimal(350), Decimal(length), blind=blind, overlap_mm=OVERLAP)
    assert f"{reach.ends} {reach.short_mm}" == f"{ends} {short}"


def test_a_stem_far_too_short_misses_no_more_than_the_lumen() -> None:
    reach = fit.reach(Decimal(5), Decimal(100), blind=False, overlap_mm=OVERLAP)
    assert reach.short_mm == 110
    assert reach.missed_mm(Decimal(100)) == 100


def test_a_scope_fits_up_to_nine_tenths_of_the_bore() -> None:
    assert _best(_scope("edge", "1.08"), bore="1.2") == "edge one end 0"
    assert _best(_scope("over", "1.081"), bore="1.2") is None


def test_a_curved_lumen_needs_a_scope_that_bends() -> None:
    assert _best(_scope("stiff", bends=False), curved=True) is None
    assert _best(_scope("stiff", bends=False), _scope("soft"), curved=True) == "soft one end 0"


def test_the_scope_that_reaches_best_is_taken_then_the_order_of_the_kit() -> None:
    full, both, part, less = (
        _scope(name, reach=reach) for name, reach in (("f", 300), ("b", 160), ("p", 100), ("l", 90))
    )
    assert _best(part, both, full) == "f one end 0"
    assert _best(part, both) == "b both ends 0"
    assert _best(less, part) == "p part 120"
    assert _best(_scope("first"), _scope("second")) == "first one end 0"


def test_a_scope_taken_out_of_use_is_not_offered() -> None:
    assert [scope.id for scope in fit.scopes_in_use(default_kit(), {"SC-1"})] == ["SC-2"]


def test_a_blind_record_is_believed_over_open_both() -> None:
    assert fit.is_blind(tube("3", "100", Feature.BLIND))
    assert fit.is_blind(tube("3", "100", open=Opening.ONE))
    assert not fit.is_blind(tube("3", "100"))
