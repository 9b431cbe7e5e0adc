"""The surroundings that count: what was loaded from files, with every change since then over it, newest last.

People, records and policies change by events, at this station and at those heard by it; nothing is written back into
what was loaded. Whoever looks into `desk.catalogue` or `desk.policy` finds what counts now.
"""

from collections.abc import Iterable
from dataclasses import replace

from kiosk.core.catalogue import Catalogue, Item, Person, Tray
from kiosk.core.desk import Desk
from kiosk.core.pins import mark_of
from kiosk.core.state.amendments import Amendments, KeptRecord
from kiosk.core.state.bench import Bench
from kiosk.core.together.authority import heeded
from kiosk.core.together.changed_people import as_changed, changes_of
from kiosk.core.together.seen import standing
from kiosk.core.together.two_policies import policies
from kiosk.core.together.two_records import records_in_force, unseen_by

NEVER = 2**63
"""A moment that does not come."""


def amended(loaded: Desk, bench: Bench, at_ms: int) -> tuple[Desk, int]:
    """The desk as it counts at this moment, and the moment at which that changes by itself."""
    others = {station: other.staff for station, other in loaded.others.items()}
    if all(staff == Amendments() for staff in (bench.staff, *others.values())):
        return loaded, NEVER
    staffs, unheeded, leads = heeded(loaded.catalogue.people, bench.staff, others)
    stations = (bench, *loaded.others.values())
    benches = [replace(each, staff=staff) for each, staff in zip(stations, staffs, strict=True)]
    known, counts = policies(loaded.policy, loaded.policies, benches, at_ms)
    desk = replace(
        loaded,
        catalogue=replace(
            _records(loaded, benches),
            people=people(loaded, staffs, at_ms),
            version=loaded.catalogue.version + sum(staff.changes for staff in staffs),
        ),
        policy=counts,
        policies=known,
        unheeded=unheeded,
        leads=leads,
        counted=dict(zip(("", *loaded.others), staffs, strict=True)),
    )
    moments = [lent.until_ms for staff in staffs for lent in staff.lent.values()]
    moments += [one.from_ms for staff in staffs for one in staff.policies]
    return desk, min((moment for moment in moments if moment > at_ms), default=NEVER)


def people(loaded: Desk, staffs: Iterable[Amendments], at_ms: int) -> dict[str, Person]:
    """Everybody, as changed at any station."""
    staffs = tuple(staffs)
    out = dict(loaded.catalogue.people)
    for code in dict.fromkeys(code for staff in staffs for code in staff.people):
        person = as_changed(changes_of(code, staffs))
        before = out.get(code)
        out[code] = replace(person, pin_hash=person.pin_hash or (before.pin_hash if before else ""))
    for code in dict.fromkeys(code for staff in staffs for code in staff.pins):
        if code in out:
            last = standing(pin for staff in staffs for pin in staff.pins.get(code, ()))[-1]
            out[code] = replace(out[code], pin_hash=last.pin_hash)
    for code, (was, pin_hash) in ((p, anew) for s in staffs for p, anew in s.hashed_anew.items()):
        if code in out and mark_of(out[code].pin_hash) == was:
            out[code] = replace(out[code], pin_hash=pin_hash)
    for code, lent in sorted(((p, one) for s in staffs for p, one in s.lent.items()), key=lambda x: x[1].at_ms):
        if code in out and lent.until_ms > at_ms:
            out[code] = replace(out[code], day_badge=lent.badge)
    return out


def _records(loaded: Desk, benches: Iterable[Bench]) -> Catalogue:
    kept = [each for each in records_in_force(benches) if each.at_ms > loaded.loaded_ms]
    catalogue = loaded.catalogue
    for each in kept:
        catalogue = _with(catalogue, each)
    for whole in kept:
        for each in unseen_by(whole, kept):
            catalogue = _with(catalogue, replace(each, tray=whole.whole.code if whole.whole else ""))
    return catalogue


def _with(catalogue: Catalogue, each: KeptRecord) -> Catalogue:
    """The catalogue with one changed record in it."""
    if each.whole is not None:
        return replace(catalogue, trays={**catalogue.trays, each.whole.code: each.whole})
    if each.kit is not None:
        return replace(catalogue, kit=each.kit)
    if each.load is not None:
        return replace(catalogue, loads={**catalogue.loads, each.load.id: each.load})
    item = each.item
    assert item is not None
    trays = {
        code: _with_item(tray, item) if each.tray in {"", code} else tray for code, tray in catalogue.trays.items()
    }
    spares = dict(catalogue.spares)
    if not each.tray and item.id in spares:
        spares[item.id] = item
    return replace(catalogue, trays=trays, spares=spares)


def _with_item(tray: Tray, item: Item) -> Tray:
    if all(one.id != item.id for one in tray.items):
        return tray
    items = tuple(replace(item, qty=one.qty) if one.id == item.id else one for one in tray.items)
    return replace(tray, items=items, version=tray.version + 1)
