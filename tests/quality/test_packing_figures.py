"""How often each tray is packed, from packages: by hand, as the counting is the department's own."""

from decimal import Decimal

from kiosk.core.bench import Bench
from kiosk.core.packs import Pack
from kiosk.quality.packing_figures import WEEK_MS, WEEKS, packed_a_week
from tests.core.department import BIG, EAR, PLAIN, desk

NOW = 100 * WEEK_MS
CATALOGUE = desk().catalogue


def pack(tray: str, weeks_ago: float, part: int = 0) -> Pack:
    at_ms = NOW - int(weeks_ago * WEEK_MS)
    return Pack(tray=tray, name=tray, trip="1-000001", at_ms=at_ms, loads=(), part=part, of=2 * bool(part))


def bench(*packs: Pack, void: tuple[str, ...] = ()) -> Bench:
    return Bench(packs={str(n): each for n, each in enumerate(packs)}, void=dict.fromkeys(void, "opened"))


def test_packages_of_all_stations_count_each_over_the_weeks_that_its_station_knows() -> None:
    two_weeks = bench(pack(EAR, 2), pack(EAR, 1), pack(PLAIN, 0.5))
    four_weeks = bench(pack(EAR, 4), pack(BIG, 1))
    figures = packed_a_week((two_weeks, four_weeks), CATALOGUE, NOW)
    assert figures is not None
    assert {code: times for code, times in figures.items() if times} == {
        EAR: Decimal("1.25"), PLAIN: Decimal("0.50"), BIG: Decimal("0.25"),
    }  # fmt: skip
    assert figures.keys() == CATALOGUE.trays.keys()


def test_a_set_in_parts_counts_once_and_a_void_label_not_at_all() -> None:
    figures = packed_a_week(
        [bench(pack(BIG, 1, 1), pack(BIG, 1, 2), pack(EAR, 1), pack(EAR, 1), void=("2",))], CATALOGUE, NOW
    )
    assert figures is not None
    assert (figures[BIG], figures[EAR]) == (Decimal("1.00"), Decimal("1.00"))


def test_what_is_older_than_the_weeks_counted_or_no_tray_of_the_catalogue_is_left_out() -> None:
    figures = packed_a_week([bench(pack(EAR, WEEKS + 1), pack("LOAN-1", 2), pack(EAR, 2))], CATALOGUE, NOW)
    assert figures is not None
    assert figures[EAR] == Decimal("0.50")
    assert "LOAN-1" not in figures


def test_less_than_a_week_of_packing_is_no_figure() -> None:
    assert packed_a_week([bench(pack(EAR, 0.9)), Bench()], CATALOGUE, NOW) is None
