"""The fold of people, settings, catalogue and policy."""

from collections.abc import Callable
from dataclasses import replace
from typing import Any, TypeVar

from kiosk.core import events as e
from kiosk.core import tries
from kiosk.core.stamp import Stamp
from kiosk.core.state.amendments import Chosen, KeptPerson, KeptRecord, Lent, SetHash, Signed, SignedPolicy
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip
from kiosk.core.together.seen import FEW, spoken


def _setting(bench: Bench, event: e.SettingChosen, stamp: Stamp) -> Bench:
    mine = (*bench.chosen.get(event.person, ()), Chosen(key=event.key, value=event.value, at_ms=stamp.at_ms))
    return replace(bench, chosen={**bench.chosen, event.person: mine})


def _pin_taken(bench: Bench, event: e.PinTaken, stamp: Stamp) -> Bench:
    return tries.forgiven(bench, event.person, stamp.at_ms)


def _forgiven(bench: Bench, event: e.TriesForgiven, stamp: Stamp) -> Bench:
    return tries.forgiven(bench, event.person, stamp.at_ms)


def _staff(bench: Bench, **changes: Any) -> Bench:
    return replace(bench, staff=replace(bench.staff, **changes))


def _person(bench: Bench, event: e.PersonKept, stamp: Stamp) -> Bench:
    code = event.person.id
    before = bench.staff.people.get(code, ())
    one, last = event.person, before[-1] if before else None
    says = (one.id, one.name, one.role.value, one.badge, one.disabled, stamp.at_ms, stamp.who)
    mark, over = spoken(event.over, last, *says)
    kept = KeptPerson(person=one, at_ms=stamp.at_ms, by=stamp.who or "", mark=mark, over=over)
    begun = (event.person.id, stamp.at_ms) if event.why == e.BEGUN else bench.staff.begun
    return _staff(bench, people={**bench.staff.people, code: (*before, kept)}, begun=begun)


def _pin(bench: Bench, event: e.PinSet, stamp: Stamp) -> Bench:
    bench = tries.forgiven(bench, event.person, stamp.at_ms)
    before = bench.staff.pins.get(event.person, ())
    by, last = stamp.who or "", before[-1] if before else None
    mark, over = spoken(event.over, last, event.person, event.pin_hash, stamp.at_ms, by)
    pins = _last_few(before, SetHash(pin_hash=event.pin_hash, at_ms=stamp.at_ms, by=by, mark=mark, over=over))
    return _staff(bench, pins={**bench.staff.pins, event.person: pins})


def _hashed_anew(bench: Bench, event: e.PinHashedAnew, stamp: Stamp) -> Bench:
    anew = {**bench.staff.hashed_anew, event.person: (event.was, event.pin_hash)}
    return _staff(bench, hashed_anew=anew)


def _lent(bench: Bench, event: e.DayBadgeLent, stamp: Stamp) -> Bench:
    lent = Lent(badge=event.badge, at_ms=stamp.at_ms, until_ms=event.until_ms, by=stamp.who or "")
    return _staff(bench, lent={**bench.staff.lent, event.person: lent})


def _competency(bench: Bench, event: e.CompetencySigned, stamp: Stamp) -> Bench:
    signed = Signed(by=event.by, at_ms=stamp.at_ms, until_ms=event.until_ms)
    mine = {**bench.staff.signed.get(event.person, {}), event.method: signed}
    return _staff(bench, signed={**bench.staff.signed, event.person: mine})


def _item(bench: Bench, event: e.RecordCorrected, stamp: Stamp) -> Bench:
    key = f"item {event.tray} {event.item.id}"
    return _record(bench, key, stamp, event, item=event.item, tray=event.tray, source=event.source)


def _tray(bench: Bench, event: e.TrayRecordKept, stamp: Stamp) -> Bench:
    return _record(bench, f"tray {event.tray.code}", stamp, event, whole=event.tray)


def _kit(bench: Bench, event: e.KitRecordKept, stamp: Stamp) -> Bench:
    return _record(bench, "kit", stamp, event, kit=event.kit)


