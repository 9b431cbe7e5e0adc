"""Cleaning tests as all stations kept them: the newest, those of a trip, those over action that nobody has answered."""

from kiosk.core.cleaning_tests import Grade, KeptTest
from kiosk.core.desk import Desk
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip, every_load_of
from kiosk.core.together.stations import every_bench, stations

MISTYPED = "mistyped"
DONE = ("back", "again", "process", "other")
"""What a lead says was done about a result at its action level. None of these words clears anything."""


def every_test(bench: Bench, desk: Desk) -> list[KeptTest]:
    """The results of every station that are known here, the newest last."""
    return sorted((test for one in every_bench(bench, desk) for test in one.tests.kept), key=_when)


def _when(test: KeptTest) -> tuple[int, str]:
    return test.at_ms, test.number


def done_about(bench: Bench, desk: Desk, number: str) -> str:
    """What was done about a result, at whichever station that was said; "" while nobody has."""
    said = [one.tests.done[number] for one in every_bench(bench, desk) if number in one.tests.done]
    return next((each for each in said if each != MISTYPED), MISTYPED if said else "")


def unanswered(bench: Bench, desk: Desk) -> list[tuple[str, KeptTest]]:
    """The results at their action level that wait for a lead's word: (station, result), oldest first."""
    return [
        (station, test)
        for station, one in stations(bench, desk).items()
        for test in one.tests.kept
        if test.grade is Grade.ACTION and not done_about(bench, desk, test.number)
    ]


def open_trip_about(bench: Bench, desk: Desk, about: str) -> str:
    """The trip that a tray or a marked piece is on now, at whichever station; or ""."""
    kind, _, code = about.partition("=")
    for one in every_bench(bench, desk):
        for trip in one.trips.values():
            marks = {piece.mark for piece in trip.pieces.values()} - {""}
            here = (kind == "tray" and trip.tray.code == code) or (kind == "item" and code in marks)
            if here and not trip.ended:
                return trip.id
    return ""


def tests_of(bench: Bench, desk: Desk, trip: Trip) -> list[KeptTest]:
    """The results about this trip: of its tray or a piece while it was open, or of a load that brought its pieces."""
    loads = {f"load={load}" for load in every_load_of(trip)}
    return [test for test in every_test(bench, desk) if test.trip == trip.id or test.about in loads]


def meters_known(bench: Bench, desk: Desk) -> list[str]:
    """Meters that results or the department's levels name, the last used first."""
    used = [test.result.meter for test in reversed(every_test(bench, desk))]
    set_ = [levels.meter for levels in desk.policy.cleaning_levels]
    return [meter for meter in dict.fromkeys((*used, *set_)) if meter]
