"""What the commands share: faults of a call, the store of a call, values over the store's, JSON out."""

import argparse
import json
import os
import re
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from kiosk.core.policy import Policy
    from kiosk.store.bench_store import BenchStore


class CallFault(Exception):
    """The call or its input is wrong; the message is one clear line."""


def print_json(document: object) -> None:
    print(json.dumps(document, ensure_ascii=False, indent=2, default=str))


def store_folder(args: argparse.Namespace) -> Path:
    """The store named by the call, or the user's data folder."""
    if args.store is not None:
        return Path(args.store)
    data = Path(os.environ.get("XDG_DATA_HOME") or Path.home() / ".local" / "share")
    side = "bench" if getattr(args, "side", "clean") == "clean" else "decontam"
    if getattr(args, "practice", False):
        return data / "throughlight" / "practice"
    demo = {"bench": "demo", "decontam": "demo-decontam"}
    return data / "throughlight" / (demo[side] if getattr(args, "demo", False) else side)


@contextmanager
def opened(args: argparse.Namespace, *, new: bool = False) -> Iterator["BenchStore"]:
    """The store of the call. Only `new` makes one that is not there: nothing is known of a bench that has none."""
    from kiosk.store.bench_store import BenchStore
    from kiosk.store.database import FILE

    folder = store_folder(args)
    if not new and not (folder / FILE).is_file():
        raise CallFault(f"{folder}: there is no store here")
    store = BenchStore(folder)
    try:
        yield store
    finally:
        store.close()


def values_of(path: Path | None) -> dict[str, Any]:
    from kiosk.resources import read_yaml

    values = read_yaml(path) if path else {}
    if not isinstance(values, dict):
        raise CallFault(f"{path}: is not a list of `key: value` lines")
    return values


@contextmanager
def naming(path: Path | None) -> Iterator[None]:
    """Put file and line before the sentence of a fault in it. The line: of the last of item, lumen, field found."""
    from kiosk.core.policy import PolicyFault
    from kiosk.lumen.records import RecordFault

    try:
        yield
    except (PolicyFault, RecordFault) as fault:
        if path is None:
            raise
        text, at = path.read_text("utf-8"), -1
        for kind, name in re.findall(r"\b(item|lumen|scope|field|key) ([\w-]+)", str(fault).split(": field id ")[0]):
            key = {"lumen": "n", "item": "id", "scope": "id"}.get(kind)
            wanted = rf"\b{key}['\"]?: *['\"]?{name}\b" if key else rf"\b{name}\b"
            if match := re.compile(wanted).search(text, max(at, 0)):
                at = match.start()
        line = f" line {text.count(chr(10), 0, at) + 1}" if at >= 0 else ""
        raise CallFault(f"{path.name}{line}: {fault}") from fault


def policy_of(args: argparse.Namespace, own: Mapping[str, Any] | None = None) -> "Policy":
    from kiosk import resources
    from kiosk.core.policy_choices import check_numbers

    with naming(args.policy):
        given = values_of(args.policy)
        check_numbers(given)
        return resources.policy({**(own or {}), **given})


def bytes_of(text: str) -> bytes:
    """The 32 bytes of a key or a hash, written in hexadecimal. Raises CallFault."""
    try:
        data = bytes.fromhex(text)
    except ValueError as fault:
        raise CallFault(f"{text} is not written in 0 to 9 and a to f") from fault
    if len(data) != 32:
        raise CallFault(f"{text} has not 64 figures")
    return data


def like(pattern: str, make: Callable[[str], Any], words: str) -> Callable[[str], Any]:
    """A reader of one option's text; what does not match is told in `words`."""

    def read(text: str) -> Any:
        try:
            if re.fullmatch(pattern, text, re.ASCII):
                return make(text)
        except ValueError:  # the 31st of a short month
            pass
        raise argparse.ArgumentTypeError(f"{text} will not do: {words}")

    return read


date_of = like(r"\d{4}-\d\d-\d\d", date.fromisoformat, "give it as 2031-03-04")
