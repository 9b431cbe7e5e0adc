"""Offers: the keys that the parts of the work put on the shared pages, each where it may be touched now."""

from collections.abc import Callable, Iterable

from kiosk.core.glance import Glance
from kiosk.core.views import Key

Offer = Callable[[Glance], Key | None]
"""A key, or None where it does not belong now. On the ruling page `g.turn.subject` is the supervisor."""


def offered(g: Glance, offers: Iterable[Offer]) -> tuple[Key, ...]:
    """The keys that may be touched now, in order."""
    return tuple(key for offer in offers if (key := offer(g)) is not None)
