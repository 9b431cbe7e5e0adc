"""What the sheet and the label say of the tray as a whole: split, over the limit, loaner, implants, rush."""

from kiosk.core.glance import Glance
from kiosk.core.state.trip import Trip
from kiosk.core.together.rush import rush_of
from kiosk.core.viewing.loaner import set_words
from kiosk.core.weight import in_both


def of_tray(g: Glance, trip: Trip) -> tuple[str, ...]:
    """The lines of the sheet's box that speak of the tray as a whole."""
    say = g.words.say
    out = []
    tray = trip.tray
    if tray.loaner:
        out.append(say("paper.sheet.exceptions.loaner", set=set_words(trip)).strip())
    if tray.loaner and tray.loaner.vendor:
        names = {
            "vendor": tray.loaner.vendor,
            "when": tray.loaner.received or "-",
            "who": tray.loaner.received_by or "-",
        }
        out.append(say("paper.sheet.exceptions.vendor", **names))
    if tray.implants:
        out.append(say("paper.sheet.exceptions.implant"))
    for line, (gone, back) in trip.implants.items():
        out.append(say("paper.sheet.exceptions.used", line=line, used=gone, refilled=back))
    if trip.second_counted_by:
        out.append(say("paper.sheet.exceptions.second", name=g.name_of(trip.second_counted_by)))
    if trip.left_ms is not None:
        out.append(say("paper.sheet.exceptions.home"))
    if trip.parts:
        weights = ", ".join(in_both(*reading) for reading in trip.part_weights)
        out.append(say("paper.sheet.exceptions.split", n=trip.parts, who=g.name_of(trip.split_by), weights=weights))
    if trip.over_lb:
        out.append(say("paper.sheet.exceptions.heavy", limit=in_both(trip.over_lb, "lb")))
    return tuple(out)


def alerts(g: Glance, trip: Trip, package: str) -> tuple[str, ...]:
    """The label's alerts that speak of the tray as a whole."""
    say = g.words.say
    out = []
    if trip.tray.implants:
        out.append(say("paper.label.implant"))
    if trip.tray.loaner:
        out.append(say("paper.label.loaner", set=set_words(trip)).strip())
    if rush_of(g.bench, g.desk, trip.tray.code, but=trip.id) is not None:
        out.append(say("paper.label.rush"))
    if package in trip.packages:
        out.append(say("paper.label.part", n=trip.packages.index(package) + 1, of=len(trip.packages)))
    return tuple(out)
