"""The stations known here, by name: B1, B2 are benches, D1 is decontam's. Pure."""

from dataclasses import replace

from kiosk.core.bench import Bench
from kiosk.core.desk import Desk
from kiosk.core.ruled import Ruling
from kiosk.core.vocabulary import Role


def own_name(desk: Desk) -> str:
    """What this station is called at the others."""
    return f"{'D' if desk.side == 'decontam' else 'B'}{desk.bench_number}"


def stations(bench: Bench, desk: Desk) -> dict[str, Bench]:
    """Every station known here, this one first; without the rulings of somebody who was no supervisor then."""
    own = own_name(desk)
    every = {own: bench, **{name: other for name, other in desk.others.items() if name != own}}
    return {name: _as_led(one, desk) for name, one in every.items()}


def _as_led(bench: Bench, desk: Desk) -> Bench:
    if all(_led(word, desk) for word in bench.rulings.values()):
        return bench
    return replace(bench, rulings={name: word for name, word in bench.rulings.items() if _led(word, desk)})


def _led(word: Ruling, desk: Desk) -> bool:
    if desk.leads is not None:
        return desk.leads.led(word.by, word.at_ms)
    person = desk.catalogue.people.get(word.by)
    return person is not None and person.role is Role.SUPERVISOR
