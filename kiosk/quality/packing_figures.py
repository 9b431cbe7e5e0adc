"""How often each tray is packed, read from the packages that the stations know: the weights of kit study and shares."""

from collections.abc import Iterable
from decimal import Decimal

from kiosk.core.catalogue import Catalogue
from kiosk.core.state.bench import Bench

WEEK_MS = 7 * 86_400_000
WEEKS = 8
"""So far back packages are counted (a choice); a station that packs since later counts from its first package on."""


def packed_a_week(benches: Iterable[Bench], catalogue: Catalogue, now_ms: int) -> dict[str, Decimal] | None:
    """Packages a week of every tray of the catalogue, over all stations; None where none knows a whole week.

    A package that was opened again, or whose label is void, counts under its new number only; a set in parts once.
    """
    times: dict[str, float] = dict.fromkeys(catalogue.trays, 0.0)
    known = False
    for bench in benches:
        oldest = min((pack.at_ms for pack in bench.packs.values()), default=now_ms)
        since = max(oldest, now_ms - WEEKS * WEEK_MS)
        weeks = (now_ms - since) / WEEK_MS
        if weeks < 1:
            continue
        known = True
        for number, pack in bench.packs.items():
            good = number not in bench.void and pack.part < 2 and pack.tray in times
            if good and since < pack.at_ms <= now_ms:  # the first one only begins the time that is counted
                times[pack.tray] += 1 / weeks
    return {code: Decimal(a_week).quantize(Decimal("0.01")) for code, a_week in times.items()} if known else None
