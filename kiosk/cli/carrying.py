"""The log on a stick, by command: written as bundles, and taken in from them."""

import argparse
import time
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, bytes_of, opened, print_json, store_folder

if TYPE_CHECKING:
    from kiosk.store.bench_store import BenchStore
    from kiosk.sync.bundle_format import Header


def bundle(args: argparse.Namespace) -> int:
    """Write, read."""
    return {"write": _write, "read": _read}[args.what](args)


def options(job: argparse.ArgumentParser, what: str) -> None:
    """What each of the commands may be told."""
    if what == "write":
        job.add_argument("to", type=Path, metavar="DIR|FILE", help="folder on the stick, or the file NAME.bundle")
        job.add_argument(
            "--since-acked", action="store_true", help="only what the hub did not have when it last answered"
        )
    else:
        job.add_argument("files", nargs="+", type=Path, metavar="FILE", help="bundles")
        job.add_argument(
            "--trust",
            action="append",
            default=[],
            metavar="HEX",
            help="the key of a station that is not known here yet, as that station says it",
        )


def _write(args: argparse.Namespace) -> int:
    """Exit 1 where events stay behind, because nobody here can sign for them."""
    from kiosk.resources import words
    from kiosk.store.database import FILE
    from kiosk.sync.bundle_format import SUFFIX
    from kiosk.sync.bundle_writing import write_bundles
    from kiosk.sync.courier import acknowledged

    folder = store_folder(args)
    if not (folder / FILE).is_file():
        raise CallFault(f"{folder}: there is no store here")
    if not args.to.is_dir() and not (args.to.suffix == SUFFIX and args.to.parent.is_dir()):
        # None is made: what is written beside a stick that is not there would look as if it were on it.
        raise CallFault(f"{args.to}: there is no such folder, and a file is named NAME{SUFFIX}")
    acked = acknowledged(folder) if args.since_acked else None
    written, left_out = write_bundles(folder, args.to, at_ms=_now_ms(), acked=acked)
    if args.json:
        files = [{"file": str(one.file), **_told(one.header), "bytes": one.size} for one in written]
        left = [{"origin": one.origin, "from": one.first, "to": one.last} for one in left_out]
        print_json({"files": files, "left_out": left, "may_be_pulled_out": True})
        return 1 if left_out else 0
    say = words().say
    for one in written:
        header = one.header
        names = {"file": one.file, "bench": header.bench, "first": header.first, "last": header.last}
        print(say("bundle.written", size=one.size, **names))
    for bench, key in dict.fromkeys((one.header.bench, one.header.public_key.hex()) for one in written):
        print(say("bundle.key", bench=bench, hex=key))
    for left_one in left_out:
        print(say("bundle.left_out", origin=left_one.origin, first=left_one.first, last=left_one.last))
    print(say("bundle.out" if written else "bundle.nothing"))
    return 1 if left_out else 0


def _read(args: argparse.Namespace) -> int:
    """Exit 1 where a bundle was refused; the others are taken in."""
    trusted = [bytes_of(text) for text in args.trust]
    with opened(args) as store:
        out = [_take(store, path, trusted) for path in _in_order(args.files)]
    if args.json:
        print_json([tree for tree, _ in out])
    else:
        for _, lines in out:
            print("\n".join(lines))
    return 0 if all(tree["refused"] is None for tree, _ in out) else 1


def _in_order(files: list[Path]) -> list[Path]:
    """The bundles so that none comes before what it goes on from; what can not be read comes last."""
    from kiosk.store.outage import Outage
    from kiosk.sync.bundle import opened_bundle

    def first(path: Path) -> int:
        try:
            with opened_bundle(path) as found:
                return found.header.first
        except Outage:
            return 1 << 63

    return sorted(files, key=first)


def _take(store: "BenchStore", path: Path, trusted: list[bytes]) -> tuple[dict[str, Any], list[str]]:
    from kiosk.resources import words
    from kiosk.store.outage import Outage
    from kiosk.sync.bundle import take_bundle
    from kiosk.sync.receipt import write_receipt
    from kiosk.sync.stick import shown

    say, name = words().say, shown(path)
    try:
        taken = take_bundle(path, store.heard, trusted=trusted)
    except Outage as fault:
        line = say("bundle.refused", file=name, why=str(fault))
        return {"file": str(path), "refused": fault.key, "says": str(fault)}, [line]
    header = taken.header
    names = {"bench": header.bench, "first": header.first, "last": header.last, "new": taken.new}
    lines, receipt = [say("bundle.taken", file=name, **names)], None
    try:
        receipt = str(write_receipt(path, taken, store.store, at_ms=_now_ms()))
    except Outage as fault:
        lines.append(say("bundle.no_receipt", file=name, why=str(fault)))
    return {"file": str(path), **_told(header), "new": taken.new, "receipt": receipt, "refused": None}, lines


def _told(header: "Header") -> dict[str, Any]:
    return {
        "origin": header.origin,
        "bench": header.bench,
        "key": header.public_key.hex(),
        "from": header.first,
        "to": header.last,
    }


def _now_ms() -> int:
    return time.time_ns() // 1_000_000
