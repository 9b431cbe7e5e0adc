"""The rules of the catalogue by touch: one change, a whole new record, the next version. Open trips keep theirs."""

from dataclasses import replace
from decimal import Decimal, InvalidOperation

from kiosk.core import events as e
from kiosk.core.catalogue import CountLine, Item, Lumen, Tray
from kiosk.core.commands import KeepItem, KeepKit, KeepLoad, KeepTray, Page, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.together.stations import stations
from kiosk.core.together.two_records import names_known
from kiosk.core.vocabulary import Check, Feature, Learnt

LIMITS = {"inside_mm": Decimal(50), "length_mm": Decimal(3000), "air_kpa": Decimal(700)}
"""Beyond these a number is a slip of the finger (a choice, no source)."""


def _known(pen: Pen, record: str) -> tuple[str, ...]:
    return names_known(stations(pen.bench, pen.desk).values(), record)


def _tray(pen: Pen, code: str) -> Tray:
    tray = pen.desk.catalogue.trays.get(code)
    if tray is None:
        raise Refused("refused.not_asked")
    return tray


def keep_tray(pen: Pen, command: KeepTray) -> None:
    """Name, or one line of the count."""
    tray = _tray(pen, command.tray)
    name, line = command.name.strip(), command.line.strip()
    changed = tray
    if name:
        changed, why = replace(tray, name=name), f"name: {tray.name} -> {name}"
    elif not line:
        raise Refused("refused.not_asked")
    elif command.want < 0:  # a new line's name: how many comes next
        if any(each.name == line for each in tray.lines):
            raise Refused("refused.line_there")
        pen.turn = Turn(page=Page.TRAY_RECORD, subject=f"{tray.code}/want/{line}")
        return
    else:
        changed, why = _with_line(tray, line, command.want)
    if changed != tray:
        kept = replace(changed, version=tray.version + 1)
        pen.write(e.TrayRecordKept(tray=kept, why=why, over=_known(pen, f"tray {tray.code}")), off_trip=True)
    pen.turn = Turn(page=Page.TRAY_RECORD, subject=tray.code)


def _with_line(tray: Tray, name: str, want: int) -> tuple[Tray, str]:
    """The tray with this line; 0 takes a plain line out. A lumened item's line keeps to its record."""
    old = next((line for line in tray.lines if line.name == name), None)
    if old is not None and old.item and want < 1:
        raise Refused("refused.line_of_item")
    if old is None:
        lines = (*tray.lines, CountLine(name=name, want=want)) if want else tray.lines
    elif want:
        lines = tuple(replace(line, want=want) if line.name == name else line for line in tray.lines)
    else:
        lines = tuple(line for line in tray.lines if line.name != name)
    items = tuple(replace(item, qty=want) if old and old.item == item.id else item for item in tray.items)
    return replace(tray, lines=lines, items=items), f"{name}: {old.want if old else 0} -> {want}"


def keep_item(pen: Pen, command: KeepItem) -> None:
    """One field of an item record. A size that was changed is not confirmed until its source is named."""
    tray = _tray(pen, command.tray)
    item = next((one for one in tray.items if one.id == command.item), None)
    if item is None:
        raise Refused("refused.not_asked")
    changed, old = _changed(item, command)
    if changed != item:
        source = command.value if command.field == "source" else ""
        where = " ".join(part for part in (command.lumen, command.field) if part)
        event = e.RecordCorrected(
            item=replace(changed, version=item.version + 1),
            tray=tray.code,
            source=source,
            why=f"{where}: {old} -> {command.value}",
            over=_known(pen, f"item {tray.code} {item.id}"),
        )
        pen.write(event, off_trip=True)
    pen.turn = Turn(page=Page.ITEM_RECORD, subject=f"{tray.code}/{item.id}")


def _changed(item: Item, command: KeepItem) -> tuple[Item, str]:
    """The item with the field changed, and what stood there before."""
    value = command.value.strip()
    if command.field == "name" and value:
        return replace(item, name=value), item.name
    way = next((lumen for lumen in item.lumens if lumen.name == command.lumen), None)
    if way is None:
        raise Refused("refused.not_asked")
    new, old = _changed_lumen(way, command.field, value)
    return replace(item, lumens=tuple(new if lumen is way else lumen for lumen in item.lumens)), old


def _changed_lumen(way: Lumen, field: str, value: str) -> tuple[Lumen, str]:
    match field:
        case "inside_mm" | "length_mm":
            old: Decimal | None = getattr(way, field)
            number = _number(value, LIMITS[field])
            if number == old:
                return way, str(old)
            sizes = {"inside_mm": way.inside_mm, "length_mm": way.length_mm, field: number}
            inside, length = sizes["inside_mm"], sizes["length_mm"]
            return replace(way, inside_mm=inside, length_mm=length, learnt=Learnt.TYPICAL), str(old)
        case "air_kpa":
            number = _number(value, LIMITS[field])
            if number != number.to_integral_value():
                raise Refused("refused.record_value")
            return replace(way, air_kpa=int(number)), str(way.air_kpa)
        case "no_air":
            return replace(way, air_kpa=None), str(way.air_kpa)
        case "feature" if value in set(Feature):
            return replace(way, features=way.features ^ {Feature(value)}), ", ".join(sorted(way.features))
        case "forbid" if value in set(Check):
            return replace(way, forbid=way.forbid ^ {Check(value)}), ", ".join(sorted(way.forbid))
        case "source" if value:
            if way.inside_mm is None or way.length_mm is None:
                raise Refused("refused.sizes_first")
            return replace(way, learnt=Learnt.IFU), str(way.learnt)
    raise Refused("refused.record_value")


def _number(value: str, most: Decimal) -> Decimal:
    try:
        number = Decimal(value)
    except InvalidOperation as fault:
        raise Refused("refused.record_value") from fault
    if not (number.is_finite() and 0 < number <= most):
        raise Refused("refused.record_value")
    return number


def keep_kit(pen: Pen, command: KeepKit) -> None:
    """Air station, gauge pins, a scope that is gone. New kit comes by file, with its measures."""
    kit = pen.desk.catalogue.kit
    match command.field:
        case "air_station":
            changed = replace(kit, air_station=not kit.air_station)
        case "gauge_pins":
            changed = replace(kit, gauge_pins=not kit.gauge_pins)
        case "scope" if any(scope.id == command.value for scope in kit.scopes):
            changed = replace(kit, scopes=tuple(scope for scope in kit.scopes if scope.id != command.value))
        case _:
            raise Refused("refused.not_asked")
    why = f"{command.field} {command.value}".strip()
    pen.write(e.KitRecordKept(kit=changed, why=why, over=_known(pen, "kit")), off_trip=True)
    pen.turn = Turn(page=Page.KIT_RECORD)


def keep_load(pen: Pen, command: KeepLoad) -> None:
    """A load's release, as its signed printout says."""
    load = pen.desk.catalogue.loads.get(command.load)
    if load is None:
        raise Refused("refused.not_asked")
    if load.released != command.released:
        why = f"released: {load.released} -> {command.released}"
        kept = replace(load, released=command.released)
        pen.write(e.LoadRecordKept(load=kept, why=why, over=_known(pen, f"load {load.id}")), off_trip=True)
    pen.turn = Turn(page=Page.LOAD_RECORDS)
