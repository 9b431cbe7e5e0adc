"""People as the supervisors changed them at any station: how somebody stands now, and who led when. Pure.

*Disabled* beats *enabled* until a later change, made knowing of it, enables again; so does the role that does not lead.
Between changes of one person clocks do not decide (`kiosk.core.together.seen`). Whether somebody led when they did
something else, only the clocks can say.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from kiosk.core.catalogue import Person
from kiosk.core.state.amendments import Amendments, KeptPerson
from kiosk.core.together.seen import saw, standing
from kiosk.core.vocabulary import Role


def changes_of(person: str, staffs: Iterable[Amendments]) -> list[KeptPerson]:
    """Every change of somebody, at whichever station."""
    return [kept for staff in staffs for kept in staff.people.get(person, ())]


def as_changed(changes: Iterable[KeptPerson]) -> Person:
    """Somebody as changed last; of changes without each other, *disabled* and the role that does not lead count."""
    left = standing(changes)
    follows = [each.person.role for each in left if each.person.role is not Role.SUPERVISOR]
    newest = left[-1].person
    return replace(
        newest,
        disabled=any(each.person.disabled for each in left),
        role=follows[-1] if follows else newest.role,
    )


def leads(person: Person) -> bool:
    """May this person rule?"""
    return person.role is Role.SUPERVISOR and not person.disabled


@dataclass(frozen=True, slots=True, kw_only=True)
class Leads:
    """Who is a supervisor or was one, and when they were none in between: after when, before when (Unix ms)."""

    ever: frozenset[str] = frozenset()
    gaps: Mapping[str, tuple[tuple[int, float], ...]] = field(default_factory=dict)

    def led(self, who: str, at_ms: int) -> bool:
        """Was this a supervisor then?"""
        return who in self.ever and not any(since < at_ms < until for since, until in self.gaps.get(who, ()))


def leading(first: Iterable[str], changes: Iterable[KeptPerson]) -> Leads:
    """Who led when, by these changes; `first` led before any. A gap is from a change that took the lead from somebody
    to the first one that saw it and gave it back; so does every disabling. Whoever is added, or renamed, before they
    lead has none.
    """
    of: dict[str, list[KeptPerson]] = {}
    for each in changes:
        of.setdefault(each.person.id, []).append(each)
    led = frozenset(first)
    gaps = {person: tuple(_gaps(words, person in led)) for person, words in of.items()}
    up = {person for person, words in of.items() if any(leads(each.person) for each in words)}
    return Leads(ever=led | up, gaps=gaps)


def _gaps(words: list[KeptPerson], led: bool) -> Iterable[tuple[int, float]]:
    ups = [each for each in words if leads(each.person)]
    for down in words:
        if down.person.disabled or (not leads(down.person) and (led or any(saw(down, up) for up in ups))):
            yield down.at_ms, min((up.at_ms for up in ups if saw(up, down)), default=float("inf"))
