"""In what a changed record differs from another change of it, in words."""

from collections.abc import Iterable, Sequence

from kiosk.core.catalogue import Item, Kit, Lumen, Tray
from kiosk.core.glance import Glance
from kiosk.core.state.amendments import KeptRecord


def differences(g: Glance, each: KeptRecord, left: Sequence[KeptRecord]) -> tuple[str, ...]:
    """What this change says that another of them does not."""
    others = [one for one in left if one.mark != each.mark]
    said = list(_said(g, each))
    theirs = [set(_said(g, one)) for one in others]
    own = tuple(line for line in said if any(line not in them for them in theirs))
    return own or (g.words.say("conflict.as_before"),)


def _said(g: Glance, each: KeptRecord) -> Iterable[str]:
    """A record as sentences, one a value."""
    if each.item:
        return _of_item(g, each.item)
    if each.whole:
        return _of_tray(g, each.whole)
    if each.kit:
        return _of_kit(g, each.kit)
    released = each.load is not None and each.load.released
    return [g.words.say("records.released" if released else "records.not_released")]


def _of_item(g: Glance, item: Item) -> list[str]:
    return [line for way in item.lumens for line in _of_lumen(g, way)]


def _of_lumen(g: Glance, way: Lumen) -> list[str]:
    say = g.words.say
    none = say("records.none")
    values = {
        "inside_mm": f"{way.inside_mm} mm" if way.inside_mm is not None else none,
        "length_mm": f"{way.length_mm} mm" if way.length_mm is not None else none,
        "source": say(f"records.learnt.{way.learnt}") if way.learnt != "typical" else say("records.not_confirmed"),
        "air_kpa": f"{way.air_kpa} kPa" if way.air_kpa is not None else none,
        "feature": ", ".join(say(f"feature.{each}") for each in sorted(way.features)) or none,
        "forbid": ", ".join(say(f"name.{each}") for each in sorted(way.forbid)) or none,
    }
    return [f"{say(f'records.field.{field}', lumen=way.name)} {value}" for field, value in values.items()]


def _of_tray(g: Glance, tray: Tray) -> list[str]:
    return [g.words.say("conflict.line", line=line.name, want=line.want) for line in tray.lines]


def _of_kit(g: Glance, kit: Kit) -> list[str]:
    say = g.words.say
    told = [say(f"records.kit_{name}.{'yes' if there else 'no'}").replace("\n", " ") for name, there in _kit(kit)]
    return [*told, *(scope.id for scope in kit.scopes)]


def _kit(kit: Kit) -> tuple[tuple[str, bool], ...]:
    return ("air_station", kit.air_station), ("gauge_pins", kit.gauge_pins)
