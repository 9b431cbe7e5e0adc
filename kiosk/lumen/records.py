"""Items and kit from the plain mappings of a scenario or plan file, and a plan back as JSON values."""

from collections.abc import Iterable, Mapping
from decimal import Decimal, InvalidOperation
from difflib import get_close_matches
from enum import StrEnum
from typing import Any, TypeVar

from kiosk.core.catalogue import Item, Kit, Landmark, Lumen, Mm, Offer, Scope, Swabs
from kiosk.core.plan import PiecePlan
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening

Word = TypeVar("Word", bound=StrEnum)

_ITEM = (
    "id", "name", "type", "qty", "takes_apart", "insulated", "function", "lumens", "own_mark", "mark", "marks",
    "landmarks", "use_limit", "uses", "power", "test_material", "volts", "lubricate",
)  # fmt: skip
_LUMEN = ("n", "id_mm", "len_mm", "open", "f", "air_kpa", "forbid", "learnt", "landmarks")


class RecordFault(ValueError):
    """A record that cannot be used; the message is one sentence naming item, lumen and field."""


def items_from_rows(rows: object) -> tuple[Item, ...]:
    """Items of a plan file: a list of mappings. Raises RecordFault, also for an id that stands twice."""
    if not isinstance(rows, list):
        raise RecordFault("a plan file is a list of items")
    items = tuple(item_from_mapping(row) for row in rows)
    _no_doubles((item.id for item in items), "item", "id")
    return items


def item_from_mapping(row: object) -> Item:
    """One item, in the keys of a scenario's given.trays[].items[]. Raises RecordFault.

    Other keys are left aside, but not one that looks like a slip of a known key: a check might be lost by it.
    """
    if not isinstance(row, Mapping):
        raise RecordFault(f"item {row!r}: not a mapping of fields")
    code = row.get("id")
    if not isinstance(code, str) or not code or {"#", "."} & set(code):
        raise RecordFault(f"item {code!r}: field id must be text without # or .")
    where = f"item {code}"
    for key in row:
        if key not in _ITEM and (near := get_close_matches(str(key), _ITEM, n=1, cutoff=0.8)):
            raise RecordFault(f"{where}: field {key} is not known, {near[0]} is meant")
    lumens = tuple(_lumen(each, where) for each in _list(row, "lumens", where))
    _no_doubles((lumen.name for lumen in lumens), f"{where}, lumen", "n")
    return Item(
        id=code,
        name=_text(row, "name", where),
        type=_text(row, "type", where),
        lumens=lumens,
        qty=_count(row, "qty", where),
        takes_apart=_flag(row, "takes_apart", where),
        insulated=_flag(row, "insulated", where),
        function=tuple(_texts(row, "function", where)),
        own_mark=_flag(row, "own_mark", where) or bool(_marks(row, where)),
        marks=_marks(row, where),
        landmarks=_landmarks(row, None, where),
        use_limit=None if row.get("use_limit") is None else _count(row, "use_limit", where),
        uses=_count(row, "uses", where) if row.get("uses") else 0,
        power=_flag(row, "power", where),
        test_material=_text(row, "test_material", where) if row.get("test_material") else "",
        volts=_text(row, "volts", where) if row.get("volts") else "",
        lubricate=_flag(row, "lubricate", where),
    )


def _marks(row: Mapping[Any, Any], where: str) -> tuple[str, ...]:
    """The marks of the pieces: one as `mark`, several as `marks`."""
    one = (_text(row, "mark", where),) if row.get("mark") else ()
    return (*one, *_texts(row, "marks", where))


def kit_from_mapping(row: object) -> Kit:
    """A bench's kit, in the keys of resources/kit.yaml. Raises RecordFault."""
    if not isinstance(row, Mapping):
        raise RecordFault("kit: not a mapping of fields")
    for key in row:
        if key not in ("scopes", "swabs", "air_station", "gauge_pins", "offers"):
            raise RecordFault(f"kit: field {key} is not known")
    scopes = tuple(_scope(each) for each in _list(row, "scopes", "kit"))
    _no_doubles((scope.id for scope in scopes), "kit, scope", "id")
    offers = tuple(_offer(each) for each in _list(row, "offers", "kit"))
    _no_doubles((offer.id for offer in offers), "kit, offer", "id")
    for offer in offers:
        if offer.currency != offers[0].currency:
            raise RecordFault(f"kit, offer {offer.id}: field currency is not the {offers[0].currency} of the first one")
    return Kit(
        scopes=scopes,
        swabs=None if row.get("swabs") is None else _swabs(row["swabs"]),
        air_station=_flag(row, "air_station", "kit"),
        gauge_pins=_flag(row, "gauge_pins", "kit"),
        offers=offers,
    )


