"""Washer loads as all stations know them: released, withdrawn, not released yet; and what they brought."""

from kiosk.core.desk import Desk
from kiosk.core.policy import Policy
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.state.bench import Bench
from kiosk.core.state.packs import LoadWord, Pack
from kiosk.core.state.trip import Trip, loads_of
from kiosk.core.together.seen import known, standing
from kiosk.core.together.stations import every_bench, led


def word_of(bench: Bench, desk: Desk, load: str) -> LoadWord | None:
    """The word of a supervisor about a load that counts, at whichever station: of those that nobody had seen, the last.

    Clocks do not decide. Of two that were said without each other, "found bad" stands.
    """
    return max(standing(_words(bench, desk, load)), key=_rank, default=None)


def _words(bench: Bench, desk: Desk, load: str) -> list[LoadWord]:
    """The last words of each station; a release only under the name of somebody who led then."""
    every = [word for one in every_bench(bench, desk) for word in one.load_words.get(load, ())]
    return [word for word in every if not word.released or led(desk, word.by, word.at_ms)]


def _rank(word: LoadWord) -> tuple[bool, int]:
    return not word.released, word.at_ms


def words_known(bench: Bench, desk: Desk, load: str) -> tuple[str, ...]:
    """What a word about a load that is said now names as seen."""
    return known(_words(bench, desk, load))


def is_released(bench: Bench, desk: Desk, load: str) -> bool:
    """Is it signed for: by the washer's own list, or by the word of a supervisor that counts?"""
    word, known = word_of(bench, desk, load), desk.catalogue.loads.get(load)
    return word.released if word else known is not None and known.released


def unreleased(bench: Bench, desk: Desk, trip: Trip) -> str:
    """The first of the tray's loads that is not released, or ""."""
    return next((load for load in loads_of(trip) if not is_released(bench, desk, load)), "")


def found_bad(bench: Bench, desk: Desk, loads: tuple[str, ...]) -> str:
    """The first of these loads that was withdrawn, or ""."""
    words = ((load, word_of(bench, desk, load)) for load in loads)
    return next((load for load, word in words if word is not None and not word.released), "")


def packages_of(bench: Bench, desk: Desk, load: str) -> tuple[tuple[str, Pack], ...]:
    """The packages of every station that hold something of this load, oldest first: (number, record)."""
    all_ = ((number, pack) for one in every_bench(bench, desk) for number, pack in one.packs.items())
    return tuple(sorted((row for row in all_ if load in row[1].loads), key=_packed_ms))


def _packed_ms(row: tuple[str, Pack]) -> int:
    return row[1].at_ms


def void_of(bench: Bench, desk: Desk, number: str) -> str:
    """Why a package number is void, at whichever station that was said; or ""."""
    return next((one.void[number] for one in every_bench(bench, desk) if number in one.void), "")


def soiled_in_shift(bench: Bench, desk: Desk, load: str, at_ms: int, offset_min: int, policy: Policy) -> int:
    """How many pieces of a load were found soiled in the shift of that moment, at all stations together."""
    here = shift_of(local_time(at_ms, offset_min), policy.shifts)
    found = {
        (trip, piece)
        for one in every_bench(bench, desk)
        for trip, rows in one.soiled.items()
        for from_load, piece, when in rows
        if from_load == load and shift_of(local_time(when, offset_min), policy.shifts) == here
    }
    return len(found)


def alerted(bench: Bench, desk: Desk, load: str, at_ms: int, offset_min: int, policy: Policy) -> bool:
    """Was the load alert of this load given in the shift of that moment, at any station?"""
    here = shift_of(local_time(at_ms, offset_min), policy.shifts)
    given = (one.alerts[load] for one in every_bench(bench, desk) if load in one.alerts)
    return any(shift_of(local_time(when, offset_min), policy.shifts) == here for when in given)
