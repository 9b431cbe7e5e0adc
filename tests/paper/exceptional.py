"""The papers of the exceptions, with the longest names: tags, a note to discard, a copy, a scope's ticket, a label."""

from collections.abc import Callable
from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core.catalogue import CountLine, Loaner
from kiosk.core.composing import Order, ReportOrder, compose, compose_off_trip
from kiosk.core.papers import PackageLabel, Paper, TraySheet
from kiosk.core.place import Place
from tests.core import test_exposure_notes as notes
from tests.core import test_loaner as loaners
from tests.core.department import Shift, desk
from tests.core.test_kit import away
from tests.paper import crowded

TRAY = "TR-1000"
PIECE = "H0"
REASON = "Ask the operating room which of its sets it came from, and look at every other one of them today."[:120]


def at_a_long_tray(**policy: object) -> Shift:
    """The first of the trays with long names, open and counted."""
    plain = desk(**policy)
    catalogue = crowded.department(plain.catalogue)
    tube = catalogue.trays[TRAY].items[0]
    spare = replace(tube, id="X9", name="Irrigation handpiece with two-way sleeve, spare")
    shift = Shift(desk=replace(plain, catalogue=replace(catalogue, spares={"X9": spare})))
    shift.sign_in()
    shift.open(TRAY)
    return shift


def gone(code: str, what: str) -> Shift:
    """A finding far down the tube, and what it led to."""
    shift = at_a_long_tray()
    shift.count()
    lumen = crowded.TUBE.name
    if code == "single_use_found":
        shift.yes_until(f"{PIECE}.look")
        shift.no(code, Place())
    else:
        shift.yes_until(f"{PIECE}.{lumen}.swab")
        shift.no(code, Place(lumen=lumen, at_mm=130))
    shift.confirm(what)
    return shift


def _of(shift: Shift, doc: str, copy: int = 0) -> Paper:
    number = shift.trip.pieces[PIECE].ticket
    return compose(shift.session.paper_glance(), Order(trip=shift.trip, doc=doc, number=number, copy=copy))


def repair() -> Paper:
    """A dented tube; its spare took its place before the tag was copied."""
    shift = gone("dent", "repair")
    shift.tidy()
    shift.must(c.RuleSubstitute(by="S1", piece=PIECE, spare="X9"))
    return _of(shift, "repair_tag")


def quarantine() -> Paper:
    """A tip of a swab stayed inside."""
    shift = gone("swab_left", "quarantine")
    shift.tidy()
    shift.must(c.RuleQuarantine(by="S1", piece=PIECE, note=REASON))
    return _of(shift, "quarantine_tag")


def quarantine_by_ruling() -> Paper:
    """Single use found, and the supervisor keeps it."""
    shift = gone("single_use_found", "discard")
    shift.must(c.RuleQuarantine(by="S1", piece=PIECE, note=REASON))
    return _of(shift, "quarantine_tag")


def discard() -> Paper:
    """Single use found, thrown away with a long note."""
    shift = gone("single_use_found", "discard")
    shift.must(c.RuleDiscard(by="S1", piece=PIECE, note=REASON))
    return _of(shift, "discard_note")


def ticket_again() -> Paper:
    """The first print was lost: COPY 2."""
    return _of(gone("bone_grit", "item_back"), "return_ticket", copy=1)


def scope_ticket() -> Paper:
    """A soiled borescope crosses."""
    return compose_off_trip(away().session.paper_glance(), ReportOrder(doc="scope_ticket", number="SC-1"))


def exposure_note() -> Paper:
    """A splash, its note filled in."""
    shift = notes.written(notes.splashed())
    for field, value in (("worn", "nothing"), ("aid", "eyes"), ("told", "Person S1"), ("told_at", "825")):
        shift.must(c.WriteNote(field=field, value=value))
    return notes.paper(shift)


def _loaner() -> tuple[TraySheet, PackageLabel]:
    """Part 2 of 6 from a vendor, with implants, counted by two."""
    tray = replace(crowded.department(desk().catalogue).trays[TRAY], lines=(), items=())
    screws = CountLine(name="Screw, locking, self-tapping, 3.5 mm by 42 mm", want=12, implant=True)
    trials = CountLine(name="Trial for the tibial tray, left, size 4, 12 mm", want=30)
    vendor = replace(loaners.LOAN.loaner or Loaner(), vendor="Vendor of knee systems and trials no 12")
    shift = loaners.opened(replace(tray, code="LN-99", lines=(trials, screws), loaner=vendor))
    shift.must(c.CountImplant(line=screws.name, used=2, refilled=2))
    shift.count()
    loaners.second(shift)
    return loaners.packed(shift)


def loaner_sheet() -> Paper:
    """Its count sheet."""
    return _loaner()[0]


def loaner_label() -> Paper:
    """Its label."""
    return _loaner()[1]


PAPERS: dict[str, Callable[[], Paper]] = {
    "repair_tag": repair,
    "quarantine_tag": quarantine,
    "quarantine_tag_by_ruling": quarantine_by_ruling,
    "discard_note": discard,
    "return_ticket_again": ticket_again,
    "scope_ticket": scope_ticket,
    "exposure_note": exposure_note,
    "loaner_tray_sheet": loaner_sheet,
    "loaner_package_label": loaner_label,
}