def plan_as_json(plan: PiecePlan) -> dict[str, Any]:
    """One piece of `throughlight plan --json`: strings, numbers, lists and dicts only; `not_seen` is "all" or mm."""
    because: dict[str, str] = {}
    for check in plan.checks:
        because[check.key] = f"{because[check.key]}; {check.because}" if check.key in because else check.because
    for lumen in plan.lumens:
        because |= {f"{lumen.lumen}.{check}": why for check, why in lumen.left_out}
    unseen = [lumen for lumen in plan.lumens if lumen.not_seen]
    return {
        "piece": plan.piece,
        "name": plan.name,
        "plan": list(plan.keys),
        "use": {check.key: check.use for check in plan.checks if check.use},
        "ends": {check.key: check.ends for check in plan.checks if check.ends},
        "not_seen": {each.lumen: "all" if each.not_seen_all else _number(each.not_seen_mm) for each in unseen},
        "not_seen_mm": {each.lumen: _number(each.not_seen_mm) for each in unseen},
        "seen_share": _number(plan.seen_share),
        "touched_share": _number(plan.touched_share),
        "hold": plan.hold,
        "because": because,
    }


def _lumen(row: object, item: str) -> Lumen:
    if not isinstance(row, Mapping):
        raise RecordFault(f"{item}: lumen {row!r} is not a mapping of fields")
    name = row.get("n")
    if not isinstance(name, str) or not name or "." in name:
        raise RecordFault(f"{item}, lumen {name!r}: field n must be text without a dot")
    where = f"{item}, lumen {name}"
    for key in row:
        if key not in _LUMEN:
            raise RecordFault(f"{where}: field {key} is not known")
    length = _size(row, "len_mm", where)
    pressure = _size(row, "air_kpa", where)
    if pressure is not None and pressure != int(pressure):
        raise RecordFault(f"{where}: field air_kpa must be whole kilopascals, not {pressure}")
    return Lumen(
        name=name,
        inside_mm=_size(row, "id_mm", where),
        length_mm=length,
        open=_word(Opening, row.get("open", "both"), "open", where),
        features=frozenset(_word(Feature, each, "f", where) for each in _list(row, "f", where)),
        air_kpa=None if pressure is None else int(pressure),
        forbid=frozenset(_word(Check, each, "forbid", where) for each in _list(row, "forbid", where)),
        learnt=_word(Learnt, row.get("learnt", "ifu"), "learnt", where),
        landmarks=_landmarks(row, length, where),
    )


def _landmarks(row: Mapping[Any, Any], length: Mm | None, where: str) -> tuple[Landmark, ...]:
    marks = []
    for each in _list(row, "landmarks", where):
        if not isinstance(each, Mapping):
            raise RecordFault(f"{where}: field landmarks holds {each!r}, not name and at_mm")
        at = None if each.get("at_mm") is None else _decimal(each["at_mm"], "at_mm of a landmark", where)
        if at is not None and (at < 0 or (length is not None and at > length)):
            raise RecordFault(f"{where}: field at_mm of a landmark is off the lumen, {at} mm")
        marks.append(Landmark(name=_text(each, "name", f"{where}, landmark"), at_mm=at))
    return tuple(marks)


def _scope(row: object) -> Scope:
    if not isinstance(row, Mapping):
        raise RecordFault(f"kit: scope {row!r} is not a mapping of fields")
    name = _text(row, "id", "kit, scope")
    where = f"kit, scope {name}"
    return Scope(
        id=name,
        od_mm=_needed(row, "od_mm", where),
        reach_mm=_needed(row, "reach_mm", where),
        bends=_flag(row, "bends", where),
    )


