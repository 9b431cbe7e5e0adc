"""Reference pictures by file: one is offered for an item type and a finding; two people agree to it at the desk."""

import argparse
from pathlib import Path

from kiosk.cli.call import opened, print_json
from kiosk.cli.desk import glance_of
from kiosk.cli.readings import checked, decided, keep

JOBS = (
    ("offer", "offer a picture for an item type and a finding; it counts when two people at the desk have agreed"),
    ("list", "the reference pictures, who agreed and when"),
)
"""What may be done, and what it is called in the help."""


def options(parser: argparse.ArgumentParser, what: str) -> None:
    """What a call of one of these jobs may say."""
    if what == "offer":
        parser.add_argument("--type", required=True, metavar="CODE", help="the item type, as fine_suction")
        parser.add_argument("--finding", required=True, metavar="CODE", help="the finding, as bone_grit")
        parser.add_argument("file", type=Path, metavar="FILE", help="a PNG or JPEG picture")


def references(args: argparse.Namespace) -> int:
    """Offer a picture, or list those there are."""
    return {"offer": _offer, "list": _list}[args.what](args)


def _offer(args: argparse.Namespace) -> int:
    from kiosk.core.commands import OfferReference

    data = checked(args.file)
    with opened(args) as store:
        file, digest = keep(store, args.file, data, "reference")
        decided(store, OfferReference(type=args.type, finding=args.finding, file=file, sha256=digest))
    if args.json:
        print_json({"type": args.type, "finding": args.finding, "file": file, "sha256": digest})
    else:
        print(f"{args.file.name}: offered; two people agree to it at the desk")
    return 0


def _list(args: argparse.Namespace) -> int:
    from kiosk.core.composing.references import agreed_words, finding_words, type_words
    from kiosk.core.together.kept_references import every_reference

    with glance_of(args) as g:
        rows = [
            {
                "number": one.picture.number,
                "type": one.picture.type,
                "finding": one.picture.finding,
                "version": one.version,
                "counts": one.newest,
                "by": [{"person": person, "at_ms": at_ms} for person, at_ms in one.by],
                "file": one.picture.file,
                "sha256": one.picture.sha256,
                "said": f"{type_words(g, one.picture.type)}: {finding_words(g, one.picture.finding)}. "
                f"{agreed_words(g, one)}",
            }
            for one in every_reference(g.bench, g.desk)
        ]
    if args.json:
        print_json(rows)
    for row in [] if args.json else rows:
        print(f"{row['number']}  {row['said']}")
    return 0
