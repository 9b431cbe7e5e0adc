"""The fold of a set's weight, its parts and its package numbers."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.state.trip import Trip


def weighed(trip: Trip, event: e.Weighed | e.WeightStopped) -> Trip:
    """The trip with a reading of the scale: of the whole set, or of one part of it."""
    reading = (event.value, event.unit)
    if event.part:
        trip = replace(trip, part_weights=(*trip.part_weights[: event.part - 1], reading))
    else:
        trip = replace(trip, weight=reading)
    if isinstance(event, e.WeightStopped):
        return replace(trip, weight_over=True, unit_asked=False, over_lb="")
    return replace(trip, weight_over=False, unit_asked=event.asks, over_lb=event.over_lb)


def unweighed(trip: Trip) -> Trip:
    """The trip before the scale: a split set stays split, and what the whole weighed is known."""
    return replace(
        trip,
        weight=trip.weight if trip.parts else None,
        weight_over=False,
        unit_asked=False,
        over_lb="",
        part_weights=(),
    )


def split(trip: Trip, event: e.TraySplit, by: str) -> Trip:
    """The trip as packages of their own weight."""
    return replace(trip, parts=event.parts, split_by=by, part_weights=(), weight_over=False)


def relabeled(trip: Trip, event: e.LabelVoided) -> Trip:
    """The trip with the package number that takes a void one's place."""
    if not event.new:
        return trip
    packages = tuple(event.new if number == event.number else number for number in trip.packages)
    return replace(trip, package=packages[0] if packages else event.new, packages=packages)
