"""Records to canonical JSON and back, by their type hints: sorted keys, compact, UTF-8, no floats.

A record is an object; Decimal is text in plain notation, an enum its value, a tuple a list, a frozen set a sorted list,
a dict with text keys a list of pairs in its own order. Read back strictly: a wrong type or a missing field without a
default is a fault. Fields that nobody here knows are passed over, so that a field with a default may be added without a
new version.
"""

import json
import re
from collections.abc import Callable
from dataclasses import MISSING, fields, is_dataclass
from decimal import Decimal
from enum import Enum
from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from kiosk.core.events import EVENTS, NAME_OF, Event

T = TypeVar("T")
Tree = Any
"""What `json` makes: dict, list, str, int, bool, None."""
Turn = Callable[[Any], Any]

_PLAIN = re.compile(r"-?\d+(\.\d+)?", re.ASCII)

UPCASTERS: dict[tuple[str, int], Callable[[dict[str, Tree]], dict[str, Tree]]] = {}
"""(name, version) -> a pure function from that version's body to the next one's. Bytes on disk never change."""


class CodecFault(ValueError):
    """A body that cannot be written or read; the message names the field and what is wrong with it."""


class NewerFault(CodecFault):
    """A body that only a newer program can read."""


def encode(event: Event) -> tuple[str, int, bytes]:
    """(name on disk, version, canonical JSON) of an event. Raises CodecFault."""
    name = NAME_OF[type(event)]
    return name, EVENTS[name][0], to_bytes(event)


def decode(typ: str, ver: int, body: bytes) -> Event:
    """The event behind a body of any version ever shipped. Raises CodecFault."""
    if typ not in EVENTS:
        raise NewerFault(f"{typ}: this program does not know this event")
    now, kind, _ = EVENTS[typ]
    if ver > now:
        raise NewerFault(f"{typ}: version {ver} needs a newer program, this one knows {now}")
    tree = parse(body)
    for old in range(ver, now):
        if (typ, old) not in UPCASTERS:
            raise CodecFault(f"{typ}: nothing leads from version {old} to {old + 1}")
        tree = UPCASTERS[typ, old](tree)
    event: Event = _read(kind, tree, typ)
    return event


def to_bytes(record: object) -> bytes:
    """Canonical JSON of a record (a dataclass). Raises CodecFault."""
    kind: Any = type(record)
    try:
        return canonical(_turns(kind)[0](record))
    except CodecFault as fault:
        raise CodecFault(f"{kind.__name__}{fault}") from None


def from_bytes(kind: type[T], body: bytes) -> T:
    """The record of this kind behind canonical JSON. Raises CodecFault."""
    record: T = _read(kind, parse(body), kind.__name__)
    return record


def canonical(tree: Tree) -> bytes:
    """The one way to write a tree: sorted keys, no spaces, UTF-8. Raises CodecFault for text that is not Unicode."""
    try:
        return json.dumps(tree, ensure_ascii=False, allow_nan=False, sort_keys=True, separators=(",", ":")).encode()
    except UnicodeEncodeError as fault:
        raise CodecFault(f": text that UTF-8 can not hold ({fault.object[fault.start : fault.end]!r})") from None


def parse(body: bytes) -> Tree:
    """The tree behind JSON without floats. Raises CodecFault."""
    try:
        return json.loads(body.decode(), parse_float=_no_float, parse_constant=_no_float)
    except (UnicodeDecodeError, json.JSONDecodeError) as fault:
        raise CodecFault(f"not JSON in UTF-8: {fault}") from None


def _no_float(text: str) -> Tree:
    raise CodecFault(f"a number with a point has no place in a body: {text}")


def _read(kind: Any, tree: Tree, name: str) -> Any:
    try:
        return _turns(kind)[1](tree)
    except CodecFault as fault:
        raise CodecFault(f"{name}{fault}") from None


@cache
def _turns(hint: Any) -> tuple[Turn, Turn]:
    """(record to tree, tree to record) for a type hint. Raises TypeError for a hint that has no place in a body."""
    origin, args = get_origin(hint), get_args(hint)
    if hint in (str, int, bool):
        return _plain(hint), _plain(hint)
    if hint is Decimal:
        return _decimal_out, _decimal_in
    if isinstance(hint, type) and issubclass(hint, Enum):
        return _same_kind(hint, lambda value: value.value), _enum_in(hint)
    if isinstance(hint, type) and is_dataclass(hint):
        return _record(hint)
    if origin is Literal:
        return _one_of(args), _one_of(args)
    if origin in (Union, UnionType) and len(args) == 2 and NoneType in args:
        out, back = _turns(next(arg for arg in args if arg is not NoneType))
        return _or_none(out), _or_none(back)
    if origin is tuple and len(args) == 2 and args[1] is ...:
        out, back = _turns(args[0])
        return _each(tuple, out, list), _each(list, back, tuple)
    if origin is tuple:
        turns = [_turns(arg) for arg in args]
        return _row(tuple, [out for out, _ in turns], list), _row(list, [back for _, back in turns], tuple)
    if origin is frozenset:
        out, back = _turns(args[0])
        return _each(frozenset, out, sorted), _each(list, back, frozenset)
    if origin is dict and args[0] is str:
        out, back = _turns(args[1])
        return _pairs_out(out), _pairs_in(back)
    raise TypeError(f"no way to keep {hint}")


