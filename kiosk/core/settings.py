"""What a person set for themselves: kept with the person, so that it follows the badge from station to station."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kiosk.core.commands import Page, Turn
from kiosk.core.state.amendments import Chosen
from kiosk.core.state.bench import Bench

CHOICES: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "language": ("en", "es"),
        "yes": ("right", "left"),
        "hand": ("right", "left"),
        "text": ("usual", "larger"),
        "reach": ("usual", "low"),
        "motion": ("usual", "still"),
        "foot": ("none", "yes"),
    }
)
"""Setting -> what may be chosen, the usual one first."""

AT_SIGN_IN = frozenset({"yes", "hand"})
"""Places that a hand knows by heart: they never move within a sign-in, a change holds from the next one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings:
    """How the glass is for whoever stands at it. `language` "": none chosen, that of the house."""

    language: str = ""
    yes: str = "right"
    hand: str = "right"
    text: str = "usual"
    reach: str = "usual"
    motion: str = "usual"
    foot: str = "none"  # yes: the foot key answers YES


def settings_of(person: str | None, benches: Iterable[Bench], signed_in_ms: int | None = None) -> Settings:
    """What this person chose last at any of the stations; sides as they were at the sign-in."""
    if person is None:
        return Settings()
    chosen = sorted((one for bench in benches for one in bench.chosen.get(person, ())), key=_when)
    got = {
        one.key: one.value
        for one in chosen
        if one.value in CHOICES.get(one.key, ())
        and (one.key not in AT_SIGN_IN or signed_in_ms is None or one.at_ms <= signed_in_ms)
    }
    return Settings(**got)


def _when(one: Chosen) -> int:
    return one.at_ms


_OF_ANOTHER = frozenset({Page.PIN, Page.NEW_PIN, Page.SECOND, Page.RULING, Page.RULING_NOTE, Page.SPARE})
"""Pages that speak to somebody else than the person signed in; the last part of their subject is who."""


def at_the_glass(bench: Bench, turn: Turn | None) -> str | None:
    """Who is spoken to: the person signed in, or whoever types a number, rules, or looks as the second person."""
    if turn is not None and turn.page in _OF_ANOTHER:
        return turn.subject.rpartition(":")[2] or bench.who
    return bench.who
