"""The department's levels for cleaning tests, as its policy holds them: read, written down, chosen for a result.

`{"protein µg/cm²": [3, 6.4], "atp RLU LUM-7": ["none", 250]}`: kind, unit and, of light units always, the meter; then
alert and action. A result at a level counts; where "over" stands third, only one above it does.
"""

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal, InvalidOperation
from typing import Any

from kiosk.core.cleaning_tests import LevelFault, Levels, Marker, Result, in_unit, is_light, unit_name

OVER, NONE = "over", "none"
DEPARTMENT = "the department"


def levels_from(values: Mapping[str, Sequence[Any]]) -> tuple[Levels, ...]:
    """The levels of a policy. Raises LevelFault with one sentence that names the row."""
    rows = tuple(_row(str(name), row) for name, row in values.items())
    if len({_name(each) for each in rows}) < len(rows):
        raise LevelFault("two rows of cleaning levels speak of the same kind, unit and meter")
    return rows


def _row(name: str, row: Sequence[Any]) -> Levels:
    kind, unit, meter = (*name.split(maxsplit=2), "", "")[:3]
    if kind not in set(Marker) - {Marker.OTHER} or not unit:
        raise LevelFault(f"cleaning level {name!r}: begins with a kind and a unit")
    if is_light(unit) and not meter:
        raise LevelFault(f"cleaning level {name!r}: light units need their meter")
    if isinstance(row, str) or not 2 <= len(row) <= 3 or (len(row) == 3 and row[2] != OVER):
        raise LevelFault(f"cleaning level {name!r}: takes alert and action, and {OVER} or nothing")
    alert, action = (_figure(name, each) for each in row[:2])
    if alert is None and action is None:
        raise LevelFault(f"cleaning level {name!r}: takes at least one level")
    if alert is not None and action is not None and alert > action:
        raise LevelFault(f"cleaning level {name!r}: its alert lies above its action")
    return Levels(
        marker=Marker(kind), unit=unit_name(unit), alert=alert, action=action, source=DEPARTMENT, reached=len(row) == 2,
        meter=meter_name(meter),
    )  # fmt: skip


def _figure(name: str, value: Any) -> Decimal | None:
    if value is None or value == NONE:
        return None
    try:
        number = Decimal(str(value))
    except InvalidOperation as fault:
        raise LevelFault(f"cleaning level {name!r}: {value!r} is no number") from fault
    if isinstance(value, bool) or not number.is_finite() or number <= 0:
        raise LevelFault(f"cleaning level {name!r}: {value!r} is no number above 0")
    return number


def meter_name(text: str) -> str:
    """A meter as it is kept: capitals, one space between words, so that typed and scanned are the same one."""
    return " ".join(text.replace("|", " ").upper().split())


def _row_name(name: str) -> str:
    """A row's name as `levels_from` keeps it: one spelling of micro, one of a meter."""
    kind, unit, meter = (*name.split(maxsplit=2), "", "")[:3]
    return " ".join(filter(None, (kind, unit_name(unit), meter_name(meter))))


def _name(levels: Levels) -> str:
    return " ".join(filter(None, (levels.marker, levels.unit, levels.meter)))


def plain_levels(levels: Iterable[Levels]) -> dict[str, list[str]]:
    """Levels as `levels_from` reads them."""
    return {_name(each): _plain(each) for each in levels}


def _plain(levels: Levels) -> list[str]:
    figures = [NONE if each is None else str(each) for each in (levels.alert, levels.action)]
    return figures if levels.reached else [*figures, OVER]


def levels_for(result: Result, levels: Iterable[Levels]) -> Levels | None:
    """The department's levels that speak of this result; those of its own meter before those of any meter."""
    fit = [each for each in levels if _speaks_of(each, result)]
    return max(fit, key=_own_meter, default=None)


def _own_meter(levels: Levels) -> bool:
    return bool(levels.meter)


def _speaks_of(levels: Levels, result: Result) -> bool:
    light = result.light or is_light(levels.unit)
    if levels.marker is not result.marker or (result.meter != levels.meter and (light or levels.meter)):
        return False
    try:
        in_unit(result, levels.unit)
    except LevelFault:
        return False
    return True


def lower_levels(one: Mapping[str, Sequence[Any]], other: Mapping[str, Sequence[Any]]) -> dict[str, list[Any]]:
    """Every row of either; of a row that both have, the lower of each level."""
    one, other = ({_row_name(name): row for name, row in rows.items()} for rows in (one, other))
    out = {**{name: list(row) for name, row in other.items()}, **{name: list(row) for name, row in one.items()}}
    for name in one.keys() & other.keys():
        alert, action = (_lower(one[name][at], other[name][at]) for at in (0, 1))
        if NONE not in (alert, action) and Decimal(str(alert)) > Decimal(str(action)):
            alert = action
        both = len(one[name]) == len(other[name]) == 3
        out[name] = [alert, action, *((OVER,) if both else ())]
    return out


def _lower(one: Any, other: Any) -> Any:
    figures = [each for each in (one, other) if each != NONE]
    return min(figures, key=_decimal) if figures else NONE


def _decimal(value: Any) -> Decimal:
    return Decimal(str(value))
