"""The reading practice by file: a set made from pictures, the sets there are, the group's figure of one that ended."""

import argparse
from pathlib import Path
from secrets import token_hex
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, opened, print_json
from kiosk.cli.desk import glance_of

if TYPE_CHECKING:
    from kiosk.core.glance import Glance
    from kiosk.core.readings import GroupFigure, ReadingPicture, ReadingSet
    from kiosk.store.bench_store import BenchStore

KINDS = {".png": b"\x89PNG\r\n\x1a\n", ".jpg": b"\xff\xd8\xff", ".jpeg": b"\xff\xd8\xff"}
"""Kinds of picture by their names, and how their bytes begin."""

MOST_BYTES = 20_000_000
"""The largest picture that is taken (a choice: a still of 12 million points is smaller)."""


JOBS = (
    ("new", "make a set of pictures that every reader is asked, blind"),
    ("list", "the sets, and how many have read each"),
    ("figures", "the group's figure of a set that has ended"),
)
"""What may be done, and what it is called in the help."""


def options(parser: argparse.ArgumentParser, what: str) -> None:
    """What a call of one of these jobs may say."""
    if what != "list":
        parser.add_argument("--name", required=True, help="what the house calls the set, as 2031-Q1")
    if what == "new":
        parser.add_argument("files", nargs="+", type=Path, metavar="FILE", help="PNG or JPEG pictures, 2 to 60")


def readings(args: argparse.Namespace) -> int:
    """Make a set, list the sets, or tell the figure of one."""
    return {"new": _new, "list": _list, "figures": _figures}[args.what](args)


def _new(args: argparse.Namespace) -> int:
    """Keep the pictures durably, then the set; all or none of it counts, as no set names a picture before."""
    from kiosk.core.commands import MakeReadingSet
    from kiosk.core.readings import ReadingPicture

    read = [(path, checked(path)) for path in args.files]
    _none_twice(read)
    with opened(args) as store:
        kept = []
        for n, (path, data) in enumerate(read, 1):
            file, digest = keep(store, path, data, "reading")
            kept.append(ReadingPicture(name=str(n), file=file, sha256=digest))
        decided(store, MakeReadingSet(set=token_hex(16), name=args.name, pictures=tuple(kept)))
    if args.json:
        print_json({"name": args.name.strip(), "pictures": [_picture(one) for one in kept]})
    else:
        print(f"{args.name.strip()}: a set of {len(kept)} pictures; every reader finds it under “Something happened”")
    return 0


def checked(path: Path) -> bytes:
    """The bytes of a PNG or JPEG picture that can be read and names no place. Raises CallFault; OSError."""
    import warnings
    from io import BytesIO

    from PIL import Image, UnidentifiedImageError

    from kiosk.app.picture_place import carries_place

    begins = KINDS.get(path.suffix.lower())
    if begins is None:
        raise CallFault(f"{path.name}: is not named as a picture; give PNG or JPEG")
    with path.open("rb") as file:
        data = file.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise CallFault(f"{path.name}: is larger than {MOST_BYTES // 1_000_000} MB")
    try:
        if not data.startswith(begins):
            raise UnidentifiedImageError
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(BytesIO(data), formats=("PNG", "JPEG")) as opened_picture:
                opened_picture.load()
    except Exception as fault:  # a decoder of foreign bytes: whatever it raises, they are no picture
        raise CallFault(f"{path.name}: cannot be read as a {path.suffix.lower()[1:]} picture") from fault
    if carries_place(data):
        raise CallFault(f"{path.name}: says where on the map it was taken; give one that does not")
    return data


def keep(store: "BenchStore", path: Path, data: bytes, what: str) -> tuple[str, str]:
    """Keep a picture under the name of its bytes: the file's name and their SHA-256. What was kept before stays."""
    from hashlib import sha256

    digest = sha256(data).hexdigest()
    file = f"{what}_{digest[:32]}{path.suffix.lower()}"
    return file, store.keep_picture(file, data)


def decided(store: "BenchStore", command: Any) -> None:
    """Follow a command as the bench would, with nobody signed in, and keep what it leads to. Raises CallFault."""
    from dataclasses import replace

    from kiosk.core.decide import Refused, decide
    from kiosk.core.together.amending import amended
    from kiosk.desk import make_desk
    from kiosk.devices.clock import SystemClock
    from kiosk.resources import words

    desk = replace(make_desk(store.catalogue_or_empty(), store.policy_now()), others=store.records.benches())
    now, bench = SystemClock().now(), replace(store.bench(), who=None)
    desk, _ = amended(desk, bench, now.at_ms)
    try:
        decision = decide(bench, command, desk, now)
    except Refused as refused:
        raise CallFault(words().say(refused.key, **refused.names)) from refused
    store.keep(decision.kept)


def _none_twice(read: list[tuple[Path, bytes]]) -> None:
    """Refuses, before anything is kept, two files that are the same picture, by their names."""
    for n, (path, data) in enumerate(read):
        for before, same in read[:n]:
            if same == data:
                raise CallFault(f"{path.name}: is the same picture as {before.name}")


def _picture(one: "ReadingPicture") -> dict[str, str]:
    return {"name": one.name, "file": one.file, "sha256": one.sha256}


def _list(args: argparse.Namespace) -> int:
    from kiosk.core.together.kept_readings import every_set, how_many

    with glance_of(args) as g:
        rows = []
        for one in every_set(g.bench, g.desk):
            whole, part = how_many(g.bench, g.desk, one)
            state = "ended" if one.ended_ms else "open"
            rows.append({"name": one.name, "state": state, "pictures": len(one.pictures), "whole": whole, "part": part})
    if args.json:
        print_json(rows)
    for row in [] if args.json else rows:
        print("{name}: {pictures} pictures, {state}; read whole by {whole}, in part by {part}".format(**row))
    return 0


def _figures(args: argparse.Namespace) -> int:
    from kiosk.core.together.kept_readings import every_set, figure_of

    with glance_of(args) as g:
        found = next((one for one in every_set(g.bench, g.desk) if one.name == args.name.strip()), None)
        if found is None:
            raise CallFault(f"--name {args.name}: no set is called that")
        if found.ended_ms is None:
            raise CallFault(f"--name {args.name}: the set is still open; its figure is shown when it has ended")
        figure = figure_of(g.bench, g.desk, found)
        assert figure is not None
        _tell(args, g, found, figure)
    return 0


def _tell(args: argparse.Namespace, g: "Glance", found: "ReadingSet", figure: "GroupFigure") -> None:
    from kiosk.core.composing.readings import figure_lines, readers_words, split_words

    if args.json:
        split = [{"picture": _picture(one.picture), "answers": dict(one.answers)} for one in figure.split]
        names = (
            "pictures", "readers", "compared", "alike", "agreeing", "pairs", "percent", "cohen", "cohen_limits",
            "fleiss", "alpha", "alpha_limits", "level", "resamples", "seed",
        )  # fmt: skip
        print_json({"name": found.name, **{name: getattr(figure, name) for name in names}, "split": split})
        return
    print(readers_words(g, figure))
    for line in figure_lines(g, figure):
        print(f"{line.label}: {line.value}  {line.note}".rstrip())
    for one in figure.split:
        print(f"{one.picture.name}: {split_words(g, one)}")
    for text in g.words.lines("readings.limits_of_method"):
        print(text)
