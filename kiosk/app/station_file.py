"""The station's own file beside its store: read with a sentence for each fault, kept whole and durably."""

from dataclasses import asdict, fields
from pathlib import Path
from typing import Any

import yaml

from kiosk.core.set_up import LEAST_FINE, MOST_FINE
from kiosk.core.settings import CHOICES
from kiosk.core.station import MOST_OFFSET_MM, Station
from kiosk.resources import ResourceFault, read_yaml
from kiosk.store.durable import sync_folder, write_durably

FILE = "station.yaml"
"""Its name in the store's folder."""

HEAD = "# How this station is set up. The pages of the set-up write it; minutes of 0: never.\n"
MOST_MINUTES = 240


class StationFault(ResourceFault):
    """A station's file that can not be used; the message is one sentence naming the file and the field."""


def read_station(path: Path) -> Station:
    """The station in `path`; a new one where there is no file. Raises StationFault."""
    if not path.is_file():
        return Station()
    try:
        tree = read_yaml(path)
    except ResourceFault as fault:
        raise StationFault(str(fault)) from fault
    if not isinstance(tree, dict):
        raise StationFault(f"{path.name}: is not a list of `key: value` lines")
    known = {each.name for each in fields(Station)}
    for key in tree:
        if key not in known:
            raise StationFault(f"{path.name}: field {key}: this tool does not know it")
    values: dict[str, Any] = {}
    for key, value in tree.items():
        try:
            values[key] = _READ[key](value)
        except (TypeError, ValueError) as fault:
            raise StationFault(f"{path.name}: field {key}: cannot use {value!r}") from fault
    return Station(**values)


def keep_station(path: Path, station: Station) -> None:
    """Keep the station, whole or not at all, before this returns. Raises OSError."""
    if not path.parent.is_dir():
        path.parent.mkdir(parents=True)
        sync_folder(path.parent.parent)
    values = {key: list(value) if isinstance(value, tuple) else value for key, value in asdict(station).items()}
    write_durably(path, (HEAD + yaml.safe_dump(values, sort_keys=False, allow_unicode=True)).encode())


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _language(value: Any) -> str:
    if value not in {"", *CHOICES["language"]}:
        raise ValueError
    return _text(value)


def _bench(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 99:
        raise ValueError
    return value


def _between(value: Any, least: float, most: float) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not least <= value <= most:
        raise ValueError
    return float(value)


def _fine(value: Any) -> float:
    return 0.0 if value == 0 else _between(value, LEAST_FINE, MOST_FINE)


def _minutes(value: Any) -> float:
    return _between(value, 0, MOST_MINUTES)


def _offset(value: Any) -> tuple[float, float]:
    x, y = value
    return _between(x, -MOST_OFFSET_MM, MOST_OFFSET_MM), _between(y, -MOST_OFFSET_MM, MOST_OFFSET_MM)


def _texts(value: Any) -> tuple[str, ...]:
    if not isinstance(value, list):
        raise TypeError
    return tuple(map(_text, value))


_READ: dict[str, Any] = {
    "language": _language,
    "bench": _bench,
    "px_per_mm": _fine,
    "panel": _text,
    "touch_mm": _offset,
    "printer": _text,
    "camera": _text,
    "dim_minutes": _minutes,
    "hide_minutes": _minutes,
    "answered": _texts,
}
