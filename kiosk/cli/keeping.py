"""The commands that keep a store safe: whether it holds, a backup of it, a backup brought back."""

import argparse
from datetime import datetime
from pathlib import Path

from kiosk.cli.call import CallFault, print_json, store_folder


def verify(args: argparse.Namespace) -> int:
    """Prove the store, also while the bench works: nothing is written or locked, unless the facts are made anew."""
    from kiosk.resources import words
    from kiosk.store.proving import prove_store

    if args.rebuild:
        _rebuild(_there(args))
    proof = prove_store(_there(args))
    if args.json:
        print_json(
            {
                "bench": proof.bench,
                "events": proof.events,
                "head": proof.head.hex(),
                "first_bad": proof.first_bad,
                "origins": proof.origins,
                "signed_heads": proof.signed,
                "projections": proof.projections,
                "faults": [{"what": fault.key, **fault.names, "says": str(fault)} for fault in proof.faults],
            }
        )
    elif proof.faults:
        for fault in proof.faults:
            print(fault)
    else:
        say = words().say
        print(say("verify.holds", bench=proof.bench, events=proof.events))
        counts = {"origins": len(proof.origins), "signed": proof.signed, "projections": proof.projections}
        print(say("verify.more", **counts))
    return 1 if proof.faults else 0


def _rebuild(folder: Path) -> None:
    from kiosk.store.database import Store
    from kiosk.store.facts import rebuild

    with Store(folder) as store, store.transaction() as connection:
        rebuild(connection)


def backup(args: argparse.Namespace) -> int:
    """Write a backup, also while the bench works."""
    from kiosk.resources import words
    from kiosk.store.backup import backup_name, write_backup
    from kiosk.store.proving import bench_of

    folder = _there(args)
    to = Path(args.to)
    if to.is_dir() or not to.suffix:
        to = to / backup_name(bench_of(folder), f"{datetime.now().astimezone():%Y%m%d-%H%M%S}")
    made = write_backup(folder, to)
    if args.json:
        print_json({"file": str(made.file), "events": made.seq})
    else:
        print(words().say("backup.written", file=made.file, events=made.seq))
    return 0


def restore(args: argparse.Namespace) -> int:
    """Bring a backup back. One that does not hold changes nothing."""
    from kiosk.resources import words
    from kiosk.store.restore import restore as bring_back

    folder = store_folder(args)
    done = bring_back(Path(args.file), folder)
    say = words().say
    if args.json:
        aside = str(done.aside) if done.aside else None
        print_json({"store": str(folder), "bench": done.bench, "events": done.events, "put_aside": aside})
    else:
        print(say("backup.restored", folder=folder, events=done.events))
        if done.aside:
            print(say("backup.aside", folder=done.aside))
    return 0


def _there(args: argparse.Namespace) -> Path:
    from kiosk.store.database import FILE

    folder = store_folder(args)
    if not (folder / FILE).is_file():
        raise CallFault(f"{folder}: there is no store here")
    return folder
