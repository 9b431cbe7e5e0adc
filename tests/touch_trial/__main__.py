"""Plays the touch trial and prints its table:  python -m tests.touch_trial [TAPS a station] [SEED]

Exit status: 0 the goal holds (nothing kept wrongly, under 1 % missed at every station); 1 it does not; 2 a bad call.
"""

import os
import sys

from tests.touch_trial.table import lines
from tests.touch_trial.trial import Counts, play, summed

TAPS, SEED, MOST_MISSED = 100_000, 1, 0.01


def main(words: list[str]) -> int:
    """Play every station and say it."""
    if len(words) > 2 or not all(word.isdecimal() and int(word) > 0 for word in words):
        sys.stderr.write("say how many taps a station, and a seed: whole numbers over 0\n")
        return 2
    taps, seed = [int(word) for word in words] + [TAPS, SEED][len(words) :]
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtWidgets import QApplication

    from kiosk.ui.theme import load_fonts
    from tests.touch_trial.pages import STATIONS

    app = QApplication.instance() or QApplication([])
    load_fonts()
    counted = {station.name: play(station, taps, seed) for station in STATIONS}
    sys.stdout.write("\n".join(lines(counted)) + "\n")
    del app
    return 0 if all(_holds(summed(screens.values())) for screens in counted.values()) else 1


def _holds(counts: Counts) -> bool:
    return counts.wrong == 0 and counts.missed / counts.taps < MOST_MISSED


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