def _offer(row: object) -> Offer:
    if not isinstance(row, Mapping):
        raise RecordFault(f"kit: offer {row!r} is not a mapping of fields")
    name = _text(row, "id", "kit, offer")
    where = f"kit, offer {name}"
    kind: Any = row.get("kind")
    if kind not in _OF_OFFER:
        raise RecordFault(f"{where}: field kind must be one of {', '.join(_OF_OFFER)}, not {kind!r}")
    for key in row:
        if key not in ("id", "kind", "price", "currency", *_OF_OFFER[kind]):
            raise RecordFault(f"{where}: field {key} does not go with kind {kind}")
    return Offer(
        id=name,
        kind=kind,
        price=_needed(row, "price", where),
        currency=_text(row, "currency", where),
        od_mm=_needed(row, "od_mm", where) if kind == "scope" else None,
        head_mm=_needed(row, "head_mm", where) if kind == "head" else None,
        reach_mm=_size(row, "reach_mm", where) if kind == "head" else _needed(row, "reach_mm", where),
        bends=_flag(row, "bends", where),
    )


_OF_OFFER: Mapping[Any, tuple[str, ...]] = {
    "scope": ("od_mm", "reach_mm", "bends"),
    "head": ("head_mm", "reach_mm"),
    "stem": ("reach_mm",),
}
"""What an offer of each kind says, besides its price."""


def _swabs(row: object) -> Swabs:
    where = "kit, swabs"
    if not isinstance(row, Mapping):
        raise RecordFault(f"{where}: not a mapping of fields")
    heads = tuple(_positive(each, "heads_mm", where) for each in _list(row, "heads_mm", where))
    return Swabs(heads_mm=heads, reach_mm=_needed(row, "reach_mm", where), max_over=_needed(row, "max_over", where))


def _text(row: Mapping[Any, Any], key: str, where: str) -> str:
    value = row.get(key)
    if not isinstance(value, str) or not value.strip():
        raise RecordFault(f"{where}: field {key} must be text, not {value!r}")
    return value


def _texts(row: Mapping[Any, Any], key: str, where: str) -> list[str]:
    values = _list(row, key, where)
    for value in values:
        if not isinstance(value, str) or not value.strip():
            raise RecordFault(f"{where}: field {key} holds {value!r}, not text")
    return values


def _list(row: Mapping[Any, Any], key: str, where: str) -> list[Any]:
    value = row.get(key)
    if value is None:
        return []
    if not isinstance(value, list):
        raise RecordFault(f"{where}: field {key} must be a list, not {value!r}")
    return value


def _flag(row: Mapping[Any, Any], key: str, where: str) -> bool:
    value = row.get(key, False)
    if not isinstance(value, bool):
        raise RecordFault(f"{where}: field {key} must be true or false, not {value!r}")
    return value


def _count(row: Mapping[Any, Any], key: str, where: str) -> int:
    value = row.get(key, 1)
    if isinstance(value, bool) or not isinstance(value, int) or value < 1:
        raise RecordFault(f"{where}: field {key} must be a whole number from 1, not {value!r}")
    return value


def _decimal(value: object, key: str, where: str) -> Decimal:
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        number = Decimal("NaN")
    if isinstance(value, bool) or not number.is_finite():
        raise RecordFault(f"{where}: field {key} must be a number, not {value!r}")
    return number


def _positive(value: object, key: str, where: str) -> Decimal:
    number = _decimal(value, key, where)
    if number <= 0:
        raise RecordFault(f"{where}: field {key} must be above 0, not {value!r}")
    return number


def _size(row: Mapping[Any, Any], key: str, where: str) -> Mm | None:
    return None if row.get(key) is None else _positive(row[key], key, where)


def _needed(row: Mapping[Any, Any], key: str, where: str) -> Decimal:
    return _positive(row.get(key), key, where)


def _word(words: type[Word], value: object, key: str, where: str) -> Word:
    try:
        return words(str(value))
    except ValueError:
        raise RecordFault(f"{where}: field {key} does not know {value!r}") from None


def _no_doubles(names: Iterable[str], what: str, key: str) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            raise RecordFault(f"{what} {name}: field {key} stands twice")
        seen.add(name)


def _number(value: Decimal | None) -> float | None:
    return None if value is None else float(value)
