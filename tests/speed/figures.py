"""What was measured beside what it stands against, in one run: medians, their ratio, least and most."""

import os
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

MILLION = "THROUGHLIGHT_MILLION" in os.environ
EVENTS = 1_000_000 if MILLION else 50_000
"""Events of the stores and logs that are measured. `THROUGHLIGHT_MILLION=1` for the large count."""

HEAD = ("row", "what", "against", "ratio", "goal", "ours, median [least, most]", "against, median [least, most]", "n")


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """One row of the table. `goal`: the most that the ratio should be; None where none is written down.

    `row`: the number under which the product's goals of speed name it; 0 where they do not.
    """

    what: str
    against: str
    ours: Sequence[float]
    base: Sequence[float]
    unit: str = "ms"
    goal: float | None = None
    row: int = 0

    @property
    def ratio(self) -> float:
        """Median of ours to median of the other."""
        return statistics.median(self.ours) / statistics.median(self.base)

    def cells(self) -> tuple[str, ...]:
        """As the table shows it."""
        goal = "none" if self.goal is None else f"{self.goal:g}"
        runs = str(len(self.ours))
        row = str(self.row or "")
        return (
            row,
            self.what,
            self.against,
            f"{self.ratio:.2f}",
            goal,
            *map(self._spread, (self.ours, self.base)),
            runs,
        )

    def _spread(self, values: Sequence[float]) -> str:
        middle, least, most = map(_short, (statistics.median(values), min(values), max(values)))
        return f"{middle} {self.unit} [{least}, {most}]"


def _short(value: float) -> str:
    """Three figures that count, and no power of ten."""
    return f"{value:,.0f}" if value >= 100 else f"{value:.3g}"


def table(figures: Sequence[Figure]) -> str:
    """The rows as Markdown."""
    rows = [HEAD, ("---",) * len(HEAD), *(figure.cells() for figure in figures)]
    return "\n".join(f"| {' | '.join(row)} |" for row in rows)


def took_ms(step: Callable[[], object]) -> float:
    """How long it took, in milliseconds."""
    start = time.perf_counter()
    step()
    return 1000 * (time.perf_counter() - start)


def in_turn(ours: Callable[[], object], base: Callable[[], object], runs: int = 3) -> tuple[list[float], list[float]]:
    """Milliseconds of both, one after the other, so many times."""
    both = [(took_ms(base), took_ms(ours)) for _ in range(runs)]
    return [mine for _, mine in both], [other for other, _ in both]
