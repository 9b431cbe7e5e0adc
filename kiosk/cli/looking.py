"""`look`: where a still of a lumen departs from its own wall or from a known look. It decides nothing."""

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from kiosk.cli.call import CallFault, print_json

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from kiosk.sight.pointing import Pointed

MOST_PIXELS = 50_000_000
"""Bound of one picture, as in a folder that is looked into (`kiosk.devices.folder_look`)."""

AN_AID = "An aid, not a test. A person decides."
NOT_READ = "the way down the tube was not found in it: nothing was compared"
NOT_FITTED = "nothing was compared: the way down the tube was not found, or the known look does not fit on it"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("image", type=Path, metavar="IMAGE", help="a still: PNG or JPEG")
    parser.add_argument("--known", type=Path, metavar="IMAGE", help="the known look, a picture of the same size")
    parser.add_argument("--outlines", type=Path, metavar="FILE.png", help="write the still with its outlines there")


def look(args: argparse.Namespace) -> int:
    """Print the places that depart, strongest first. 0 also where there is none; 1 where nothing could be compared."""
    from kiosk.sight.pointing import point_out

    _not_over(args.outlines, args.image, args.known)
    picture = _read(args.image)
    known = _read(args.known) if args.known else None
    if known is not None and known.shape != picture.shape:
        one, other = (f"{each.shape[1]} x {each.shape[0]}" for each in (known, picture))
        raise CallFault(f"{args.known}: is {one} pixels, the still {other}; both must be of one size")
    found = point_out(picture, known)
    if args.outlines and found is not None:
        _draw(picture, found, args.outlines)
    if args.json:
        print_json(_document(found))
    else:
        print(_text(found, args))
    return 0 if found is not None else 1


def _not_over(outlines: Path | None, *read: Path | None) -> None:
    """Refuses to write the outlines over a picture that is read, by whatever path or link it is named."""
    for path in read:
        if outlines and path and (outlines.resolve() == path.resolve() or _same(outlines, path)):
            raise CallFault(f"--outlines {outlines}: is the picture {path} itself; name another file")


def _same(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:  # one of them is not there
        return False


def _read(path: Path) -> "NDArray[Any]":
    import numpy as np
    from PIL import Image, UnidentifiedImageError

    try:
        with Image.open(path, formats=("PNG", "JPEG")) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise CallFault(f"{path}: is larger than {MOST_PIXELS:,} pixels")
            if min(opened.size) < 16:
                raise CallFault(f"{path}: is smaller than 16 x 16 pixels")
            picture: NDArray[Any] = np.asarray(opened.convert("RGB"))
            return picture
    except (UnidentifiedImageError, SyntaxError, ValueError, Image.DecompressionBombError) as fault:
        raise CallFault(f"{path}: is no picture (PNG or JPEG)") from fault
    except OSError as fault:
        raise CallFault(f"{path}: {fault.strerror or 'is cut off: no whole picture'}") from fault


def _draw(picture: "NDArray[Any]", found: "Pointed", to: Path) -> None:
    from PIL import Image

    from kiosk.sight.drawing import with_outlines

    Image.fromarray(with_outlines(picture, (mark.outline for mark in found.marks))).save(to, "PNG")


def _document(found: "Pointed | None") -> dict[str, Any]:
    if found is None:
        return {"read": None, "axis": None, "against": None, "left_out": 0, "regions": None, "note": AN_AID}
    fit = found.against
    return {
        "read": round(found.read, 3),
        "axis": [round(found.axis.x, 1), round(found.axis.y, 1)],
        "against": fit and {"turn_deg": round(fit.turn_deg, 1), "scale": round(fit.scale, 3), "fit": round(fit.fit, 3)},
        "left_out": found.left_out,
        "regions": [
            {
                "difference": mark.difference,
                "most": mark.most,
                "pixels": mark.pixels,
                "by": mark.by,
                "outline": [[round(float(x), 1), round(float(y), 1)] for x, y in mark.outline],
            }
            for mark in found.marks
        ],
        "note": AN_AID,
    }


def _text(found: "Pointed | None", args: argparse.Namespace) -> str:
    if found is None:
        return f"{args.image}: {NOT_FITTED if args.known else NOT_READ}\n{AN_AID}"
    lines = [f"{len(found.marks)} places depart; {found.read:.0%} of the wall was read"]
    for n, mark in enumerate(found.marks, 1):
        x, y = (sum(each) / len(mark.outline) for each in zip(*mark.outline, strict=True))
        where = f"about x {x:.0f}, y {y:.0f}"
        lines.append(
            f"{n:>3}  {mark.by:<8} difference {mark.difference:>5.1f}, most {mark.most:>5.1f} (CIEDE2000)"
            f"  {mark.pixels:>8.0f} pixels  {where}"
        )
    if found.left_out:
        lines.append(f"{found.left_out} more are left out")
    return "\n".join((*lines, AN_AID))
