"""The actions of a count that differs: lines, the search, overrides, two trays mixed, a single-use item."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

from kiosk.core import commands as c
from kiosk.core.decide.counting import PLACES
from kiosk.core.state.trip import wanted_here as wanted
from kiosk.core.views import AskView, CountView, ListView, MenuView, NoteView, View
from kiosk.rehearsal.play_trays import PlaysTrays
from kiosk.rehearsal.walking import PlayFault


class PlaysCounting(PlaysTrays):
    """What is counted, searched for, let go on, and exchanged."""

    coming: Sequence[Mapping[str, Any]] = ()

    def do_count(self, action: Mapping[str, Any]) -> None:
        """Count one line that differs; the last of several ends the count. Anything else is an ordinary count."""
        if "finding" not in action:
            super().do_count(action)
            return
        self.walk(lambda view, _: isinstance(view, CountView), "count")
        self._one_line(self._line(str(action["line"])), int(action["have"]))
        if self.coming and self.coming[0]["do"] == "count" and "finding" in self.coming[0]:
            return
        self._rest_as_listed()

    def _line(self, name: str) -> str:
        items = {item.id for item in self.trip.tray.items if item.name == name}
        line = next((row.name for row in self.trip.tray.lines if row.name == name or row.item in items), None)
        if line is None:
            raise PlayFault(f"there is no count line {name!r}")
        return line

    def _one_line(self, line: str, have: int) -> None:
        """Plus and minus, on the page where the line stands."""
        row = next(row for row in self.trip.tray.lines if row.name == line)
        self._page_of(line)
        while self.trip.counts.get(line) != have:
            shown = self.trip.counts.get(line, wanted(self.trip, row))
            name = f"{'−' if have < shown else '+'} {line}"
            self.fingers.tap(self.fingers.find(lambda button, want=name: button.objectName() == want, name))  # type: ignore[misc]
            self.view()

    def _page_of(self, line: str) -> None:
        for _ in range(60):
            view = self.view()
            if not isinstance(view, CountView) or any(row.line == line for row in view.rows):
                return
            names = [row.name for row in self.trip.tray.lines]
            further = names.index(line) > names.index(view.rows[-1].line)
            self.fingers.send((view.next if further else view.previous).send)

    def _rest_as_listed(self) -> None:
        """ "All as listed" on each page where a line has no number; a count that differs is said to stay so."""
        for _ in range(60):
            view = self.view()
            if not isinstance(view, CountView):
                return
            if any(row.have is None for row in view.rows):
                self.fingers.named("count all")
            elif view.differs is not None:
                self.fingers.send(view.differs.send)
            else:
                self.fingers.send(view.next.send)

    def do_search(self, action: Mapping[str, Any]) -> None:
        """Tick the places that were looked at, and go on."""
        words = [str(place) for place in action["places"]]
        ticked = [place for place in PLACES if any(place.rstrip("s") in word for word in words)]
        self.walk(lambda view, step: step.kind == "search" and isinstance(view, MenuView), "search")
        for place in ticked:
            self.view()
            self.fingers.named(f"searched {place}")
            if isinstance(self.view(), ListView):
                self.fingers.named("trays looked")
        self.view()
        self.fingers.named("go on")
        self.view()

    def do_override(self, action: Mapping[str, Any]) -> None:
        """The supervisor lets it go on, with a reason and words, and a second person beside; or signs for it later."""
        if "co_sign" in action:
            self._co_sign(str(action["co_sign"]))
            return
        if "phone" in action:
            self._ring_up(str(action["phone"]))
        else:
            self.ruling(str(action["who"]))
            self.fingers.named("override")
        reason, _, words = str(action["reason"]).partition(";")
        view = self.view()
        picked = next((key for key in getattr(view, "keys", ()) if key.label.lower() == reason.strip().lower()), None)
        self.fingers.send(picked.send if picked else _other(view))
        if picked and words:
            self.view()
            self.fingers.named("override.add_words")
        if words or not picked:
            self.view()
            self.fingers.type(words.strip() if picked else str(action["reason"]))
            self.fingers.named("done")
        else:
            self.view()
            self.fingers.named("override.give")
        if "second" in action:
            self.view()
            self.scan(str(action["second"]))
            self.type_pin()
            view = self.view()
            if not isinstance(view, AskView):
                raise PlayFault(f"the second person is not asked, but {view.title!r} {view.notice}")
            self.fingers.send(view.yes.send)
        elif "phone" in action:
            self.view()
            self.fingers.named("nobody else here")
        self.view()

    def _ring_up(self, supervisor: str) -> None:
        """The supervisor is on the phone: "Something happened", and whose word it is."""
        self.happened(c.Turn(page=c.Page.OVERRIDE, subject="phone"))
        self.fingers.named(supervisor)

    def _co_sign(self, supervisor: str) -> None:
        """The supervisor, signed in, says YES to what was given on the phone."""
        view = self.view()
        if self.bench.who != supervisor or self.step.kind != "cosign" or not isinstance(view, AskView):
            raise PlayFault(f"nothing is to be signed for, but {view.title!r}")
        self.fingers.send(view.yes.send)
        self.view()

    def do_correct_record(self, action: Mapping[str, Any]) -> None:
        """The supervisor opened the tray that `what` names: the two were mixed."""
        named = re.search(r"TR-\d+", str(action["what"]))
        if named is None:
            raise PlayFault("correct_record names no tray")
        self.ruling(str(action["who"]))
        self.fingers.named("mixed")
        self.view()
        self.fingers.named(f"mixed with {named.group(0)}")
        view = self.view()
        if not isinstance(view, AskView):
            raise PlayFault(f"nothing is asked about {named.group(0)}, but {view.title!r}")
        self.fingers.send(view.yes.send)
        self.view()

    def rule_discard(self, action: Mapping[str, Any]) -> None:
        """The single-use item is thrown away, with a note."""
        self.fingers.named("discard")
        view = self.view()
        if not isinstance(view, NoteView):
            raise PlayFault(f"no note is asked, but {view.title!r}")
        self.fingers.type(str(action.get("note", "")))
        self.fingers.named("done")
        self.view()


def _other(view: View) -> Any:
    return next(key.send for key in getattr(view, "keys", ()) if key.name == "reason other")
