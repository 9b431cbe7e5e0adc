"""What lets this bench in at the hub: login and password, in a file beside the store that only its owner may read."""

import os
from dataclasses import dataclass
from pathlib import Path

import yaml

from kiosk.store.durable import write_durably
from kiosk.store.outage import Outage, outages

FILE = "hub.yaml"


def keys_of(store: Path) -> Path:
    """The folder of a store's secrets: beside it, never in it, so that no copy of the store carries them along."""
    return store.with_name(f"{store.name}.keys")


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """A login of the hub. `department`: for the channel that wakes. `ca`: the hub's own authority, where it has one."""

    login: str
    password: str
    department: str
    ca: str = ""


def read_entry(path: Path) -> Entry:
    """The login in this file. Raises Outage where there is none, or where others could read it."""
    try:
        found = path.stat()
    except FileNotFoundError as fault:
        raise Outage("hub_no_file", file=path.name) from fault
    if found.st_mode & 0o077 or found.st_uid != os.geteuid():
        raise Outage("hub_open_file", file=path.name)
    with outages():
        text = path.read_text("utf-8")
    try:
        values = yaml.safe_load(text)
        entry = Entry(**{str(key): str(value) for key, value in values.items()})
    except (yaml.YAMLError, TypeError, AttributeError) as fault:
        raise Outage("hub_bad_file", file=path.name) from fault
    if not entry.login or not entry.password:
        raise Outage("hub_bad_file", file=path.name)
    return entry


def write_entry(path: Path, entry: Entry) -> None:
    """Write the file so that it is never readable by others, not even for a moment."""
    values = {"login": entry.login, "password": entry.password, "department": entry.department}
    if entry.ca:
        values["ca"] = entry.ca
    before = os.umask(0o077)
    try:
        with outages():
            path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            write_durably(path, yaml.safe_dump(values, sort_keys=False, allow_unicode=True).encode())
    finally:
        os.umask(before)
