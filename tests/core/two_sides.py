"""A bench and decontam's station of the small department, each with its log, hearing each other."""

from dataclasses import dataclass, field, replace
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.meaning import Kind
from kiosk.core.place import Place
from kiosk.core.together.returns import OpenReturn, find_return, open_returns
from tests.core.department import EAR, PIN, Shift, desk, scan


@dataclass(slots=True)
class Sides:
    """`bench` B1 and `dirty` D1. What one keeps, the other hears when `hear` is called; the clock is one."""

    bench: Shift
    dirty: Shift
    heard: dict[str, int] = field(default_factory=dict)

    def hear(self) -> None:
        """Each takes in what the other kept since, and does what follows by itself."""
        self.dirty.at_ms = self.bench.at_ms = max(self.dirty.at_ms, self.bench.at_ms)
        for here, name, there in ((self.bench, "D1", self.dirty), (self.dirty, "B1", self.bench)):
            new = there.log[self.heard.get(name, 0) :]
            self.heard[name] = len(there.log)
            here.session.hear(name, new)
            here.session.send(c.Heard())

    def at_decontam(self, *sends: c.Send) -> list[e.Event]:
        """Decontam does this, and is heard."""
        self.hear()
        events = self.dirty.must(*sends)
        self.hear()
        return events

    def at_bench(self, *sends: c.Send) -> list[e.Event]:
        """The bench does this, and is heard."""
        self.hear()
        events = self.bench.must(*sends)
        self.hear()
        return events

    def return_(self, number: str) -> OpenReturn:
        """An open return as decontam's station knows it."""
        self.hear()
        found = find_return(self.dirty.bench, self.dirty.session.desk, number)
        assert found is not None
        return found

    def open_numbers(self) -> list[str]:
        """The open returns as decontam's station lists them."""
        self.hear()
        return [each.number for each in open_returns(self.dirty.bench, self.dirty.session.desk)]


def two_sides(**policy: Any) -> Sides:
    """Nobody is signed in yet."""
    clean, dirty = desk(**policy), desk(**policy)
    return Sides(bench=Shift(desk=clean), dirty=Shift(desk=replace(dirty, side="decontam", bench="Decontam 1")))


def item_sent(tray: str = EAR, code: str = "bone_grit", **policy: Any) -> Sides:
    """A piece of the tray went back (ticket K-10001), its papers are read, and the tray waits on the shelf."""
    sides = two_sides(**policy)
    shift = sides.bench
    shift.sign_in()
    shift.open(tray)
    shift.count()
    shift.yes_until("A1.bore.swab")
    shift.no(code, Place(lumen="bore", at_mm=40))
    shift.confirm("item_back")
    shift.tidy()
    shift.yes_to_all()
    shift.must(c.Confirm(what="shelf"))
    sides.hear()
    return sides


def received(**policy: Any) -> Sides:
    """As `item_sent`, and decontam has it; its person is signed in."""
    sides = item_sent(**policy)
    sides.at_decontam(scan("K-10001", Kind.TICKET), c.EnterPin(person="D1", pin=PIN))
    return sides
