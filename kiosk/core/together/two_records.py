"""A record of the catalogue where two stations changed it without knowing of each other's change. Pure.

Both changes are kept. Until a supervisor ruled, the more careful of each value counts where one is: the narrower bore,
the longer lumen, less air, every check that either forbids. Of what is not more careful either way the older stays; of
a name the newer, and two names are no conflict.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from kiosk.core.catalogue import Item, Kit, Lumen
from kiosk.core.state.amendments import KeptRecord
from kiosk.core.state.bench import Bench
from kiosk.core.together.seen import known, saw, standing
from kiosk.core.vocabulary import Learnt


def every_record(benches: Iterable[Bench]) -> dict[str, list[KeptRecord]]:
    """The last changes of each record at each station, by the record's name ("item TR-1 A1", "kit")."""
    out: dict[str, list[KeptRecord]] = {}
    for bench in benches:
        for key, kept in bench.staff.records.items():
            out.setdefault(key, []).extend(kept)
    return out


def heads(records: Iterable[KeptRecord]) -> list[KeptRecord]:
    """The changes of one record that no other had seen, the oldest first; of such that say the same, the first."""
    out: list[KeptRecord] = []
    for each in standing(records):
        if not any(_meaning(each) == _meaning(one) for one in out):
            out.append(each)
    return out


def _meaning(each: KeptRecord) -> tuple[object, ...]:
    """What a change says besides names and its own number."""
    item = replace(each.item, name="", version=0) if each.item else None
    whole = replace(each.whole, name="", version=0) if each.whole else None
    return item, whole, each.kit, each.load


def differing(benches: Iterable[Bench]) -> dict[str, list[KeptRecord]]:
    """The records that were changed twice in ways that cannot both be."""
    every = {key: heads(records) for key, records in every_record(benches).items() if len(records) > 1}
    return {key: left for key, left in every.items() if len(left) > 1}


def conflict_of(key: str, left: Sequence[KeptRecord]) -> str:
    """The name of the conflict between these changes: the same at every station."""
    return ":".join(["record", key, *sorted(each.mark for each in left)])


def names_known(benches: Iterable[Bench], key: str) -> tuple[str, ...]:
    """What a change of this record that is made now names as seen: changes of it, and of what holds it or it holds."""
    every = every_record(benches)
    return known(each for other in every if _related(key, other) for each in every[other])


def _related(key: str, other: str) -> bool:
    if key == other:
        return True
    (kind, *mine), (their_kind, *theirs) = key.split(" "), other.split(" ")
    if {kind, their_kind} == {"tray", "item"}:
        return mine[0] == theirs[0] or (kind == "tray" and theirs[0] == "")
    return kind == their_kind == "item" and mine[-1] == theirs[-1] and "" in {mine[0], theirs[0]}


def records_in_force(benches: Iterable[Bench]) -> list[KeptRecord]:
    """Every changed record as it counts, the oldest change first."""
    out = []
    for records in every_record(benches).values():
        left = heads(records)
        newest = max(standing(records), key=_at)
        counts = careful(left) if len(left) > 1 else replace(left[0], at_ms=newest.at_ms)
        out.append(_named(counts, newest))
    return sorted(out, key=_at)


def _named(counts: KeptRecord, newest: KeptRecord) -> KeptRecord:
    item = replace(counts.item, name=newest.item.name) if counts.item and newest.item else counts.item
    whole = replace(counts.whole, name=newest.whole.name) if counts.whole and newest.whole else counts.whole
    return replace(counts, item=item, whole=whole)


def _at(each: KeptRecord) -> int:
    return each.at_ms


def unseen_by(whole: KeptRecord, kept: Iterable[KeptRecord]) -> list[KeptRecord]:
    """Items of a tray whose change the tray's own later record had not seen: they are put into it once more."""
    if whole.whole is None:
        return []
    mine = {item.id for item in whole.whole.items}
    late = [each for each in kept if each.item and each.at_ms <= whole.at_ms and each.item.id in mine]
    return [each for each in late if each.tray in {"", whole.whole.code} and not saw(whole, each)]


def careful(left: Sequence[KeptRecord]) -> KeptRecord:
    """The more careful of several changes, value by value; the oldest where none is."""
    first, newest = left[0], max(left, key=_at)
    out = replace(first, at_ms=newest.at_ms)
    for each in left[1:]:
        if out.item and each.item:
            out = replace(out, item=_item(out.item, each.item))
        elif out.kit and each.kit:
            out = replace(out, kit=_kit(out.kit, each.kit))
        elif out.load and each.load:
            out = replace(out, load=replace(out.load, released=out.load.released and each.load.released))
    return out


def _item(one: Item, other: Item) -> Item:
    ways: dict[str, Lumen] = {lumen.name: lumen for lumen in one.lumens}
    for lumen in other.lumens:
        ways[lumen.name] = _lumen(ways[lumen.name], lumen) if lumen.name in ways else lumen
    limits = [limit for limit in (one.use_limit, other.use_limit) if limit is not None]
    return replace(
        one,
        lumens=tuple(ways.values()),
        takes_apart=one.takes_apart or other.takes_apart,
        insulated=one.insulated or other.insulated,
        function=tuple(dict.fromkeys((*one.function, *other.function))),
        own_mark=one.own_mark or other.own_mark,
        marks=tuple(dict.fromkeys((*one.marks, *other.marks))),
        use_limit=min(limits, default=None),
        uses=max(one.uses, other.uses),
        power=one.power or other.power,
        version=max(one.version, other.version),
    )


def _lumen(one: Lumen, other: Lumen) -> Lumen:
    """The narrower bore and the longer way; where the sizes differ they are not confirmed."""
    agree = (one.inside_mm, one.length_mm) == (other.inside_mm, other.length_mm)
    typical = not agree or Learnt.TYPICAL in {one.learnt, other.learnt}
    inside = None if one.inside_mm is None or other.inside_mm is None else min(one.inside_mm, other.inside_mm)
    length = None if one.length_mm is None or other.length_mm is None else max(one.length_mm, other.length_mm)
    air = None if one.air_kpa is None or other.air_kpa is None else min(one.air_kpa, other.air_kpa)
    return replace(
        one,
        inside_mm=inside,
        length_mm=length,
        air_kpa=air,
        features=one.features | other.features,
        forbid=one.forbid | other.forbid,
        learnt=Learnt.TYPICAL if typical else one.learnt,
    )


def _kit(one: Kit, other: Kit) -> Kit:
    """Only what both say is there."""
    there = {scope.id for scope in other.scopes}
    return replace(
        one,
        scopes=tuple(scope for scope in one.scopes if scope.id in there),
        swabs=one.swabs if other.swabs else None,
        air_station=one.air_station and other.air_station,
        gauge_pins=one.gauge_pins and other.gauge_pins,
    )


def key_of(each: KeptRecord) -> str:
    """The name of a record, as the bench keeps it."""
    if each.item:
        return f"item {each.tray} {each.item.id}"
    if each.whole:
        return f"tray {each.whole.code}"
    return f"load {each.load.id}" if each.load else "kit"


def parts_of(key: str) -> Mapping[str, str]:
    """Whose record it is, for words: kind, tray, item."""
    kind, _, rest = key.partition(" ")
    tray, _, item = rest.partition(" ")
    return {"kind": kind, "tray": tray, "item": item}
