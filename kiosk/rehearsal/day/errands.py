"""What the supervisor does at a bench between two trays, each errand once, at the first chance after its hour."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from kiosk.core import commands as c
from kiosk.core.agenda import to_sign
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.together.loads import void_of
from kiosk.core.together.stations import every_bench
from kiosk.core.vocabulary import Role
from kiosk.rehearsal.month import PIN

if TYPE_CHECKING:
    from kiosk.rehearsal.day.bench import DayBench


def call(hands: "DayBench", errand: Callable[["DayBench"], None]) -> None:
    """The tech makes room; the supervisor signs in, does it, and signs out."""
    if hands.bench.who is not None:
        hands.send(c.SignOut(), after_s=10)
    lead = hands.watch.lead
    hands.send(c.Scanned(meaning=Meaning(kind=Kind.PERSON, text=lead)), after_s=20)
    hands.send(c.EnterPin(person=lead, pin=PIN), after_s=6)
    errand(hands)
    hands.send(c.SignOut(), after_s=10)


def rush(hands: "DayBench") -> None:
    """A tray that is still to come is wanted by a clock time; the phone is told not before when."""
    tray = hands.coming[-1].tray
    hands.send(c.MarkRush(tray=tray, at=1630), after_s=20)
    hands.send(c.TellNotBefore(tray=tray, at=1600), after_s=20)


def new_rule(hands: "DayBench") -> None:
    """The policy is changed by two, from now on."""
    second = next(p.id for p in hands.people(Role.INFECTION_PREVENTION))
    hands.send(c.DraftRule(key="repeat_window_days", value="60"), after_s=60)
    hands.send(c.EnterPin(person=second, pin=PIN, second="policy-now"), after_s=60)
    hands.send(c.SignPolicy(by=second), after_s=20)


def recall(hands: "DayBench") -> None:
    """A load was bad after all: its packages, at whichever bench they were packed, are void and fetched."""
    desk, still = hands.session.desk, {row.load for row in hands.every if row.tray not in hands.opened_anywhere()}
    packs = [pack for one in every_bench(hands.bench, desk) for pack in one.packs.values()]
    load = next(load for pack in packs for load in pack.loads if load not in still)
    hands.send(c.WithdrawLoad(load=load, why="indicator"), after_s=120)
    for number, pack in list(hands.bench.packs.items()):
        if load in pack.loads and void_of(hands.bench, hands.session.desk, number) == "load_withdrawn":
            hands.send(c.FetchedPackage(number=number), after_s=300)
            hands.send(c.OldLabelGone(number=number), after_s=20)


def sign(hands: "DayBench") -> None:
    """What was given on the phone is signed for."""
    for given in to_sign(hands.bench, hands.session.desk):
        hands.send(c.Cosign(n=given.n, yes=True), after_s=20)


ERRANDS: dict[str, tuple[tuple[float, Callable[["DayBench"], None]], ...]] = {
    "B1": ((2, rush), (9, recall), (22, sign)),
    "B2": ((6, new_rule), (22, sign)),
}
"""Bench -> (hours after the day began, what the supervisor comes for), in order."""
