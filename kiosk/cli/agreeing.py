"""The command about readers' agreement: a file of readings in, figures of the group out."""

import argparse
import csv
import io
import re
from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from kiosk.cli.call import CallFault, print_json
from kiosk.cli.figures import sure

if TYPE_CHECKING:
    from kiosk.quality.agreement import Agreement
    from kiosk.quality.picture_set import PictureSet

PICTURE = "picture"
FEWEST, MOST = 100, 1_000_000
"""Resamples that may be asked for. A choice: fewer leave the limits to chance, more take minutes."""

LIMITS_OF_THE_METHOD = (
    "Agreement is not correctness: readers can agree and all be wrong.",
    "A small set says little: limits from few pictures are wide, and with a rare answer still too narrow.",
    "Kappa and alpha fall when one answer is rare, though readers agree as often: choose a set with enough of each.",
    "No standard says how much is enough for pictures of lumens: the house agrees its own figure and dates it.",
)


def agree(args: argparse.Namespace) -> int:
    """Agreement of the readers of a CSV file, a row a picture, a column a reader. Exit 0: no figure is a limit."""
    from kiosk.quality.agreement import agreement_of

    _check(args)
    path = Path(args.file)
    pictures, order = read_readings(path, ordinal=args.ordinal)
    found = agreement_of(pictures, order=order, level=args.level, resamples=args.resamples, seed=args.seed)
    if args.json:
        print_json(_told(found, ordinal=args.ordinal))
    else:
        print("\n".join(_lines(found, ordinal=args.ordinal)))
    return 0


def _check(args: argparse.Namespace) -> None:
    if not 0 < args.level < 1:
        raise CallFault(f"--level {args.level}: give a number between 0 and 1, as 0.95")
    if not FEWEST <= args.resamples <= MOST:
        raise CallFault(f"--resamples {args.resamples}: give {FEWEST} to {MOST}")
    if args.seed < 0:
        raise CallFault(f"--seed {args.seed}: give 0 or more")


def read_readings(path: Path, *, ordinal: bool = False) -> "tuple[PictureSet, tuple[str, ...] | None]":
    """The readings in a CSV file, and the order of the answers where they are steps.

    A header line: `picture` if pictures have names, then a column a reader. An empty cell is a missing reading, a row
    of empty cells is passed over. Capitals and blanks do not make two answers. Steps are numbers. Without names, a
    picture is called by its line. Raises CallFault naming file, line and field; OSError.
    """
    from kiosk.quality.picture_set import PictureSet

    rows = _rows(path)
    first, header = next(rows, (1, []))
    named, readers = _header(f"{path.name} line {first}", header)
    pictures: dict[str, int] = {}
    readings: list[tuple[str | None, ...]] = []
    spelled: dict[str, str] = {}
    for line, row in rows:
        cells = _plain(row)
        if len(cells) > len(header):
            raise CallFault(f"{path.name} line {line}: has {len(cells)} fields, the header has {len(header)}")
        if not any(cells):
            continue
        name = cells[0] if named else f"line {line}"
        if not name:
            raise CallFault(f"{path.name} line {line}, field {PICTURE}: is empty, but the picture has readings")
        if name in pictures:
            raise CallFault(f"{path.name} line {line}, field {PICTURE}: {name} stands in line {pictures[name]} too")
        pictures[name] = line
        own = [*cells[named:], *[""] * (len(header) - len(cells))]
        if ordinal:
            own = [_step(cell, path, line, reader) for cell, reader in zip(own, readers, strict=True)]
        readings.append(tuple(spelled.setdefault(cell.casefold(), cell) if cell else None for cell in own))
    if sum(reading is not None for row in readings for reading in row) < 2:
        raise CallFault(
            f"{path.name} line {max(pictures.values(), default=1)}: there are fewer than two readings in all"
        )
    found = PictureSet(pictures=tuple(pictures), rows=tuple(readings))
    return found, tuple(sorted(spelled.values(), key=Decimal)) if ordinal else None


def _rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """The rows with the line that each begins in; lines without any field are left out."""
    try:
        text = path.read_text(encoding="utf-8-sig")
    except UnicodeDecodeError as fault:
        raise CallFault(f'{path.name}: is not in UTF-8; save it as "CSV UTF-8 (comma delimited)"') from fault
    reader, line = csv.reader(io.StringIO(text, newline=""), strict=True), 1
    try:
        for row in reader:
            if row:
                yield line, row
            line = reader.line_num + 1
    except csv.Error as fault:
        raise CallFault(f"{path.name} line {line}: cannot be read as CSV ({fault})") from fault


def _plain(row: Sequence[str]) -> list[str]:
    return [" ".join(cell.split()) for cell in row]


