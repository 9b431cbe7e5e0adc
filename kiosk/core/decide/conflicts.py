"""The rules of two records that cannot both be: noted once, held where safety needs it, ruled by a supervisor."""

from collections.abc import Mapping
from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide import handing
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.desk import Desk
from kiosk.core.state.amendments import KeptRecord
from kiosk.core.state.bench import Bench
from kiosk.core.state.ruled import Noted, Ruling
from kiosk.core.state.trip import Trip
from kiosk.core.together import same_tray, two_policies, two_records
from kiosk.core.together.conflicts import find_conflict, open_conflicts
from kiosk.core.together.returns import answers_differ
from kiosk.core.together.ruling import ruling_of, words_on
from kiosk.core.together.seen import known
from kiosk.core.together.stations import own_name, stations

VOID = "same_tray"
"""Why the label of a package is void whose tray was ruled to be another's record."""


def rule_conflict(pen: Pen, command: c.RuleConflict) -> None:
    """A supervisor rules between two records that cannot both be; both stay."""
    pen.supervisor(pen.bench.who)
    one = find_conflict(pen.bench, pen.desk, command.conflict)
    if one is None or command.ruling not in rulings_for(pen.bench, pen.desk, one):
        raise Refused("refused.not_asked")
    if one.kind == same_tray.KIND:
        _may_rule(pen, one, command.ruling)
    over = known(words_on(stations(pen.bench, pen.desk).values(), one.conflict))
    pen.write(e.ConflictRuled(conflict=one.conflict, ruling=command.ruling, over=over), off_trip=True)
    if one.kind == same_tray.KIND:
        _follow_tray(pen, one, command.ruling)
    elif one.kind == "record":
        _follow_record(pen, one, command.ruling)
    pen.say(f"conflict.ruled.{one.kind}" if command.ruling != same_tray.TWO_TRAYS else "conflict.ruled.two_trays")


def _may_rule(pen: Pen, one: Noted, ruling: str) -> None:
    """Never on own work; and no package goes on over what the other record still has open."""
    benches = stations(pen.bench, pen.desk)
    found = [same_tray.trip_of(benches, name) for name in same_tray.trips_of(one.conflict)]
    trips = [each[1] for each in found if each is not None]
    mine = any(pen.bench.who in trip.worked_on_by() for trip in trips)
    if mine and not pen.desk.policy.self_override:
        raise Refused("refused.own_work")
    packed = next((trip for trip in trips if trip.id == ruling and trip.packed_ms is not None), None)
    if packed is not None and any(same_tray.worse(other, packed) for other in trips if other is not packed):
        raise Refused("refused.other_record_open")


def rulings_for(bench: Bench, desk: Desk, one: Noted) -> tuple[str, ...]:
    """What may be ruled on this conflict."""
    benches = stations(bench, desk)
    match one.kind:
        case same_tray.KIND:
            return same_tray.TWO_TRAYS, *same_tray.trips_of(one.conflict)
        case "answers":
            return tuple(dict.fromkeys(each.says for each in answers_differ(bench, desk, one.what)))
        case "policy":
            left = two_policies.heads(two_policies.every_signed(benches.values()))
            return two_policies.STRICTEST, *(each.mark for each in left)
        case _:
            return tuple(each.mark for each in two_records.differing(benches.values()).get(one.what, ()))


def _follow_tray(pen: Pen, one: Noted, ruling: str) -> None:
    """Two trays with one label want a tag; where one record is the tray's, the labels of the others are void."""
    benches = stations(pen.bench, pen.desk)
    if ruling == same_tray.TWO_TRAYS:
        if not handing.twice(pen, one.what):
            pen.write(e.SameLabelTold(tray=one.what, over=handing.words_known(pen, one.what)), off_trip=True)
        return
    void = {number for bench in benches.values() for number in bench.void}
    for name in same_tray.trips_of(one.conflict):
        found = same_tray.trip_of(benches, name)
        for number in same_tray.labels_of(found[1]) if found and name != ruling else ():
            if number not in void:
                pen.write(e.LabelVoided(number=number, why=VOID), off_trip=True)


def _follow_record(pen: Pen, one: Noted, ruling: str) -> None:
    """The record that was ruled for is kept once more, knowing the other."""
    benches = stations(pen.bench, pen.desk).values()
    left = two_records.differing(benches)[one.what]
    chosen = next(each for each in left if each.mark == ruling)
    pen.write(_kept_anew(chosen, left, two_records.names_known(benches, one.what)), off_trip=True)


