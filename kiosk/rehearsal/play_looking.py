"""The actions of looking again: a second person, sizes measured here, a piece's own mark."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.decide.second_looks import SAYS, waiting
from kiosk.core.views import SecondLookView
from kiosk.rehearsal.walking import PlayFault, Walker
from kiosk.rehearsal.world import split_check


class PlaysLooking(Walker):
    """What one look does not settle."""

    def do_second_person(self, action: Mapping[str, Any]) -> None:
        """A second person looks, on a badge and PIN of their own. With a `note` alone nothing is touched."""
        if "check" not in action:
            return
        piece, lumen, check = split_check(action["check"])
        key = f"{lumen}.{check}" if lumen else check
        ask = c.Confirm(what="second_look")
        if getattr(getattr(self.view(), "main", None), "send", None) == ask:
            self.fingers.send(ask)
        found = next((f for f in waiting(self.trip) if (f.piece, f.key) == (piece, key)), None)
        if found is None:
            raise PlayFault(f"{action['check']} waits for no second person")
        asks = c.Turn(page=c.Page.NAMES, subject=f"second:look-{found.n}:")
        if self.stage.kiosk.session.turn != asks:
            self.walk(lambda v, _: any(key.send == asks for key in getattr(v, "others", ())), "second_person")
            self.fingers.send(asks)
        self.scan(str(action["who"]))
        self.type_pin()
        view = self.view()
        if not isinstance(view, SecondLookView):
            raise PlayFault(f"no second look is asked, but {view.title!r} {view.notice}")
        says = str(action["says"]).replace(" ", "_")
        if says not in SAYS:
            raise PlayFault(f"a second person can not say {action['says']!r}")
        self.fingers.named(says)
        self.view()
