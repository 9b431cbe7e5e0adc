"""Four weeks of an invented bench written by seed: trays opened at known hours, each check with its seconds."""

import random
from collections.abc import Iterator
from dataclasses import replace
from datetime import date, timedelta

from kiosk.core import events as e
from kiosk.core.stamp import Kept
from kiosk.core.state.piece import TRAY
from kiosk.core.vocabulary import Check
from tests.quality.small_log import MONDAY, SINUS, at, opening, told

LAST = MONDAY + timedelta(days=27)
TYPES = ("suction_tube", "trocar_cannula", "shaver_blade")
OF_TRAY = (Check.BASKET, Check.OTHERS, Check.ASSEMBLY)
CHECKS = (*(check for check in Check if check not in OF_TRAY), *OF_TRAY)
RARE = Check.LUBRICATE
"""Asked of one tray in ten: too seldom for a time."""

HOURS = ("07:05", "07:20", "09:10", "15:30", "23:15")
"""When trays are opened each day."""

Seconds = dict[tuple[str, str], list[float]]
"""By method and item type."""


def four_weeks(types: tuple[str, ...] = TYPES, days: int = 28) -> tuple[list[Kept], Seconds]:
    """The log, and how long each answer took. One answer a day has no time, and one was interrupted."""
    chance = random.Random(20310303)
    log: list[Kept] = []
    seconds: Seconds = {}
    for day in range(days):
        for n, clock in enumerate(HOURS):
            log += _trip(chance, day, n, clock, types[(day + n) % len(types)], seconds)
    return log, seconds


def _trip(chance: random.Random, day: int, n: int, clock: str, kind: str, seconds: Seconds) -> Iterator[Kept]:
    trip, begun = f"1-{day:03}{n:03}", at(day, clock)
    yield from opening(trip, begun, replace(SINUS, items=tuple(replace(item, type=kind) for item in SINUS.items)))
    for place, check in enumerate(CHECKS):
        if check is RARE and (day * len(HOURS) + n) % 10:
            continue
        whole = check in OF_TRAY
        took = round(chance.lognormvariate(2.0 + 0.1 * place, 0.5), 3)
        left_out = n == 0 and check in {Check.DRY, Check.SWAB}
        ms = round(1000 * took) if not left_out else 0 if check is Check.DRY else 700_000
        key = str(check) if whole or check in {Check.LOOK, Check.FUNCTION} else f"bore.{check}"
        answer = e.CheckYes(piece=TRAY if whole else "E1#1", key=key, took_ms=ms)
        yield told(answer, begun + 20_000 * (place + 1), trip)
        if not left_out:
            seconds.setdefault((str(check), "" if whole else kind), []).append(took)
    if n < 4 or day % 7:
        yield told(e.Packed(number=f"1-P{day}{n}"), begun + (9 + chance.randrange(8)) * 60_000, trip)


def last_days(days: int) -> tuple[date, date]:
    """The span that ends with the log."""
    return LAST - timedelta(days=days - 1), LAST