def _header(at: str, row: Sequence[str]) -> tuple[bool, list[str]]:
    """Do pictures have names, and the columns of the readers."""
    header = _plain(row)
    named = bool(header) and header[0].casefold() == PICTURE
    readers = header[named:]
    if not any(readers):
        raise CallFault(f"{at}: there are no readers; the header is {PICTURE}, then a column for each reader")
    if len(header) == 1 and (found := re.search(r"[;\t]", row[0])):
        raise CallFault(f"{at}: its fields are parted by {'tabs' if found[0] == chr(9) else ';'}; save it with commas")
    for number, reader in enumerate(readers, 1 + named):
        if not reader:
            raise CallFault(f"{at}, field {number}: the reader has no name")
        if reader.casefold() == PICTURE:
            raise CallFault(f"{at}, field {number}: {PICTURE} can only be the first column")
        if reader in readers[: number - 1 - named]:
            raise CallFault(f"{at}, field {number}: the reader {reader} stands twice")
    return named, readers


def _step(cell: str, path: Path, line: int, reader: str) -> str:
    """A step as a plain number, so that 1 and 1.0 are one."""
    if not cell:
        return ""
    if not re.fullmatch(r"-?\d{1,9}(\.\d{1,9})?", cell, re.ASCII):
        raise CallFault(f"{path.name} line {line}, field {reader}: {cell} is not a number; with --ordinal answers are")
    return f"{Decimal(cell).normalize() + 0:f}"


def _told(found: "Agreement", *, ordinal: bool) -> dict[str, object]:
    share, cohen, limits = found.share, found.cohen, found.limits
    return {
        "percent": share.percent if share else None,
        "cohen": cohen.kappa if cohen else None,
        "fleiss": found.fleiss.kappa if found.fleiss else None,
        "krippendorff": found.alpha,
        "agreeing": share.agreeing if share else 0,
        "pairs": share.pairs if share else 0,
        "cohen_standard_error": cohen.standard_error if cohen else None,
        "cohen_limits": cohen.limits if cohen else None,
        "krippendorff_scale": "ordinal" if ordinal else "nominal",
        "krippendorff_limits": limits.limits,
        "level": limits.level,
        "resamples": limits.resamples,
        "resamples_without_alpha": limits.undefined,
        "seed": limits.seed,
        "pictures": found.pictures,
        "pictures_compared": found.compared,
        "readers": found.readers,
        "split": [{"picture": one.picture, "answers": dict(one.answers)} for one in found.split],
    }


def _lines(found: "Agreement", *, ordinal: bool) -> Iterator[str]:
    share, cohen, split = found.share, found.cohen, len(found.split)
    yield f"Pictures: {found.pictures}, read at least twice: {found.compared}. Readers: {found.readers}."
    if share is None:
        yield "Nothing can be compared: no picture was read twice."
    else:
        alike = found.compared - split
        yield f"Agreement: {_share(share.agreeing, share.pairs)} pairs of readings of one picture"
        yield f"Read alike by all who read them: {_share(alike, found.compared)} pictures"
        level = f"{sure(found.limits.level)} % limits"
        if cohen:
            edges = f" [{cohen.limits[0]:z.3f}, {cohen.limits[1]:z.3f}], {level}" if cohen.limits else "; no limits"
            yield f"Cohen's kappa: {cohen.kappa:z.3f}{edges}, {cohen.pictures} pictures"
        elif found.readers != 2:
            yield f"Cohen's kappa: does not apply; it is for two readers, here are {found.readers}"
        else:
            yield "Cohen's kappa: not defined: no variation"
        if found.fleiss:
            yield f"Fleiss' kappa: {found.fleiss.kappa:z.3f}"
        elif found.even:
            yield "Fleiss' kappa: not defined: no variation"
        else:
            yield "Fleiss' kappa: does not apply; not every picture was read equally often"
        yield f"Krippendorff's alpha ({'ordinal' if ordinal else 'nominal'}): {_alpha(found, level)}"
    for one in found.split:
        yield f"Split: {one.picture}: {', '.join(f'{answer} {times}' for answer, times in one.answers.items())}"
    yield from LIMITS_OF_THE_METHOD


def _share(found: int, of: int) -> str:
    """Both numbers, and the percentage where there are enough for one."""
    from kiosk.quality.rates import LEAST_FOR_PERCENT

    return f"{found} of {of}" if of < LEAST_FOR_PERCENT else f"{100 * found / of:.1f} %, {found} of {of}"


def _alpha(found: "Agreement", level: str) -> str:
    if found.alpha is None:
        return "not defined: no variation"
    drawn = found.limits
    made = f"{drawn.resamples} resamples of the pictures, seed {drawn.seed}"
    if drawn.limits:
        left_out = f", {drawn.undefined} without variation left out" if drawn.undefined else ""
        return f"{found.alpha:z.3f} [{drawn.limits[0]:z.3f}, {drawn.limits[1]:z.3f}], {level} from {made}{left_out}"
    if drawn.too_many_undefined:
        return f"{found.alpha:z.3f}; no limits: no variation in {drawn.undefined} of {made}"
    return f"{found.alpha:z.3f}; no limits: all figures are the same in {made}"
