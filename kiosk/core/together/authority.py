"""What was changed under the name of somebody whose role did not allow it: kept, flagged, and not obeyed.

At the station itself the table of roles refuses it, as far as that station knew. Here every change is looked at once
more, with what all stations said: people, numbers, day badges, records and policies change only by a supervisor who was
one then.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, replace
from typing import TypeVar

from kiosk.core.catalogue import Person
from kiosk.core.state.amendments import Amendments, KeptPerson, KeptRecord, SignedPolicy
from kiosk.core.together.changed_people import Leads, as_changed, leading, leads
from kiosk.core.vocabulary import Role

C = TypeVar("C", KeptRecord, SignedPolicy)


@dataclass(frozen=True, slots=True, kw_only=True)
class Unheeded:
    """A change that does not count: at which station ("" this one), about whom or what, by whom, when (Unix ms)."""

    station: str
    what: str  # person, pin, badge, record, policy
    about: str
    by: str
    at_ms: int


def heeded(
    people: Mapping[str, Person], own: Amendments, others: Mapping[str, Amendments]
) -> tuple[list[Amendments], tuple[Unheeded, ...], Leads]:
    """What counts of this station's changes and of the others', in order; what does not count; who led when.

    What does not count is told until somebody changed the same thing later, and that counts.
    """
    now, counted = _leads(people, own, others)
    every = (*people.values(), *(each.person for each in counted))
    infection = frozenset(one.id for one in every if one.role is Role.INFECTION_PREVENTION)
    by_mark = {each.mark: each for each in counted}
    out, flagged = list[Amendments](), list[Unheeded]()
    for station, staff in {"": own, **others}.items():
        against = dict(_against(station, staff, now, infection, by_mark.keys()))
        flagged += against.values()
        same = all(one is by_mark.get(one.mark) for changes in staff.people.values() for one in changes)
        out.append(staff if same and not against else _without(staff, against.keys(), by_mark))
    later = _latest(out)
    told = tuple(one for one in flagged if later.get((one.what, one.about), -1) < one.at_ms)
    return out, told, now


def _latest(staffs: Iterable[Amendments]) -> dict[tuple[str, str], int]:
    """When each thing was changed last, of changes that count: (what, about) -> Unix ms."""
    out: dict[tuple[str, str], int] = {}
    for staff in staffs:
        rows = [("person", code, one.at_ms) for code, every in staff.people.items() for one in every]
        rows += [("pin", code, one.at_ms) for code, pins in staff.pins.items() for one in pins]
        rows += [("badge", code, one.at_ms) for code, one in staff.lent.items()]
        rows += [("record", key, one.at_ms) for key, records in staff.records.items() for one in records]
        rows += [("policy", str(one.version), one.at_ms) for one in staff.policies]
        for what, about, at_ms in rows:
            out[what, about] = max(at_ms, out.get((what, about), 0))
    return out


def _leads(
    people: Mapping[str, Person], own: Amendments, others: Mapping[str, Amendments]
) -> tuple[Leads, list[KeptPerson]]:
    """Who led when, and the changes of people that count: as loaded here, and as supervisors changed it since.

    Whoever a supervisor disabled who led at some time stays disabled, whatever the clocks say of that supervisor, until
    somebody enables them again. Only of two who acted against each other the clocks decide: somebody must still lead.
    """
    every = [kept for one in (own, *others.values()) for changes in one.people.values() for kept in changes]
    every.sort(key=_age)
    unknown = _allowed_here(own) - people.keys() - {kept.person.id for kept in every}
    first = {one.id for one in people.values() if leads(one)} | unknown - {""}
    if not first:  # nobody leads here: the department began here, or at another station, where the earliest one counts
        begun = (staff.begun for staff in others.values() if staff.begun[0])
        first = {own.begun[0] or min(begun, default=("", 0), key=_when)[0]} - {""}
    now, counted = Leads(ever=frozenset(first)), list[KeptPerson]()
    against = {(kept.by, kept.person.id) for kept in every if not leads(kept.person)}
    for _ in range(len(every) + 1):  # whoever was made a supervisor may have made others; their clocks are their own
        ever, of = now.ever, dict[str, list[KeptPerson]]()
        for each in every:
            mine = leading(ever & {each.by}, of.get(each.by, ()))
            if not mine.led(each.by, each.at_ms + 1):
                if not each.person.disabled or each.by not in ever or (each.person.id, each.by) in against:
                    continue
                each = _disabled_alone(each, of.get(each.person.id, ()), people.get(each.person.id))
            of.setdefault(each.person.id, []).append(each)
        counted = [each for changes in of.values() for each in changes]
        now = leading(first, counted)
        if now.ever == ever:
            break
    return now, counted


def _disabled_alone(each: KeptPerson, before: Sequence[KeptPerson], loaded: Person | None) -> KeptPerson:
    """A change of which nothing counts but that it disables."""
    person = as_changed(before) if before else loaded or each.person
    return replace(each, person=replace(person, disabled=True, pin_hash="", day_badge=""))


def _allowed_here(own: Amendments) -> set[str]:
    """Whoever changed something here: this station's own table of roles let them, as far as it knew then.

    It speaks for those whom a newer file of people does not know any more.
    """
    people = {kept.by for changes in own.people.values() for kept in changes}
    records = {kept.by for changes in own.records.values() for kept in changes}
    pins = {pin.by for code, changes in own.pins.items() for pin in changes if pin.by != code}
    lent = {one.by for one in own.lent.values()}
    return people | records | pins | lent | {signed.manager for signed in own.policies}


def _when(begun: tuple[str, int]) -> int:
    return begun[1]


def _age(each: KeptPerson) -> tuple[int, str]:
    return each.at_ms, each.mark


def _against(
    station: str, staff: Amendments, now: Leads, infection: frozenset[str], counted: Set[str]
) -> Iterator[tuple[str, Unheeded]]:
    """What does not count of a station, each under the name of the change."""

    def told(what: str, about: str, by: str, at_ms: int, name: str, counts: bool) -> Iterator[tuple[str, Unheeded]]:
        if not counts:
            yield f"{what} {name}", Unheeded(station=station, what=what, about=about, by=by, at_ms=at_ms)

    for code, changes in staff.people.items():
        for kept in changes:
            yield from told("person", code, kept.by, kept.at_ms, kept.mark, kept.mark in counted)
    for code, pins in staff.pins.items():
        for pin in pins:  # one's own number is one's own
            counts = pin.by == code or now.led(pin.by, pin.at_ms)
            yield from told("pin", code, pin.by, pin.at_ms, f"{code} {pin.pin_hash}", counts)
    for code, lent in staff.lent.items():
        yield from told("badge", code, lent.by, lent.at_ms, code, now.led(lent.by, lent.at_ms))
    for key, records in staff.records.items():
        for record in records:
            counts = now.led(record.by, record.at_ms)
            yield from told("record", key, record.by, record.at_ms, record.mark, counts)
    for signed in staff.policies:
        about, by, at_ms = str(signed.version), signed.manager, signed.at_ms
        counts = signed.infection_prevention in infection and now.led(by, at_ms)
        yield from told("policy", about, by, at_ms, signed.mark, counts)


def _without(staff: Amendments, names: Set[str], people: Mapping[str, KeptPerson]) -> Amendments:
    """What is left of a station's changes, those of people as they count. A badge that does not stands for nobody."""

    def left(what: str, changes: tuple[C, ...]) -> tuple[C, ...]:
        return tuple(one for one in changes if f"{what} {one.mark}" not in names)

    kept = {
        code: tuple(people[one.mark] for one in changes if one.mark in people) for code, changes in staff.people.items()
    }
    records = {key: left("record", changes) for key, changes in staff.records.items()}
    pins = {c: tuple(pin for pin in pins if f"pin {c} {pin.pin_hash}" not in names) for c, pins in staff.pins.items()}
    return replace(
        staff,
        people={code: changes for code, changes in kept.items() if changes},
        pins={code: changes for code, changes in pins.items() if changes},
        lent={code: one for code, one in staff.lent.items() if f"badge {code}" not in names},
        records={key: changes for key, changes in records.items() if changes},
        policies=left("policy", staff.policies),
    )
