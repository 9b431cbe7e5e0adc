"""The rules of a package opened again: its label is void, and what is asked again follows from where it was opened."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import FetchedPackage, OldLabelGone, Page, Reopen, Turn
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.state.packs import Pack
from kiosk.core.together.loads import void_of
from kiosk.core.together.stations import every_bench

HERE = ("forgotten", "torn")
"""Seen at the bench, before the sterilizer, with nothing taken out: what was looked at stands, where policy says so."""

ANEW = ("taken", "after", "wet")
"""A new trip, everything again. `after`: torn or opened after the sterilizer."""

WET = ("heavy", "cool", "dense", "hot", "unknown")
"""Why a package came out wet, for the trend: too heavy, no time to cool, dense tray, lid on hot, not known."""


def known(pen: Pen, number: str) -> Pack | None:
    """The package by its number, of whichever station."""
    return next((one.packs[number] for one in every_bench(pen.bench, pen.desk) if number in one.packs), None)


def scanned_label(pen: Pen, number: str) -> bool:
    """A package's label was scanned with no tray open: its page. False: a tray is open, or no station knows it."""
    if known(pen, number) is None or next_step(pen.bench, pen.desk).kind != "scan":
        return False
    pen.turn = Turn(page=Page.PACKAGE, subject=number)
    return True


def reopen(pen: Pen, command: Reopen) -> None:
    """Open a package again. Its label, and those of a split set's other parts, are void for good."""
    pack = known(pen, command.number)
    if pack is None or next_step(pen.bench, pen.desk).kind != "scan" or command.why not in HERE + ANEW:
        raise Refused("refused.not_asked")
    if void_of(pen.bench, pen.desk, command.number):
        raise Refused("refused.label_void", number=command.number)
    if (command.why == "wet") is not (command.reason in WET):
        raise Refused("refused.not_asked")
    mine = command.number in pen.bench.packs and (pack.trip in pen.bench.trips or pack.trip in pen.bench.packed)
    stands = mine and command.why in HERE and pen.desk.policy.label_after_opening == "void_and_recheck"
    trip = pack.trip if stands else None
    opened = e.TrayReopened(package=command.number, why=command.why, reason=command.reason)
    pen.write(opened, trip=trip, off_trip=not stands)
    for number in _parts(pen, command.number, pack):
        pen.write(e.LabelVoided(number=number, why=command.why), trip=trip, off_trip=not stands)
    if stands:
        other = pen.bench.trips[pack.trip].opened_by != pen.bench.who
        pen.write(e.Resumed(covered=True, other_person=other, minutes=0), trip=trip)
    pen.turn = Turn(page=Page.OLD_LABEL, subject=command.number)


def _parts(pen: Pen, number: str, pack: Pack) -> tuple[str, ...]:
    """The numbers of all packages of the set that are not void yet; the one opened first."""
    packs = [(key, one) for station in every_bench(pen.bench, pen.desk) for key, one in station.packs.items()]
    others = [key for key, one in packs if one.trip == pack.trip and key != number]
    return tuple(key for key in (number, *others) if not void_of(pen.bench, pen.desk, key))


def old_label_gone(pen: Pen, command: OldLabelGone) -> None:
    """The old label is destroyed."""
    if not void_of(pen.bench, pen.desk, command.number):
        raise Refused("refused.not_asked")
    pen.write(e.OldLabelDestroyed(number=command.number), off_trip=True)


def fetched(pen: Pen, command: FetchedPackage) -> None:
    """A package of a load found bad is here; unopened, it goes back whole."""
    if void_of(pen.bench, pen.desk, command.number) != "load_withdrawn" or known(pen, command.number) is None:
        raise Refused("refused.not_asked")
    pen.write(e.PackageFetched(number=command.number), off_trip=True)
    pen.turn = Turn(page=Page.OLD_LABEL, subject=command.number)
