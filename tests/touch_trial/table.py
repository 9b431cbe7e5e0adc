"""The table of the trial, as docs/touch.md shows it."""

from collections.abc import Iterator, Mapping

from kiosk.quality.rates import wilson
from tests.touch_trial.trial import Counts, summed

HEAD = "| station, screen | taps | missed | missed, 95 % limits | kept wrongly | 95 % limits | shown wrongly |"
RULE = "| --- | --- | --- | --- | --- | --- | --- |"


def lines(counted: Mapping[str, Mapping[str, Counts]]) -> Iterator[str]:
    """One row a station in bold, then its screens, most missed first; then what else met the glass, and the causes."""
    yield HEAD
    yield RULE
    for station, screens in counted.items():
        yield _row(f"**{station}**", summed(screens.values()))
        yield from (_row(name, each) for name, each in sorted(screens.items(), key=_most_missed))
    yield ""
    for station, screens in counted.items():
        whole = summed(screens.values())
        lost = ", ".join(f"{n} {cause}" for cause, n in whole.lost.most_common())
        yield f"- {station}: {whole.palms} palms, {whole.drips} drips, {whole.cloths} cloths. Misses: {lost or 'none'}."
        yield from (f"  - kept wrongly: {why}" for why in whole.why)


def _row(name: str, counts: Counts) -> str:
    told = [f"{counts.missed / counts.taps:.2%}", _limits(counts.missed, counts.taps), str(counts.wrong)]
    told += [_limits(counts.wrong, counts.taps), str(counts.shown)]
    return f"| {name} | {counts.taps:,} | {' | '.join(told)} |"


def _limits(found: int, of: int) -> str:
    low, high = wilson(found, of)
    return f"{low:.3%} to {high:.3%}"


def _most_missed(row: tuple[str, Counts]) -> float:
    return -row[1].missed / row[1].taps
