"""How often each tray is packed, from packages: by hand, as the counting is the department's own."""

from decimal import Decimal

from kiosk.core.state.bench import Bench
from kiosk.core.state.packs import Pack
from kiosk.quality.packing_figures import WEEK_MS, WEEKS, packed_a_week
from tests.core.department import BIG, EAR, PLAIN, desk

NOW = 100 * WEEK_MS
CATALOGUE = desk().catalogue


def pack(tray: str, weeks_ago: float, part: int = 0) -> Pack:
    at_ms = NOW - int(weeks_ago * WEEK_MS)
    return Pack(tray=tray, name=tray, trip="1-000001", at_ms=at_ms, loads=(), part=part, of=2 * bool(part))


def bench(*packs: Pack, void: tuple[str, ...] = ()) -> Bench:
    return Bench(packs={str(n): each for n, each in enumerate(packs)}, void=dict.fromkeys(void, "opened"))


def figures(*benches: Bench) -> dict[str, Decimal]:
    found = packed_a_week(benches, CATALOGUE, NOW)
    assert found is not None
    assert found.keys() == CATALOGUE.trays.keys()
    return {code: times for code, times in found.items() if times}


def test_packages_of_all_stations_count_each_over_the_weeks_that_its_station_packs() -> None:
    two_weeks = bench(pack(PLAIN, 2), pack(EAR, 1), pack(PLAIN, 0.5))
    four_weeks = bench(pack(EAR, 4), pack(EAR, 3), pack(EAR, 2), pack(BIG, 1))
    assert figures(two_weeks, four_weeks) == {EAR: Decimal("1.00"), PLAIN: Decimal("0.50"), BIG: Decimal("0.25")}


def test_a_station_that_packs_for_long_counts_the_last_weeks_and_what_is_far_apart_is_rare() -> None:
    assert figures(bench(*(pack(EAR, weeks) for weeks in (50, 40, 30, 1.01)))) == {
        EAR: (1 / Decimal(WEEKS)).quantize(Decimal("0.01"))
    }
    assert figures(bench(pack(EAR, WEEKS + 1), pack(BIG, WEEKS + 2))) == {}


def test_a_set_in_parts_counts_once_and_a_void_label_not_at_all() -> None:
    packs = (pack(PLAIN, 1), pack(BIG, 0.5, 1), pack(BIG, 0.5, 2), pack(EAR, 0.5), pack(EAR, 0.5))
    assert figures(bench(*packs, void=("3",))) == {BIG: Decimal("1.00"), EAR: Decimal("1.00")}


def test_what_is_no_tray_of_the_catalogue_or_dated_after_now_is_left_out() -> None:
    assert figures(bench(pack(PLAIN, 2), pack("LOAN-1", 1), pack(EAR, 1), pack(EAR, -1))) == {EAR: Decimal("0.50")}


def test_less_than_a_week_of_packing_is_no_figure() -> None:
    assert packed_a_week([bench(pack(EAR, 0.9)), Bench()], CATALOGUE, NOW) is None
