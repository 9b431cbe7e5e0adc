"""Single sampling plans, normal inspection, by ISO 2859-1:1999 and ANSI/ASQ Z1.4, Tables 1 and II-A.

The tables were made for goods from a maker, lot after lot, with rules for changing to tightened and reduced inspection
that are not here. They promise little of one lot: `kiosk.quality.sampling` says what a sample of it shows.
Source: the tables; the cells that no check stands beside are from memory.
"""

from bisect import bisect_left

from kiosk.quality.sampling import Plan, SampleFault

LETTERS = "ABCDEFGHJKLMNPQR"
SIZES = (2, 3, 5, 8, 13, 20, 32, 50, 80, 125, 200, 315, 500, 800, 1250, 2000)
"""Sample sizes by letter."""

LEVELS = ("S-1", "S-2", "S-3", "S-4", "I", "II", "III")
"""Inspection levels: the special ones with small samples, and I to III; II where nothing else is said."""

QUALITY = (
    "0.010", "0.015", "0.025", "0.040", "0.065", "0.10", "0.15", "0.25", "0.40", "0.65", "1.0", "1.5", "2.5", "4.0",
    "6.5", "10",
)  # fmt: skip
"""The quality limits (AQL) of the columns, in percent of pieces with something wrong."""

_UP_TO = (8, 15, 25, 50, 90, 150, 280, 500, 1200, 3200, 10_000, 35_000, 150_000, 500_000)
_CODES = (
    "AAAAAAB", "AAAAABC", "AABBBCD", "ABBCCDE", "BBCCCEF", "BBCDDFG", "BCDEEGH", "BCDEFHJ", "CCEFGJK", "CDEGHKL",
    "CDFGJLM", "CDFHKMN", "DEGJLNP", "DEGJMPQ", "DEHKNQR",
)  # fmt: skip
_ACCEPT = {14: 0, 17: 1, 18: 2, 19: 3, 20: 5, 21: 7, 22: 10, 23: 14, 24: 21}
"""Along each diagonal of the table, letter and quality limit counted together, one acceptance number stands."""

_ONE_UP = 15
"""The diagonal between none and one accepted that points to the sample size before; the next one points onward."""


def code_letter(lot: int, level: str = "II") -> str:
    """The letter of the sample size for a lot of 2 pieces or more. Raises SampleFault."""
    if lot < 2 or level not in LEVELS:
        raise SampleFault(f"no letter for a lot of {lot} at level {level}: 2 pieces or more, {', '.join(LEVELS)}")
    return _CODES[bisect_left(_UP_TO, lot)][LEVELS.index(level)]


def single_plan(letter: str, quality: str) -> Plan:
    """The plan of a letter and a quality limit (AQL, percent, as the table writes it). Raises SampleFault."""
    if len(letter) != 1 or letter not in LETTERS or quality not in QUALITY:
        raise SampleFault(f"no plan for letter {letter} and quality limit {quality}: limits are {', '.join(QUALITY)}")
    row, column = LETTERS.index(letter), QUALITY.index(quality)
    for step in _towards(row + column):
        at = row
        while 0 <= at < len(SIZES):
            if at + column in _ACCEPT:
                return Plan(n=SIZES[at], accept=_ACCEPT[at + column])
            at += step
    raise AssertionError(f"the table has a plan for {letter} and {quality}")


def _towards(diagonal: int) -> tuple[int, int]:
    """Where an empty cell points: to the sample size before or the next; the other way at the edge of the table."""
    return (-1, 1) if diagonal == _ONE_UP or diagonal > max(_ACCEPT) else (1, -1)


def plan_for(lot: int, quality: str, level: str = "II") -> Plan:
    """The plan for a lot: the whole of it where the table asks for more pieces than there are. Raises SampleFault."""
    plan = single_plan(code_letter(lot, level), quality)
    return Plan(n=min(plan.n, lot), accept=plan.accept)
