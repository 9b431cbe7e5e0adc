"""What a shift costs that checks every lumen every time, reckoned by hand for a small tray."""

import pytest

from kiosk.core.catalogue import Item, Tray
from kiosk.core.past.hours import Spread
from kiosk.quality.every_lumen import every_lumen
from kiosk.quality.trips import OpenedTray
from tests.lumen.bench import default_kit, default_policy, tube

POLICY, KIT = default_policy(), default_kit(air_station=True)
WIDE = Item(
    id="C1", name="Cannula", type="trocar_cannula", lumens=(tube("6.0", "100", air=100),), qty=3, function=("valve",)
)
TRAY = Tray(code="TR-0300", name="Ports", items=(WIDE,))
TRAYS = [OpenedTray(trip=f"1-{n:06}", bench="B1", day="2031-03-03", minute=540 + n, tray=TRAY) for n in range(4)]


def spread(seconds: float) -> Spread:
    """A method that takes this long in the middle, half of it at the 25th percentile, twice at the 75th."""
    half, twice = seconds / 2, seconds * 2
    return Spread(n=50, p25_s=half, median_s=seconds, p75_s=twice, p90_s=3 * seconds, mean_s=1.5 * seconds)


SECONDS = {name: spread(each) for name, each in {"dry": 6, "light": 4, "swab": 15, "scope": 30, "look": 99}.items()}


def test_the_minutes_are_those_of_the_checks_of_lumens_a_shift() -> None:
    """Four trays of three wide cannulas in two shifts: dry, light, swab of each; with every check scope and air too."""
    found = every_lumen(TRAYS, POLICY, KIT, SECONDS, 2)
    assert (found.trays, found.lumens, found.shifts) == (4, 12, 2)
    assert found.now_asked == {"dry": 12, "light": 12, "swab": 12}
    assert found.all_asked == {"dry": 12, "light": 12, "swab": 12, "scope": 12, "air": 12}
    assert found.now.middle == pytest.approx(12 * (6 + 4 + 15) / 60 / 2)
    assert (found.now.low, found.now.high) == pytest.approx((found.now.middle / 2, found.now.middle * 2))
    assert found.every.middle == pytest.approx(12 * (6 + 4 + 15 + 30) / 60 / 2)
    assert found.every.mean == pytest.approx(1.5 * found.every.middle)


def test_a_method_never_measured_is_told_and_not_guessed() -> None:
    found = every_lumen(TRAYS, POLICY, KIT, SECONDS, 2)
    assert (found.now.unknown, found.every.unknown) == ({}, {"air": 12})
    nothing = every_lumen(TRAYS, POLICY, KIT, {}, 2)
    assert nothing.now.middle == nothing.now.high == 0
    assert nothing.now.unknown == {"dry": 12, "light": 12, "swab": 12}


def test_the_time_of_checks_of_the_whole_piece_is_not_in_it() -> None:
    without = {name: each for name, each in SECONDS.items() if name != "look"}
    assert every_lumen(TRAYS, POLICY, KIT, SECONDS, 2) == every_lumen(TRAYS, POLICY, KIT, without, 2)


def test_no_tray_in_no_shift_costs_nothing() -> None:
    found = every_lumen([], POLICY, KIT, SECONDS, 0)
    assert (found.trays, found.now.middle, found.every.high) == (0, 0, 0)