def _kept_anew(chosen: KeptRecord, left: list[KeptRecord], over: tuple[str, ...]) -> e.Event:
    why = chosen.why
    if chosen.item:
        version = max(each.item.version for each in left if each.item) + 1
        item = replace(chosen.item, version=version)
        return e.RecordCorrected(item=item, tray=chosen.tray, source=chosen.source, why=why, over=over)
    if chosen.whole:
        version = max(each.whole.version for each in left if each.whole) + 1
        return e.TrayRecordKept(tray=replace(chosen.whole, version=version), why=why, over=over)
    if chosen.load:
        return e.LoadRecordKept(load=chosen.load, why=why, over=over)
    assert chosen.kit is not None
    return e.KitRecordKept(kit=chosen.kit, why=why, over=over)


def settle(pen: Pen) -> None:
    """A conflict that nobody noted yet is noted, by the first of the stations it is between; trays are held, and go on
    as it was ruled."""
    if not pen.desk.others:
        return
    own = own_name(pen.desk)
    for one in open_conflicts(pen.bench, pen.desk):
        if one.conflict not in pen.bench.conflicts and one.stations[:1] == (own,):
            noted = e.SyncConflict(conflict=one.conflict, kind=one.kind, what=one.what, stations=one.stations)
            pen.write(noted, off_trip=True)
        if one.kind == same_tray.KIND:
            _hold(pen, one)
    for trip in tuple(pen.bench.trips.values()):
        _ruled(pen, trip)
    _follow(pen)


def _hold(pen: Pen, one: Noted) -> None:
    """Neither tray is packed before the ruling; the work that was done on them stays."""
    for name in same_tray.trips_of(one.conflict):
        trip = pen.bench.trips.get(name)
        if trip is not None and not trip.ended and one.conflict not in same_tray.held_over(trip).values():
            pen.hold(same_tray.KIND, f"@{one.conflict}", trip=trip.id)


def _ruled(pen: Pen, trip: Trip) -> None:
    """The holds that a ruling was given on are released, those and no other."""
    benches = stations(pen.bench, pen.desk)
    held = same_tray.held_over(trip)
    over: dict[str, list[str]] = {}
    for hold, conflict in held.items():
        by = same_tray.ruled(benches, conflict)
        if by is not None:
            over.setdefault(by, []).append(hold)
    for conflict, holds in over.items():
        word = ruling_of(benches.values(), conflict)
        assert word is not None
        pen.write(e.HoldReleased(holds=tuple(holds), why="ruled"), trip=trip.id, who=word.by or None)


def _ends(pen: Pen, trip: Trip, word: Ruling, benches: Mapping[str, Bench]) -> None:
    """It was ruled for the other record: this one ends, and what it packed is not to be used.

    Where something was found here that the ruling had not seen, the package of the other record is not either.
    """
    void = {number for bench in benches.values() for number in bench.void}
    won = same_tray.trip_of(benches, word.ruling)
    over = won[1] if won and won[1].packed_ms is not None and same_tray.worse(trip, won[1]) else None
    if not trip.ended:
        pen.write(e.GoneOver(), trip=trip.id, who=word.by or None)
    for number in (*same_tray.labels_of(trip), *(same_tray.labels_of(over) if over else ())):
        if number not in void:
            pen.write(e.LabelVoided(number=number, why=VOID), off_trip=True)


def _follow(pen: Pen) -> None:
    """What was ruled between two records of a tray is done here, for as much of the other one as was heard by now."""
    benches = stations(pen.bench, pen.desk)
    own = {**pen.bench.packed, **pen.bench.trips}
    for conflict in sorted({name for one in benches.values() for name in one.rulings}):
        names = same_tray.trips_of(conflict) if conflict.startswith(f"{same_tray.KIND}:") else ()
        word = ruling_of(benches.values(), conflict)
        if word is None or word.ruling not in names:
            continue
        for trip in (own[name] for name in names if name in own and name != word.ruling):
            if not trip.ended or trip.packed_ms is not None:
                _ends(pen, trip, word, benches)
        if word.ruling in own:
            found = [same_tray.trip_of(benches, name) for name in names if name != word.ruling]
            _goes_on(pen, own[word.ruling], [each[1] for each in found if each is not None])


def _goes_on(pen: Pen, trip: Trip, others: list[Trip]) -> None:
    """The record that is the tray's goes on: what another found is looked at again here.

    Where it was packed before that was heard, the package is not to be used.
    """
    unseen = same_tray.unseen(trip, others)
    if not unseen.about:
        return
    if not trip.ended:
        again = e.RepeatedAfterPause(pieces=unseen.pieces, count=unseen.count, about=unseen.about)
        pen.write(again, trip=trip.id)
    elif trip.packed_ms is not None:
        void = {number for bench in stations(pen.bench, pen.desk).values() for number in bench.void}
        for number in same_tray.labels_of(trip):
            if number not in void:
                pen.write(e.LabelVoided(number=number, why=VOID), off_trip=True)
