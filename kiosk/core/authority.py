"""What another station kept under the name of somebody whose role does not allow it: kept, flagged, and not obeyed.

At the station itself the table of roles refuses it. Here an event is looked at that a station carried in: people,
numbers, day badges, records and policies change only by a supervisor who was one then.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from kiosk.core.amendments import Amendments, KeptPerson
from kiosk.core.catalogue import Person
from kiosk.core.vocabulary import Role

ALWAYS = 2**63


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
) -> tuple[list[Amendments], tuple[Unheeded, ...], Mapping[str, int]]:
    """This station's changes and what counts of the others', by station; what does not count; who led until when."""
    leads = _Leads(people, own, others)
    out, flagged = [own], []
    for station, staff in others.items():
        against = list(_against(station, staff, leads))
        flagged += against
        names = {(one.what, one.about) for one in against}
        out.append(_without(staff, names) if names else staff)
    return out, tuple(flagged), leads.until


class _Leads:
    """Who is a supervisor, and until when: as loaded here, and as supervisors changed it since, wherever they did."""

    def __init__(self, people: Mapping[str, Person], own: Amendments, others: Mapping[str, Amendments]) -> None:
        self.until = {one.id: ALWAYS for one in people.values() if _leads(one)}
        self.infection = {one.id for one in people.values() if one.role is Role.INFECTION_PREVENTION}
        self._take(own.people.values())
        if not self.until:  # nobody leads here: the department began at another station, the earliest one counts
            begun = min((staff.begun for staff in others.values() if staff.begun[0]), default=("", 0), key=_when)
            self.until |= {begun[0]: ALWAYS} if begun[0] else {}
        kept = sorted((each for staff in others.values() for each in staff.people.values()), key=_at)
        before = -1
        while before != len(self.until):
            before = len(self.until)
            self._take(each for each in kept if self.led(each.by, each.at_ms))

    def _take(self, kept: Iterable[KeptPerson]) -> None:
        for each in kept:
            if _leads(each.person):
                self.until.setdefault(each.person.id, ALWAYS)
            elif each.person.id in self.until:
                self.until[each.person.id] = min(self.until[each.person.id], each.at_ms)
            if each.person.role is Role.INFECTION_PREVENTION:
                self.infection.add(each.person.id)

    def led(self, who: str, at_ms: int) -> bool:
        """Was this a supervisor then?"""
        return at_ms <= self.until.get(who, -1)


def _leads(person: Person) -> bool:
    return person.role is Role.SUPERVISOR and not person.disabled


def _when(begun: tuple[str, int]) -> int:
    return begun[1]


def _at(each: KeptPerson) -> int:
    return each.at_ms


def _against(station: str, staff: Amendments, leads: _Leads) -> Iterator[Unheeded]:
    def told(what: str, about: str, by: str, at_ms: int) -> Iterator[Unheeded]:
        if not leads.led(by, at_ms):
            yield Unheeded(station=station, what=what, about=about, by=by, at_ms=at_ms)

    for code, kept in staff.people.items():
        yield from told("person", code, kept.by, kept.at_ms)
    for code, pin in staff.pins.items():
        if pin.by != code:  # one's own number is one's own
            yield from told("pin", code, pin.by, pin.at_ms)
    for code, lent in staff.lent.items():
        yield from told("badge", code, lent.by, lent.at_ms)
    for name, record in staff.records.items():
        yield from told("record", name, record.by, record.at_ms)
    for signed in staff.policies:
        if signed.infection_prevention not in leads.infection or not leads.led(signed.manager, signed.at_ms):
            yield Unheeded(
                station=station, what="policy", about=str(signed.version), by=signed.manager, at_ms=signed.at_ms
            )


def _without(staff: Amendments, names: set[tuple[str, str]]) -> Amendments:
    return replace(
        staff,
        people={code: one for code, one in staff.people.items() if ("person", code) not in names},
        pins={code: one for code, one in staff.pins.items() if ("pin", code) not in names},
        lent={code: one for code, one in staff.lent.items() if ("badge", code) not in names},
        records={name: one for name, one in staff.records.items() if ("record", name) not in names},
        policies=tuple(one for one in staff.policies if ("policy", str(one.version)) not in names),
    )
