"""The hub by command: lay it, let benches and readers in, see how it stands."""

import argparse
import sys
from pathlib import Path
from typing import Any
from uuid import UUID

from kiosk.cli.call import CallFault, bytes_of, print_json, store_folder


def hub(args: argparse.Namespace) -> int:
    """Lay, bench, enroll, reader, status."""
    return {"init": _init, "bench": _bench, "enroll": _enroll, "reader": _reader, "status": _status}[args.what](args)


def options(job: argparse.ArgumentParser, what: str) -> None:
    """What each of the commands may be told."""
    if what == "bench":
        return
    job.add_argument("url", metavar="URL", help="postgresql://HOST/DATABASE, as its administrator")
    job.add_argument("--plain", action="store_true", help="without TLS; only to this machine itself")
    job.add_argument("--ca", default="", metavar="FILE", help="the certificate authority of the hub's own")
    if what in {"enroll", "reader"}:
        job.add_argument("--department", required=True, metavar="NAME", help="whose records are seen")
        job.add_argument("--out", type=Path, metavar="FILE", help="write login and password there, for its owner only")
    if what == "reader":
        job.add_argument("--name", required=True, help="who reads")
    if what == "enroll":
        job.add_argument("--bench", dest="station", required=True, metavar="NAME", help="B1, D1: the station")
        job.add_argument("--origin", required=True, metavar="UUID", help="its log, as that station says it")
        job.add_argument("--public-key", required=True, metavar="HEX", help="its log's key, as that station says it")
        job.add_argument(
            "--after", type=int, default=0, metavar="N", help="a log that follows another: after which event"
        )
        job.add_argument("--was", metavar="UUID", help="the log that it follows")
        job.add_argument("--was-h", metavar="HEX", help="the hash of that event")


def _connected(args: argparse.Namespace) -> Any:
    from kiosk.sync.founding import administrator

    return administrator(args.url, plain=args.plain, ca=args.ca)


def _init(args: argparse.Namespace) -> int:
    from kiosk.sync.founding import lay

    with _connected(args) as connection:
        before, after = lay(connection)
    words = "nothing was to be done" if before == after else "laid"
    _say(args, {"before": before, "version": after}, f"hub version {after}: {words}")
    return 0


def _bench(args: argparse.Namespace) -> int:
    """What `enroll` must be told of this station's logs, the first one first. The store may be open meanwhile."""
    from kiosk.sync.own import OwnLog

    log = OwnLog(store_folder(args))
    try:
        station, known = log.station(), log.incarnations()
    finally:
        log.close()
    rows = []
    for one in known:
        row = {"bench": station, "origin": one.origin, "public_key": one.public_key.hex()}
        if one.was_origin:
            row |= {"after": str(one.after_seq), "was": one.was_origin, "was_h": one.was_h.hex()}
        rows.append(row)
    if args.json:
        print_json({"logs": rows})
    for row in [] if args.json else rows:
        print(" ".join(f"--{name.replace('_', '-')} {value}" for name, value in row.items()))
    return 0


def _enroll(args: argparse.Namespace) -> int:
    from kiosk.sync.founding import Incarnation, enroll

    follows = None
    if args.after or args.was or args.was_h:
        if not (args.after and args.was and args.was_h):
            raise CallFault("a log that follows another needs --after, --was and --was-h")
        follows = Incarnation(args.after, _uuid(args.was), bytes_of(args.was_h))
    origin, key = _uuid(args.origin), bytes_of(args.public_key)
    with _connected(args) as connection:
        login, password = enroll(
            connection, department=args.department, bench=args.station, origin=origin, public_key=key, follows=follows
        )
        _hand_over(args, login, password)
    return 0


def _reader(args: argparse.Namespace) -> int:
    from kiosk.sync.founding import enroll_reader

    with _connected(args) as connection:
        login, password = enroll_reader(connection, department=args.department, name=args.name)
        _hand_over(args, login, password)
    return 0


def _hand_over(args: argparse.Namespace, login: str, password: str | None) -> None:
    """The password is shown or written this once, before the login counts; nothing here keeps it."""
    from kiosk.sync.entry import Entry, write_entry

    if password is None:
        _say(args, {"login": login, "new": False}, f"{login} is known; its password stays")
    elif args.out is None:
        _say(args, {"login": login, "new": True, "password": password}, f"{login}\n{password}")
    elif args.out.exists():
        raise CallFault(f"{args.out}: is there already")
    else:
        write_entry(args.out, Entry(login=login, password=password, department=args.department, ca=args.ca))
        _say(args, {"login": login, "new": True, "file": str(args.out)}, f"{login}: its password is in {args.out}")


def _status(args: argparse.Namespace) -> int:
    from kiosk.sync.standing import standing

    with _connected(args) as connection:
        found = standing(connection)
    well = not (found.conflicts or found.uneven)
    if args.json:
        print_json({**found._asdict(), "logs": [log._asdict() for log in found.logs]})
        return 0 if well else 1
    print(f"hub version {found.version}, {found.months_ahead} months ahead")
    for log in found.logs:
        last = f"{log.last:%Y-%m-%d %H:%M} UTC" if log.last else "never"
        print(f"{log.department} {log.bench} {log.origin}: {log.seq} events, last {last}, {log.state}")
        if log.forks:
            print(f"   {log.forks} events of another branch are kept aside")
    for origin in found.uneven:
        print(f"{origin}: holds more or fewer events than its number says", file=sys.stderr)
    return 0 if well else 1


def _uuid(text: str) -> str:
    try:
        return str(UUID(text))
    except ValueError as fault:
        raise CallFault(f"{text} is no origin: give it as the station says it") from fault


def _say(args: argparse.Namespace, document: dict[str, Any], words: str) -> None:
    if args.json:
        print_json(document)
    else:
        print(words)
