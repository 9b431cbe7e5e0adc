"""How many people a wanted waiting time takes: trays that come by chance, and people who pack one after the other.

The model (M/M/c) takes arrivals and packing times for exponential, and nobody for leaving the line. Real trays come in
washer loads: the wait is longer than this where loads are large. Source: Erlang C, e.g. Hillier and Lieberman,
Introduction to Operations Research, chapter on queueing theory.
"""

from dataclasses import dataclass
from math import exp, inf, isfinite

MOST = 1000
"""More people than this are not tried."""


class LineFault(ValueError):
    """No line of work: a rate, a time or a share out of its bounds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """What a line of trays does with so many people. `wait_min` is infinite where it only grows."""

    people: int
    load: float  # people's worth of work that comes in: arrivals times minutes
    waits: float  # the share of trays that wait
    wait_min: float  # mean wait of all trays, minutes
    in_time: float  # the share that waits no longer than wanted

    @property
    def grows(self) -> bool:
        """Does more come in than these people can pack?"""
        return self.load >= self.people


def erlang_b(load: float, people: int) -> float:
    """The share turned away where nobody may wait, by the recursion B(n) = A B(n-1) / (n + A B(n-1))."""
    if load < 0 or people < 0:
        raise LineFault("work and people are no less than none")
    turned = 1.0
    for n in range(1, people + 1):
        turned = load * turned / (n + load * turned)
    return turned


def erlang_c(load: float, people: int) -> float:
    """The share that waits, 1 where the line only grows."""
    if load >= people:
        return 1.0
    turned = erlang_b(load, people)
    return turned / (1 - load / people * (1 - turned))


def line(trays_an_hour: float, minutes_each: float, people: int, within_min: float) -> Line:
    """The line with so many people. Raises LineFault."""
    if not isfinite(trays_an_hour + minutes_each + within_min):
        raise LineFault("trays an hour, minutes each and waiting time are numbers")
    if trays_an_hour <= 0 or minutes_each <= 0 or people < 0 or within_min < 0:
        raise LineFault("trays an hour and minutes each are more than 0, people and waiting time no less")
    load = trays_an_hour * minutes_each / 60
    waits = erlang_c(load, people)
    if load >= people:
        return Line(people=people, load=load, waits=1.0, wait_min=inf, in_time=0.0)
    free = people - load
    return Line(
        people=people,
        load=load,
        waits=waits,
        wait_min=waits * minutes_each / free,
        in_time=1 - waits * exp(-free * within_min / minutes_each),
    )


def people_for(trays_an_hour: float, minutes_each: float, within_min: float, share: float) -> Line:
    """The fewest people with whom at least this share of trays waits no longer than wanted. Raises LineFault."""
    if not 0 < share < 1:
        raise LineFault(f"{share} is no share: between 0 and 1")
    line(trays_an_hour, minutes_each, 0, within_min)  # refuses what is no line
    first = int(trays_an_hour * minutes_each / 60) + 1
    for people in range(first, MOST + 1):
        found = line(trays_an_hour, minutes_each, people, within_min)
        if found.in_time >= share:
            return found
    raise LineFault(f"more than {MOST} people")
