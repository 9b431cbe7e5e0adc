"""What another station kept under the name of somebody whose role does not allow it: kept, flagged, and not obeyed.

At the station itself the table of roles refuses it, as far as that station knew. Here every change is looked at once
more, with what all stations said: people, numbers, day badges, records and policies change only by a supervisor who was
one then.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import TypeVar

from kiosk.core.amendments import Amendments, KeptPerson, KeptRecord
from kiosk.core.catalogue import Person
from kiosk.core.changed_people import Leads, leading, leads
from kiosk.core.vocabulary import Role

C = TypeVar("C", KeptPerson, KeptRecord)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unheeded:
    """A change that does not count here: at which station, of what, about whom or what, by whom, when (Unix ms)."""

    station: str
    what: str  # person, pin, badge, record, policy
    about: str
    by: str
    at_ms: int


def heeded(
    people: Mapping[str, Person], own: Amendments, others: Mapping[str, Amendments]
) -> tuple[list[Amendments], tuple[Unheeded, ...], Leads]:
    """What counts of this station's changes and of the others', in order; what does not count; who led when."""
    now, infection = _leads(people, own, others)
    out, flagged = [], []
    for station, staff in {"": own, **others}.items():
        against = list(_against(station, staff, now, infection))
        flagged += [one for one, _ in against]
        marks = {mark for _, mark in against}
        out.append(_without(staff, marks) if marks else staff)
    return out, tuple(flagged), now


def _leads(
    people: Mapping[str, Person], own: Amendments, others: Mapping[str, Amendments]
) -> tuple[Leads, frozenset[str]]:
    """Who led when, and who answers for infection prevention: as loaded here, and as supervisors changed it since."""
    every = sorted((kept for one in (own, *others.values()) for each in one.people.values() for kept in each), key=_at)
    first = {one.id for one in people.values() if leads(one)} | set(_allowed_here(own))
    if not first:  # nobody leads here: the department began at another station, the earliest one counts
        first = {min((staff.begun for staff in others.values() if staff.begun[0]), default=("", 0), key=_when)[0]}
    now = Leads(ever=frozenset(first - {""}))
    ever: frozenset[str] | None = None
    counted: list[KeptPerson] = []
    while ever != now.ever:  # whoever was made a supervisor may have made others; the clock of their station is its own
        ever, counted = now.ever, []
        for each in every:
            if leading(ever, (one for one in counted if one.person.id == each.by)).led(each.by, each.at_ms):
                counted.append(each)
        now = leading(ever, counted)
    known = (*people.values(), *(each.person for each in counted))
    return now, frozenset(one.id for one in known if one.role is Role.INFECTION_PREVENTION)


def _allowed_here(own: Amendments) -> Iterator[str]:
    """Whoever changed something here: this station's own table of roles let them, as far as it knew then."""
    yield from (kept.by for changes in own.people.values() for kept in changes)
    yield from (kept.by for changes in own.records.values() for kept in changes)
    yield from (signed.manager for signed in own.policies)


def _when(begun: tuple[str, int]) -> int:
    return begun[1]


def _at(each: KeptPerson) -> int:
    return each.at_ms


def _against(station: str, staff: Amendments, now: Leads, infection: frozenset[str]) -> Iterator[tuple[Unheeded, str]]:
    """What does not count of a station, each with its mark: of people and records the change's own."""

    def told(what: str, about: str, by: str, at_ms: int, mark: str) -> Iterator[tuple[Unheeded, str]]:
        if not now.led(by, at_ms):
            yield Unheeded(station=station, what=what, about=about, by=by, at_ms=at_ms), f"{what} {mark}"

    for code, changes in staff.people.items():
        for kept in changes:
            yield from told("person", code, kept.by, kept.at_ms, kept.mark)
    for code, pin in staff.pins.items():
        if pin.by != code:  # one's own number is one's own
            yield from told("pin", code, pin.by, pin.at_ms, code)
    for code, lent in staff.lent.items():
        yield from told("badge", code, lent.by, lent.at_ms, code)
    for name, records in staff.records.items():
        for record in records:
            yield from told("record", name, record.by, record.at_ms, record.mark)
    for signed in staff.policies:
        about, by = str(signed.version), signed.manager
        if signed.infection_prevention not in infection:
            yield Unheeded(station=station, what="policy", about=about, by=by, at_ms=signed.at_ms), f"policy {about}"
        else:
            yield from told("policy", about, by, signed.at_ms, about)


def _without(staff: Amendments, marks: set[str]) -> Amendments:
    def left(what: str, changes: tuple[C, ...]) -> tuple[C, ...]:
        return tuple(one for one in changes if f"{what} {one.mark}" not in marks)

    people = {code: left("person", changes) for code, changes in staff.people.items()}
    records = {name: left("record", changes) for name, changes in staff.records.items()}
    return replace(
        staff,
        people={code: changes for code, changes in people.items() if changes},
        pins={code: one for code, one in staff.pins.items() if f"pin {code}" not in marks},
        lent={code: one for code, one in staff.lent.items() if f"badge {code}" not in marks},
        records={name: changes for name, changes in records.items() if changes},
        policies=tuple(one for one in staff.policies if f"policy {one.version}" not in marks),
    )
