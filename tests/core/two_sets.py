"""Two sets of one load whose counts may differ, and what is asked of them."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core.catalogue import Load
from kiosk.core.composing import Order, compose
from kiosk.core.papers import TraySheet
from kiosk.core.past.counters import summary
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.state.trip import Trip
from tests.core.department import EAR, Shift, desk

SISTER, THIRD = "TR-9", "TR-8"


def counted(shift: Shift) -> dict[str, int]:
    shifts = shift.desk.policy.shifts
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), shifts), shift.desk.policy)


def two_sets(**policy: object) -> Shift:
    """The ear set, its sister and a third like them, of one load."""
    shift = Shift(desk=desk(**policy))
    catalogue = shift.desk.catalogue
    ear = catalogue.trays[EAR]
    like = {code: replace(ear, code=code, name=f"Ear set {code}") for code in (SISTER, THIRD)}
    loads = {**catalogue.loads, "W-1": Load(id="W-1", released=True, trays=(*catalogue.loads["W-1"].trays, *like))}
    shift.session.use(replace(shift.desk, catalogue=replace(catalogue, trays={**catalogue.trays, **like}, loads=loads)))
    shift.sign_in()
    return shift


def count_as(shift: Shift, **have: int) -> None:
    """Count the tray on the bench: `bent`, `paired`, `forceps` as given, else as listed."""
    given = {"Bent tube": have.get("bent", 1), "Paired tube": have.get("paired", 2), "Forceps": have.get("forceps", 4)}
    shift.must(*(c.CountLine(line=line, have=n) for line, n in given.items()), c.CountDiffers())


def mixed() -> Shift:
    """The sister was packed as listed; the ear set has one bent tube too many and one paired tube too few."""
    shift = two_sets()
    shift.open(SISTER)
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.tidy()
    shift.open(EAR)
    count_as(shift, bent=2, paired=1)
    return shift


def sheet_of(shift: Shift, trip: Trip | None = None) -> str:
    trip = trip or shift.trip
    sheet = compose(shift.session.glance(), Order(trip=trip, doc="tray_sheet", number=trip.id))
    assert isinstance(sheet, TraySheet)
    return " ".join(sheet.exceptions)


def at_short(**policy: object) -> Shift:
    shift = two_sets(**policy)
    shift.open(EAR)
    count_as(shift, forceps=3)
    return shift
