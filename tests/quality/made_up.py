"""Some weeks of an invented bench, made up from a seed: the looks as they were, and the log that tells of them."""

import random
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal

from kiosk import resources
from kiosk.core import events as e
from kiosk.core.catalogue import Kit, Scope, Swabs
from kiosk.core.events import Event
from kiosk.core.past.figures import GROUPS
from kiosk.core.place import Place
from kiosk.core.stamp import Kept
from kiosk.lumen.planner import plan_tray
from tests.store.shift import kept
from tests.store.test_facts import TRAY

KIT = Kit(
    scopes=tuple(Scope(id=name, od_mm=Decimal("1.9"), reach_mm=Decimal(600), bends=True) for name in ("SC-1", "SC-2")),
    swabs=Swabs(heads_mm=(Decimal(2), Decimal(3)), reach_mm=Decimal(400), max_over=Decimal("1.2")),
)
SHIFTS = {"day": ("07:00", "15:00"), "late": ("15:00", "23:00"), "night": ("23:00", "07:00")}
FIRST, LAST = date(2031, 3, 3), date(2031, 4, 10)
SINCE, UNTIL = date(2031, 3, 5), date(2031, 4, 3)
OFFSET_MIN = -300
TYPES = ("suction_tube", "trocar_cannula", "shaver_blade")
CODES = {"tissue": "soil", "bristle": "foreign", "clear_drops": "wet", "crack": "damage", "unsure": "check"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """A lumen looked at, as it was made up: when, of what, with what, and what was found that stands."""

    trip: str
    piece: str
    at_ms: int
    type: str
    load: str
    answers: tuple[tuple[str, str, str, int], ...]  # method, tool, lot, yes
    found: tuple[tuple[str, str, float | None], ...]  # code, group, share of the length


def made_up(trips: int = 420, types: tuple[str, ...] = TYPES) -> tuple[list[Look], list[Kept]]:
    """So many trips from FIRST to LAST: their looks, and their log."""
    chance = random.Random(20310303)
    begins = datetime(FIRST.year, FIRST.month, FIRST.day, tzinfo=UTC).timestamp() * 1000
    span = (LAST - FIRST).days * 86_400_000
    log: list[Kept] = []
    looks: list[Look] = []
    lot = ""
    for n, at in enumerate(sorted(chance.randrange(span) for _ in range(trips))):
        at_ms = int(begins) + at
        if n % 90 == 5:
            lot = f"SW-{n}"
            log.append(_stamped(e.SwabLotOpened(lot=lot), at_ms, None))
        log += _trip(chance, n, at_ms + 1000, lot, looks, types)
    return looks, log


def _stamped(event: Event, at_ms: int, trip: str | None) -> Kept:
    one = kept(event, at_ms, trip=trip)
    return replace(one, stamp=replace(one.stamp, offset_min=OFFSET_MIN))


def _trip(
    chance: random.Random, n: int, at_ms: int, lot: str, looks: list[Look], types: tuple[str, ...]
) -> Iterator[Kept]:
    trip, kind = f"T-{n}", chance.choice(types)
    tray = replace(TRAY, items=tuple(replace(item, type=kind) for item in TRAY.items))
    load = f"W-{n // 3}" if chance.random() < 0.9 else None
    yield _stamped(e.TrayOpened(tray=tray, load=load), at_ms, trip)
    yield _stamped(e.PlanShown(plans=plan_tray(tray.items, resources.policy({}), KIT)), at_ms, trip)
    number = 0
    for piece in ("E1#1", "E1#2"):
        begun = at_ms + chance.randrange(1000, 900_000)
        answers: list[tuple[str, str, str, int]] = []
        found: list[tuple[str, str, float | None]] = []
        for method, tool in (("dry", ""), ("swab", "2.0 mm"), ("scope", chance.choice(("SC-1", "SC-2")))):
            at = begun + 1000 * len(answers)
            mood = chance.random()
            yes = 1 if mood < 0.9 else 0 if mood < 0.97 else -1
            answers.append((method, tool, lot if method == "swab" else "", yes))
            words = {"piece": piece, "key": f"bore.{method}", "took_ms": 4000, "tool": tool}
            event = e.CheckYes(**words) if yes == 1 else e.CheckNo(**words, unsure=yes == -1)  # type: ignore[arg-type]
            yield _stamped(event, at, trip)
            if yes == 1:
                continue
            number += 1
            code = "unsure" if yes == -1 else chance.choice([code for code in CODES if code != "unsure"])
            at_mm = chance.choice((None, chance.randrange(181)))
            place = Place(lumen="bore", at_mm=at_mm)
            words = {"n": number, "piece": piece, "key": f"bore.{method}", "code": code, "group": CODES[code]}
            yield _stamped(e.Found(**words, place=place), at + 500, trip)  # type: ignore[arg-type]
            if chance.random() < 0.2:
                yield _stamped(e.FindingWithdrawn(n=number), at + 700, trip)
            elif CODES[code] in GROUPS:
                found.append((code, CODES[code], None if at_mm is None else at_mm / 180))
        looks.append(
            Look(
                trip=trip,
                piece=piece,
                at_ms=begun,
                type=kind,
                load=load or "",
                answers=tuple(answers),
                found=tuple(found),
            )
        )
