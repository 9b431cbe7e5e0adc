"""Wrong PINs: the wait after them, by badge and by kiosk, and where a badge is stopped until a supervisor says so.

First aid asks for no PIN, whoever is signed in works on, and a colleague who types their own number is never held by
another's wrong ones. Everything is read from the log, so that a restart forgives nothing.
"""

from collections.abc import Iterable
from dataclasses import replace

from kiosk.core.state.bench import Bench

TRIES = 5
"""Wrong PINs of a badge in a row before there is a wait (a choice, no published figure for a bench)."""

WAIT_S, LONGEST_WAIT_S = 30, 15 * 60
"""The wait doubles with each further one."""

STOP_AFTER = 20
"""Wrong PINs of a badge in a row, over all stations, after which only a supervisor lets it try again.

NIST SP 800-63B section 5.2.2 allows no more than 100; twenty is a choice: four hours of waits at one kiosk.
"""

AT_KIOSK = 10
"""Wrong PINs at one kiosk, of whatever badges, before it makes those wait who typed wrong here more than once."""

FREE = 2
"""So many wrong ones of their own nobody waits for whatever others did: a colleague gets in through a spoiled row."""

REMEMBERED_MS = 12 * 3_600_000
"""How long a kiosk counts a badge's wrong ones among its own: a long shift."""


def forgiven(bench: Bench, person: str, at_ms: int) -> Bench:
    """A row of wrong PINs has ended: a right one, a new PIN, a supervisor's word."""
    return replace(bench, refused={**bench.refused, person: 0}, forgiven_ms={**bench.forgiven_ms, person: at_ms})


def wait_ms(bench: Bench, person: str, at_ms: int) -> int:
    """How long this person's PIN is not taken yet. A clock that was set back makes nobody wait longer."""
    own = bench.refused.get(person, 0)
    wait = _left(own - TRIES, bench.refused_ms.get(person, 0), at_ms)
    if own < FREE:
        return wait
    recent = {
        who: bench.refused_ms.get(who, 0)
        for who, times in bench.refused.items()
        if times and 0 <= at_ms - bench.refused_ms.get(who, 0) < REMEMBERED_MS
    }
    here = sum(bench.refused[who] for who in recent)
    return max(wait, _left(here - AT_KIOSK, max(recent.values(), default=0), at_ms))


def _left(over: int, since_ms: int, at_ms: int) -> int:
    if over < 0:
        return 0
    wait: int = min(WAIT_S * 2 ** min(over, 10), LONGEST_WAIT_S) * 1000
    left = since_ms + wait - at_ms
    return left if 0 < left <= wait else 0


def wrong(bench: Bench, others: Iterable[Bench], person: str) -> int:
    """Wrong PINs of this person in a row, at this station and at those that it hears.

    Where the row ended at the station itself, its log says so, whatever its clock did; elsewhere the clocks tell.
    """
    benches = (bench, *others)
    return sum(one.refused.get(person, 0) for one in benches if _since(one, benches, person))


def _since(one: Bench, benches: Iterable[Bench], person: str) -> bool:
    elsewhere = max((other.forgiven_ms.get(person, 0) for other in benches if other is not one), default=0)
    return one.refused_ms.get(person, 0) >= elsewhere


def stopped(bench: Bench, others: Iterable[Bench], person: str) -> bool:
    """Were there so many that only a supervisor helps?"""
    return wrong(bench, others, person) >= STOP_AFTER
