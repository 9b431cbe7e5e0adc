"""What pointing out meets and misses on rendered stills with known soil, as a table with limits.

`python -m tests.sight.sensitivity N [CORES]` prints it for N stills with one soil each and as many without.
"""

import math
import sys
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import pairwise

from kiosk.quality.rates import Rate, rate
from kiosk.sight.pointing import DEFAULT, Settings, point_out
from kiosk.sight.rendered import by_chance, still
from tests.sight.truth import met

WIDTH, HEIGHT = 320, 180
"""A quarter of 1280 x 720 each way, for time. Sizes are told as shares of the height: small soil has fewer pixels."""
CONTRASTS = (2.0, 5.0, 10.0, 20.0)
SIZES = (0.02, 0.04, 0.08)
"""Edges of the classes: CIEDE2000 of the soil from its wall, its width as a share of the picture's height."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """One still: its soil's difference and size (None without soil, or where the soil lies out of the picture), whether
    it was met, its false marks, and whether it was read at all."""

    seed: int
    read: bool
    met: bool
    false: int
    difference: float | None = None
    across: float | None = None


def look(seed: int, *, soil: bool, width: int = WIDTH, height: int = HEIGHT, settings: Settings = DEFAULT) -> Look:
    """Render one still, point out, and hold it against the truth. A still that is not read misses its soil."""
    seen = still(by_chance(seed, soil=soil, width=width, height=height))
    pointed = point_out(seen.picture, settings=settings)
    result = None if pointed is None else met(seen, pointed)
    pixels = int(seen.soil.sum())
    return Look(
        seed=seed,
        read=result is not None,
        met=result is not None and any(result.soils),
        false=0 if result is None else result.false,
        difference=seen.differences[0] if pixels else None,
        across=2 * math.sqrt(pixels / math.pi) / height if pixels else None,
    )


def look_at(number: int) -> Look:
    """The still of a seed: with soil where the seed is even."""
    return look(number, soil=number % 2 == 0)


def looks(count: int, cores: int = 1) -> list[Look]:
    """`count` stills with one soil each and as many without, of seeds from 0 on, each used once."""
    if cores == 1:
        return [look_at(number) for number in range(2 * count)]
    with ProcessPoolExecutor(cores) as pool:
        return list(pool.map(look_at, range(2 * count), chunksize=50))


def by_class(found: Iterable[Look]) -> dict[tuple[int, int], Rate]:
    """Met among all, by class of difference and of size (how many edges lie under it)."""
    counts: dict[tuple[int, int], list[int]] = {}
    for each in found:
        if each.difference is not None and each.across is not None:
            place = (_class(each.difference, CONTRASTS), _class(each.across, SIZES))
            row = counts.setdefault(place, [0, 0])
            row[0] += each.met
            row[1] += 1
    return {place: rate(row[0], row[1]) for place, row in counts.items()}


def false_marks(found: Sequence[Look]) -> tuple[float, Rate]:
    """Mean false marks a picture, and pictures with any among all that were read."""
    read = [each for each in found if each.read]
    return sum(each.false for each in read) / len(read), rate(sum(each.false > 0 for each in read), len(read))


def _class(value: float, edges: Sequence[float]) -> int:
    return sum(value >= edge for edge in edges)


def _names(edges: Sequence[float], form: str, unit: str) -> list[str]:
    said = [format(edge, form) for edge in edges]
    between = [f"{low} to {high}{unit}" for low, high in pairwise(said)]
    return [f"under {said[0]}{unit}", *between, f"{said[-1]}{unit} and more"]


def _cell(given: Rate | None) -> str:
    if given is None or given.share is None or given.wilson is None or given.exact is None:
        return "none"
    low, high = (f"{limit:.2f}" for limit in given.wilson)
    return f"{given.share:.2f} [{low}, {high}] ({given.found} of {given.of})"


def table(found: Sequence[Look]) -> str:
    """The table in Markdown with Wilson's limits at 95 %, and the lines on false marks beneath it."""
    rates = by_class(found)
    sizes = _names(SIZES, ".0%", "")
    lines = [f"| soil against its wall (CIEDE2000) | {' | '.join(sizes)} |", "| --- " * (len(sizes) + 1) + "|"]
    for row, name in enumerate(_names(CONTRASTS, "g", "")):
        cells = [_cell(rates.get((row, column))) for column in range(len(sizes))]
        lines.append(f"| {name} | {' | '.join(cells)} |")
    soiled = [each for each in found if each.difference is not None]
    whole = rate(sum(each.met for each in soiled), len(soiled))
    lines += ["", f"All soil that shows: {_cell(whole)}; exact limits {_limits(whole)}."]
    for name, part in (("with soil", soiled), ("without", [each for each in found if each.difference is None])):
        mean, some = false_marks(part)
        lines.append(
            f"Pictures {name}: {mean:.3f} false marks a picture; some in {_cell(some)}, exact limits {_limits(some)}; "
            f"not read {sum(not each.read for each in part)} of {len(part)}."
        )
    return "\n".join(lines)


def _limits(given: Rate) -> str:
    return "none" if given.exact is None else f"[{given.exact[0]:.3f}, {given.exact[1]:.3f}]"


if __name__ == "__main__":
    print(table(looks(int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 1)))  # noqa: T201