def _fault(value: object, wanted: str) -> CodecFault:
    return CodecFault(f": {wanted} expected, not {value!r}"[:200])


def _plain(kind: type) -> Turn:
    def turn(value: Any) -> Any:
        if type(value) is kind:
            return value
        if kind is str and isinstance(value, str):  # an enum of text where only text is asked
            return str(value)
        raise _fault(value, kind.__name__)

    return turn


_text = _plain(str)


def _decimal_out(value: Any) -> str:
    if not isinstance(value, Decimal) or not value.is_finite():
        raise _fault(value, "Decimal")
    return format(value, "f")


def _decimal_in(text: Any) -> Decimal:
    if not isinstance(text, str) or not _PLAIN.fullmatch(text):
        raise _fault(text, "decimal as text")
    return Decimal(text)


def _same_kind(kind: type, turn: Turn) -> Turn:
    def checked(value: Any) -> Any:
        if not isinstance(value, kind):
            raise _fault(value, kind.__name__)
        return turn(value)

    return checked


def _enum_in(kind: type[Enum]) -> Turn:
    known = {member.value: member for member in kind}

    def turn(value: Any) -> Any:
        if not isinstance(value, str) or value not in known:
            raise _fault(value, f"{kind.__name__} ({', '.join(known)})")
        return known[value]

    return turn


def _one_of(values: tuple[Any, ...]) -> Turn:
    def turn(value: Any) -> Any:
        if not isinstance(value, str) or value not in values:
            raise _fault(value, " or ".join(map(repr, values)))
        return value

    return turn


def _or_none(turn: Turn) -> Turn:
    return lambda value: None if value is None else turn(value)


def _each(given: type, turn: Turn, made: Callable[[list[Any]], Any]) -> Turn:
    def turned(values: Any) -> Any:
        out = []
        for at, value in enumerate(_same(values, given)):
            try:
                out.append(turn(value))
            except CodecFault as fault:
                raise CodecFault(f"[{at}]{fault}") from None
        return made(out)

    return turned


def _row(given: type, turns: list[Turn], made: Callable[[list[Any]], Any]) -> Turn:
    def turned(values: Any) -> Any:
        if len(_same(values, given)) != len(turns):
            raise _fault(values, f"{len(turns)} values")
        return made([turn(value) for turn, value in zip(turns, values, strict=True)])

    return turned


def _pairs_out(turn: Turn) -> Turn:
    def turned(values: Any) -> Any:
        return [[_text(key), _under(key, turn, value)] for key, value in _same(values, dict).items()]

    return turned


def _pairs_in(turn: Turn) -> Turn:
    def turned(pairs: Any) -> Any:
        out: dict[str, Any] = {}
        for pair in _same(pairs, list):
            if len(_same(pair, list)) != 2 or _text(pair[0]) in out:
                raise _fault(pair, "a key of its own and its value")
            out[pair[0]] = _under(pair[0], turn, pair[1])
        return out

    return turned


def _under(key: str, turn: Turn, value: Any) -> Any:
    try:
        return turn(value)
    except CodecFault as fault:
        raise CodecFault(f"[{key!r}]{fault}") from None


def _same(value: Any, kind: type) -> Any:
    if not isinstance(value, kind):
        raise _fault(value, kind.__name__)
    return value


def _record(kind: type) -> tuple[Turn, Turn]:
    hints = get_type_hints(kind)
    parts = [(f.name, *_turns(hints[f.name])) for f in fields(kind)]
    needed = frozenset(f.name for f in fields(kind) if f.default is MISSING and f.default_factory is MISSING)

    def out(record: Any) -> Tree:
        tree: dict[str, Tree] = {}
        for name, turn, _ in parts:
            try:
                tree[name] = turn(getattr(record, name))
            except CodecFault as fault:
                raise CodecFault(f".{name}{fault}") from None
        return tree

    def back(tree: Tree) -> Any:
        found = _same(tree, dict)
        values: dict[str, Any] = {}
        for name, _, turn in parts:
            if name in found:
                try:
                    values[name] = turn(found[name])
                except CodecFault as fault:
                    raise CodecFault(f".{name}{fault}") from None
            elif name in needed:
                raise CodecFault(f".{name}: missing")
        return kind(**values)

    return _same_kind(kind, out), back
