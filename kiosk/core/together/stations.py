"""The stations known here, by name: B1, B2 are benches, D1 is decontam's. Pure."""

from dataclasses import replace

from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.vocabulary import Role


def own_name(desk: Desk) -> str:
    """What this station is called at the others."""
    return f"{'D' if desk.side == 'decontam' else 'B'}{desk.bench_number}"


def every_bench(bench: Bench, desk: Desk) -> tuple[Bench, ...]:
    """This station and what every other one told, as it was told."""
    return (bench, *desk.others.values())


def stations(bench: Bench, desk: Desk) -> dict[str, Bench]:
    """Every station known here, this one first; without what was ruled or changed by somebody who did not lead then."""
    own = own_name(desk)
    every = {own: _as_led(bench, desk, "")}
    return every | {name: _as_led(other, desk, name) for name, other in desk.others.items() if name != own}


def _as_led(bench: Bench, desk: Desk, station: str) -> Bench:
    if any(not led(desk, word.by, word.at_ms) for word in bench.rulings.values()):
        rulings = {name: word for name, word in bench.rulings.items() if led(desk, word.by, word.at_ms)}
        bench = replace(bench, rulings=rulings)
    counted = desk.counted.get(station, bench.staff)
    if counted is bench.staff:
        return bench
    staff = replace(bench.staff, people=counted.people, records=counted.records, policies=counted.policies)
    return replace(bench, staff=staff)


def worked_at_desk(desk: Desk, who: str, at_ms: int) -> bool:
    """Was this a supervisor then, or an educator at any time, as far as it is known here?"""
    if led(desk, who, at_ms):
        return True
    changed = (each.person for staff in desk.counted.values() for each in staff.people.get(who, ()))
    return any(one is not None and one.role is Role.EDUCATOR for one in (desk.catalogue.people.get(who), *changed))


def led(desk: Desk, who: str, at_ms: int) -> bool:
    """Was this a supervisor then, as far as it is known here?"""
    if desk.leads is not None:
        return desk.leads.led(who, at_ms)
    person = desk.catalogue.people.get(who)
    return person is not None and person.role is Role.SUPERVISOR and not person.disabled