def _load(bench: Bench, event: e.LoadRecordKept, stamp: Stamp) -> Bench:
    return _record(bench, f"load {event.load.id}", stamp, event, load=event.load)


RecordEvent = e.RecordCorrected | e.TrayRecordKept | e.KitRecordKept | e.LoadRecordKept


def _record(bench: Bench, key: str, stamp: Stamp, event: RecordEvent, **record: Any) -> Bench:
    before = bench.staff.records.get(key, ())
    mark, over = spoken(event.over, before[-1] if before else None, key, event.why, stamp.at_ms, stamp.who)
    kept = KeptRecord(at_ms=stamp.at_ms, by=stamp.who or "", why=event.why, mark=mark, over=over, **record)
    rest = {old: each for old, each in bench.staff.records.items() if old != key}
    return _staff(bench, records={**rest, key: _last_few(before, kept)}, changes=bench.staff.changes + 1)


C = TypeVar("C", KeptRecord, SetHash)


def _last_few(before: tuple[C, ...], new: C) -> tuple[C, ...]:
    """Everybody's last few, the newest last: those of somebody who does not count must not push another's out."""
    old = [each for each in before if each.by == new.by][: 1 - FEW]
    kept: list[C] = [each for each in before if each not in old]
    kept.append(new)
    return tuple(kept)


def _drafted(bench: Bench, event: e.PolicyDrafted, stamp: Stamp) -> Bench:
    rest = {key: value for key, value in bench.staff.drafted.items() if key != event.key}
    return _staff(bench, drafted={**rest, event.key: event.value} if event.value else rest)


def _dropped(bench: Bench, event: e.PolicyDropped, stamp: Stamp) -> Bench:
    return _staff(bench, drafted={})


def _policy(bench: Bench, event: e.PolicySigned, stamp: Stamp) -> Bench:
    last = bench.staff.policies[-1] if bench.staff.policies else None
    values = ";".join(f"{key}={value}" for key, value in sorted(event.values.items()))
    mark, over = spoken(event.over, last, event.version, values, stamp.at_ms, stamp.who)
    signed = SignedPolicy(
        version=event.version,
        values=event.values,
        from_ms=event.from_ms,
        at_ms=stamp.at_ms,
        manager=event.manager,
        infection_prevention=event.infection_prevention,
        mark=mark,
        over=over,
    )
    return _staff(bench, policies=(*bench.staff.policies, signed), drafted={})


def _shown(bench: Bench, event: e.PolicyShown, stamp: Stamp) -> Bench:
    return _staff(bench, shown={**bench.staff.shown, event.person: event.version})


def _lesson(bench: Bench, event: e.LessonBegun, stamp: Stamp) -> Bench:
    return _staff(bench, lesson=event.lesson)


def _cosigned(trip: Trip, event: e.TrayCoSigned, stamp: Stamp) -> Trip:
    return replace(trip, cosigned=(event.by, event.answers))


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.SettingChosen: _setting,
    e.PinTaken: _pin_taken,
    e.PersonKept: _person,
    e.PinSet: _pin,
    e.PinHashedAnew: _hashed_anew,
    e.TriesForgiven: _forgiven,
    e.DayBadgeLent: _lent,
    e.CompetencySigned: _competency,
    e.RecordCorrected: _item,
    e.TrayRecordKept: _tray,
    e.KitRecordKept: _kit,
    e.LoadRecordKept: _load,
    e.PolicyDrafted: _drafted,
    e.PolicyDropped: _dropped,
    e.PolicySigned: _policy,
    e.PolicyShown: _shown,
    e.LessonBegun: _lesson,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {e.TrayCoSigned: _cosigned}

AMENDING = (
    e.PersonKept, e.PinSet, e.PinHashedAnew, e.DayBadgeLent, e.RecordCorrected, e.TrayRecordKept,
    e.KitRecordKept, e.LoadRecordKept, e.PolicySigned, e.ConflictRuled,
)  # fmt: skip
"""Events after which a desk has other surroundings (`kiosk.core.together.amending`)."""
