"""The actions of looking again: a second person, sizes measured here, a piece's own mark."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.decide.joints import wants_look
from kiosk.core.decide.second_looks import SAYS, waiting
from kiosk.core.views import AskView, FindingView, SecondLookView
from kiosk.rehearsal.fingers import NoSuchKey
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

    def do_scan_item(self, action: Mapping[str, Any]) -> None:
        """The mark on a piece is read by the scanner."""
        self.scan(str(action["mark"]))

    def event_other(self, action: Mapping[str, Any]) -> None:
        """Something on a piece without a lumen: seen (`finding`), or put right (`fixed`) and looked at again."""
        if "fixed" not in action:
            self.happened(c.ReportOther())
            self.find_on_screen(str(action["finding"]), str(action["other"]))
            return
        if self.step.kind != "put_right":
            raise PlayFault(f"nothing is to be put right at {self.view().title!r}")
        task = self.step.task
        if task is not None and wants_look(self.trip.finding(task.n)):
            self.fingers.send(c.LookIntoJoint(soil=False))
            self.view()
        self.fingers.send(c.StepDone(step="put_right"))
        if action.get("is") == "YES":
            view = self.walk(lambda v, step: isinstance(v, AskView) and step.kind == "check", "looked at again")
            if isinstance(view, AskView):
                self.yes(view)

    def event_dropped(self, action: Mapping[str, Any]) -> None:
        """A piece fell on the floor."""
        self.happened(c.Turn(page=c.Page.DROPPED))
        self.fingers.send(c.Dropped(piece=str(action["of"])))
        self.view()

    def event_stop_list(self, action: Mapping[str, Any]) -> None:
        """The supervisor signed in here puts marks on the stop list: the notice on the letters, each mark scanned."""
        self.walk(lambda _, step: step.kind == "scan", "stop_list")
        self.fingers.send(c.Turn(page=c.Page.DESK))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.STOP_LIST))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.STOP_NEW))
        self.view()
        self.fingers.type(str(action["notice"]))
        self.fingers.named("done")
        self.view()
        for mark in action["marks"]:
            self.scan(str(mark))
        self.fingers.send(c.Turn(page=c.Page.STOP_LIST))
        self.fingers.send(c.Turn(page=c.Page.DESK))
        self.fingers.send(c.Turn())
        self.view()

    def event_recall(self, action: Mapping[str, Any]) -> None:
        """The piece that the stop list names: is it in the tray that was opened?"""
        view = self.walk(lambda _, step: step.kind == "recalled", "recall")
        if not isinstance(view, AskView) or self.step.piece != str(action["of"]):
            raise PlayFault(f"not {action['of']} is asked after, but {view.title!r}")
        self.fingers.send((view.yes if action["is"] == "YES" else view.no).send)
        self.view()

    def find_on_screen(self, code: str, at: str) -> None:
        """Touch what it is and, where a place is asked, where it is: `at`, or the last of the named places."""
        view = self.view()
        if not isinstance(view, FindingView):
            raise PlayFault(f"NO did not open the findings, but {view.title!r}")
        choice = next((ch for ch in (*view.choices, *view.more) if ch.code == code), None)
        if choice is None:
            raise PlayFault(f"{code} can not be chosen here")
        turns = "more words"
        for _ in range(20):
            try:
                self.fingers.tap(self.fingers.find(lambda b: getattr(b.payload, "code", None) == code, code))
                break
            except NoSuchKey:
                self.fingers.named(turns)
                turns = "words after"
        if choice.wants_place:
            words = at or view.landmarks[-1].name
            self.fingers.tap(self.fingers.find(lambda b: b.action == words, words))
        self.view()

    def do_measure(self, action: Mapping[str, Any]) -> None:
        """A lumen of unknown size is gauged: pin goes, pin stops, length, each on its pad."""
        piece, _, lumen = str(action["lumen"]).partition(".")
        self.happened(c.Turn(page=c.Page.MEASURE, subject=f"{piece}|{lumen}||"))
        for key in ("pin_goes_mm", "pin_stops_mm", "len_mm"):
            self.fingers.type(str(action[key]))
            self.fingers.named("done")
            self.view()

    def rule_size(self, action: Mapping[str, Any]) -> None:
        """The supervisor takes the measure, for this tray."""
        piece, _, lumen = str(action["of"]).partition(".")
        self.fingers.send(c.RuleSize(by=str(action["who"]), piece=piece, lumen=lumen))
        self.view()
