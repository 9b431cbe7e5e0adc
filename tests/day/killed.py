"""A bench of the day as a program of its own, for a parent that kills it. After each act it says how far it is."""

import subprocess
import sys
from datetime import date
from pathlib import Path

from kiosk.rehearsal.day.bench import DayBench
from kiosk.rehearsal.day.play import ON, SEED, bench_of, draw

TURNS = 40
"""Things done by the other program before it is killed."""

BACK_AFTER_MS = 1_800_000
"""How long the bench stays dark: longer than what the other program may have done since it last said something."""

KILLED: list[tuple[int, int]] = []
"""(the last head it said, the head found after the kill), of every kill of this run."""


def main(folder: str, bench: str, at_ms: str, seed: str, on: str) -> None:
    hands = bench_of(draw(int(seed), date.fromisoformat(on)), bench, Path(folder), at_ms=int(at_ms))
    hands.errands.clear()  # the supervisor comes for nothing while this program lives
    while True:
        hands.turn()
        sys.stdout.write(f"{hands.station.store.log.head().seq} {hands.clock.at_ms}\n")
        sys.stdout.flush()


def killed_for_real(hands: DayBench) -> None:
    """Another process takes the bench's store over in the middle of the day, works on, and is killed with SIGKILL."""
    station = hands.station
    station.kill()
    args = [station.folder, station.name, hands.clock.at_ms + 60_000, SEED, ON]
    command = [sys.executable, "-m", "tests.day.killed", *map(str, args)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as other:
        assert other.stdout is not None
        said = at_ms = 0
        for _ in range(TURNS):
            said, at_ms = map(int, other.stdout.readline().split())
        other.kill()
    hands.clock.set_to(at_ms + BACK_AFTER_MS)
    station.start()
    KILLED.append((said, station.store.log.head().seq))


if __name__ == "__main__":
    main(*sys.argv[1:])
