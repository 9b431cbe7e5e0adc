"""The actions of whole trays: the scale, parts, loads, loaners, packages opened again."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.views import MenuView, NumberView, PackView, StopView
from kiosk.core.weight import part_due
from kiosk.rehearsal.walking import PlayFault, Walker


class PlaysTrays(Walker):
    """What happens to a whole tray besides its count."""

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
