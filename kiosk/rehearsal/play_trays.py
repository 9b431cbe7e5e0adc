"""The actions of whole trays: the scale, parts, loads, loaners, packages opened again."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.decide.loads import REASONS
from kiosk.core.decide.reopening import WET
from kiosk.core.state.piece import TRAY
from kiosk.core.views import CountRow, CountView, MenuView, NumberView, OverviewView, PackView, ScanView, StopView
from kiosk.core.weight import part_due
from kiosk.rehearsal.walking import PlayFault, Walker


class PlaysTrays(Walker):
    """What happens to a whole tray besides its count."""

    def do_count(self, action: Mapping[str, Any]) -> None:
        """Count: one line, its number typed; or everything else as listed, and the second person where one is named.

        Then the tray's own looks, which the scenarios pass over.
        """
        self.walk(lambda view, _: isinstance(view, CountView), "count")
        if "line" in action:
            self._count_line(action)
            return
        if action.get("lines") != "all" or action.get("is") != "ok":
            raise PlayFault("only one `line`, or `lines: all, is: ok`, can be played so far")
        self._count_all()
        if "second" in action:
            self._count_second(str(action["second"]))
        self.walk(lambda view, step: not isinstance(view, OverviewView) and step.piece != TRAY, "count")

    def _count_all(self) -> None:
        """As listed on every page; the key that ends the count, where every number was typed."""
        while isinstance(view := self.view(), CountView):
            if view.differs is not None and all(row.have is not None for row in view.rows):
                self.fingers.send(view.differs.send)
            else:
                self.fingers.named("count all")

    def _count_second(self, who: str) -> None:
        """The second badge and PIN, then a count of their own."""
        view = self.walk(lambda _, step: step.kind == "second_count", "second person")
        assert isinstance(view, StopView)
        assert view.main is not None
        self.fingers.send(view.main.send)
        self.view()
        self.scan(who)
        self.type_pin()
        self._count_all()

    def _count_line(self, action: Mapping[str, Any]) -> None:
        """Touch the line's number and type it; of implants also what was used and put back in."""
        row = self._row_of(str(action["line"]))
        self.fingers.send(row.pad)
        if not isinstance(self.view(), MenuView):
            self._type_number(int(action["have"]))
            return
        for what, key in (("there", "have"), ("used", "used"), ("refilled", "refilled")):
            if key in action:
                self.fingers.named(what)
                self._type_number(int(action[key]))
        self.fingers.named("implant.keep")
        self.view()

    def _row_of(self, line: str) -> CountRow:
        for _ in range(40):
            view = self.view()
            if not isinstance(view, CountView):
                break
            row = next((row for row in view.rows if row.line == line), None)
            if row is not None:
                return row
            self.fingers.send(view.next.send if view.page + 1 < view.pages else view.previous.send)
        raise PlayFault(f"there is no count line {line!r}")

    def _type_number(self, number: int) -> None:
        self.view()
        self.fingers.type(str(number))
        self.fingers.named("done")
        self.view()

    def do_weigh(self, action: Mapping[str, Any]) -> None:
        """Type what the scale reads, in its unit; or, where "kilograms or pounds?" stands, say which it was."""
        unit = "kg" if "kg" in action else "lb"
        reading = str(action[unit])
        view = self.walk(lambda v, step: isinstance(v, PackView) or step.kind in {"unit", "too_heavy"}, "weigh")
        part = part_due(self.trip)
        if part != int(action.get("part", 0)):
            raise PlayFault(f"part {part} is on the scale, not {action.get('part', 0)}")
        if isinstance(view, MenuView):
            self.fingers.send(c.Weigh(value=reading, unit=unit, part=part))
            self.view()
            return
        key = view.weigh if isinstance(view, PackView) else view.others[0] if isinstance(view, StopView) else None
        if key is None:
            raise PlayFault("this set is not weighed")
        self.fingers.send(key.send)
        if not isinstance(self.view(), NumberView):
            raise PlayFault("no weight is asked")
        self.fingers.named(unit)
        self.fingers.type(reading)
        self.fingers.named("done")
        self.view()

    def rule_split(self, action: Mapping[str, Any]) -> None:
        """The supervisor splits the set in as many parts as the scenario names."""
        self.fingers.send(c.RuleSplit(by=str(action["who"]), parts=len(action["into"])))
        self.view()

    def do_hand_over(self, action: Mapping[str, Any]) -> None:
        """Hand the open tray to the person named."""
        self.fingers.send(c.Turn(page=c.Page.STOP))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.HAPPENED))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.HAND_OVER))
        self.view()
        self.fingers.send(c.HandOver(to=str(action["to"])))
        self.view()

    def event_package_back(self, action: Mapping[str, Any]) -> None:
        """The label of package number `package` of the tray is scanned; a key says why it is open again."""
        bench = self.stage.kiosk.session.bench
        numbers = [number for number, pack in bench.packs.items() if pack.tray == action["of"]]
        self.walk(lambda v, _: isinstance(v, ScanView), "package_back")
        number = numbers[int(action["package"]) - 1]
        self.scan(self.stage.kiosk.session.desk.encode(number))
        why = next(why for why in ("wet", "torn", "forgotten", "taken", "after") if why in str(action["reason"]))
        if why == "wet":
            self.fingers.send(c.Turn(page=c.Page.PACKAGE_WET, subject=number))
            self.view()
        reason = next((word for word in WET if word in str(action.get("why", ""))), "unknown") if why == "wet" else ""
        self.fingers.send(c.Reopen(number=number, why=why, reason=reason))
        self.view()
        self.fingers.send(c.OldLabelGone(number=number))
        self.view()

    def event_load_withdrawn(self, action: Mapping[str, Any]) -> None:
        """The supervisor at this bench goes to the desk, and says which load was found bad, and why."""
        self.walk(lambda v, _: isinstance(v, ScanView), "load_withdrawn")
        for page in (c.Page.DESK, c.Page.LOADS):
            self.fingers.send(c.Turn(page=page))
            self.view()
        self.fingers.send(c.Turn(page=c.Page.LOAD_BAD, subject=str(action["load"])))
        self.view()
        reason = str(action.get("reason", ""))
        why = next((why for why in REASONS if why in reason), "other")
        self.fingers.send(c.WithdrawLoad(load=str(action["load"]), why=why))
        self.view()

    def event_loaner_returns(self, _action: Mapping[str, Any]) -> None:
        """The vendor's set goes home."""
        self.walk(lambda _, step: step.kind in {"pack", "check"}, "loaner_returns")
        self.happened(c.ReturnLoaner())
