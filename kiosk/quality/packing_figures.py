"""How often each tray is packed, read from the packages that the stations know: the weights of kit study and shares."""

from collections.abc import Iterable
from decimal import Decimal

from kiosk.core.bench import Bench
from kiosk.core.catalogue import Catalogue

WEEK_MS = 7 * 86_400_000
WEEKS = 8
"""So far back packages are counted (a choice); a station that knows fewer weeks counts those."""


def packed_a_week(benches: Iterable[Bench], catalogue: Catalogue, now_ms: int) -> dict[str, Decimal] | None:
    """Packages a week of every tray of the catalogue, over all stations; None where none knows a whole week.

    A package that was opened again, or whose label is void, counts under its new number only; a set in parts once.
    """
    times: dict[str, float] = dict.fromkeys(catalogue.trays, 0.0)
    known = False
    for bench in benches:
        packs = {number: pack for number, pack in bench.packs.items() if pack.at_ms > now_ms - WEEKS * WEEK_MS}
        span = (now_ms - min((pack.at_ms for pack in packs.values()), default=now_ms)) / WEEK_MS
        if span < 1:
            continue
        known = True
        for number, pack in packs.items():
            if number not in bench.void and pack.part < 2 and pack.tray in times:
                times[pack.tray] += 1 / span
    return {code: Decimal(a_week).quantize(Decimal("0.01")) for code, a_week in times.items()} if known else None
