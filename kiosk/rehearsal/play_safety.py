"""Plays what happens to people and to everything at once: splash, sharps, stop all, a clock set anew."""

from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.exposure import CHOICES
from kiosk.core.folds.safety import open_trips
from kiosk.core.views import FirstAidView, ListView, MenuView, ScanView
from kiosk.rehearsal.walking import PlayFault, Walker

AID = "aid"


class PlaysSafety(Walker):
    """The actions of safety and kit."""

    def badge(self, who: str) -> None:
        """Badge and PIN where nobody is signed in; a splash or a stop leaves the bench so."""
        self.scan(who)
        self.type_pin()
        self.view()

    def lay_beside(self) -> None:
        """Trays of the scenario that lie open beside the one being scanned: opened at this bench, and set aside."""
        for row in self.scenario.given.get("trays", ()):
            if row.get("open_beside") and all(t.tray.code != row["id"] for t in open_trips(self.bench)):
                self.scan(row["id"])
                self.fingers.send(c.Turn(page=c.Page.STOP))
                self.view()
                self.fingers.send(c.StopHere(reason="called_away"))
                self.view()

    def event_splash(self, action: Mapping[str, Any]) -> None:
        """The aid key, from whatever page it is. What was hit is told afterwards."""
        self.hurt = {"person": self.who, **action}
        self._first_aid()

    def event_sharps_injury(self, action: Mapping[str, Any]) -> None:
        """The aid key; the sharp is made safe afterwards."""
        self.hurt = {"person": self.who, **action}
        self._first_aid()

    def _first_aid(self) -> None:
        self.view()
        self.fingers.named(AID)
        view = self.view()
        if not isinstance(view, FirstAidView):
            raise PlayFault(f"first aid is not on the screen, but {view.title!r}")

    def do_clock_change(self, action: Mapping[str, Any]) -> None:
        """The clock is set anew: by so many `minutes`, or for daylight saving to a new `offset` (minutes from UTC)."""
        self.clock.at_ms += int(action.get("minutes", 0)) * 60_000
        self.clock.offset_min = int(action.get("offset", self.clock.offset_min))
        self.view()

    def do_help(self, action: Mapping[str, Any]) -> None:
        """Somebody is helping: the key on the first-aid page."""
        self.view()
        self.fingers.send(c.FirstAidDone())
        self.view()

    def trays_back(self, action: Mapping[str, Any]) -> None:
        """Somebody is there to help: signs in, says which trays were hit; each goes back whole."""
        if isinstance(self.view(), FirstAidView):
            self.do_help(action)
        if self.bench.who is None:
            self.badge(self.who)
        if self.step.kind != "exposed":
            raise PlayFault(f"nobody is asked which trays were hit, but {self.view().title!r}")
        for trip in open_trips(self.bench):
            hit = trip.tray.code in str(action["what"])
            if trip.hit is not hit:
                self.fingers.send(c.MarkHit(trip=trip.id, hit=hit))
                self.view()
        kind = "sharps" if self.hurt.get("finding") == "sharps_injury" else "splash"
        self.fingers.send(c.ClearExposure(kind=kind))
        self.view()

    def exposure_note(self) -> None:
        """The supervisor writes what the scenario tells of it, and prints it. What it does not tell stays untold."""
        self.walk(lambda view, _: isinstance(view, ScanView), "exposure_note")
        self.do_sign_out({})
        self.badge(self.who)
        exposure = self.bench.exposures[-1]
        for page in (c.Page.DESK, c.Page.EXPOSURES):
            self.fingers.send(c.Turn(page=page))
            self.view()
        self.fingers.send(c.OpenNote(n=exposure.n))
        self.view()
        hit = [f"splash_{part}" for part in self.hurt.get("hit", ()) if f"splash_{part}" in CHOICES["happened"]]
        happened = hit or ["sharp_glove"]
        told = {"person": [str(self.hurt["person"])], "happened": happened, "worn": self.hurt.get("worn", ())}
        for field, picks in told.items():
            if picks:
                self._list_row(f"field {field}")
            for pick in picks:
                self.fingers.named(f"pick {pick}")
                self.view()
            if picks and field != "person":
                self.fingers.send(self.view().hand.left[0].send)
        view = self.view()
        if not isinstance(view, ListView) or view.main is None:
            raise PlayFault(f"the note can not be printed from {view.title!r}")
        self.fingers.send(view.main.send)
        self.wait_for_papers()
        self.view()

    def _list_row(self, name: str) -> None:
        """Touch a row of the note, on whichever of its pages it stands: it stays on the one where it was left."""
        view = self.view()
        for _ in range(view.pages if isinstance(view, ListView) else 0):
            view = self.view()
            if not isinstance(view, ListView):
                break
            row = next((row for row in view.rows if row.name == name), None)
            if row is not None:
                self.fingers.send(row.send)
                self.view()
                return
            self.fingers.send((view.previous if view.page == view.pages - 1 else view.next).send)
        raise PlayFault(f"no row is {name}")

    def event_stop_all(self, action: Mapping[str, Any]) -> None:
        """Stop here, something happened, stop all: nothing else is asked."""
        self.view()
        self.fingers.send(c.Turn(page=c.Page.STOP))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.HAPPENED))
        self.view()
        self.fingers.send(c.StopAll())
        self.view()

    def event_decide_exposed(self, action: Mapping[str, Any]) -> None:
        """The supervisor's desk: the exposed tray, and what becomes of it."""
        self.badge(self.who)
        self.fingers.send(c.Turn(page=c.Page.DESK))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.EXPOSED_TRAYS, subject=self.who))
        trip = next(t for t in open_trips(self.bench) if t.tray.code == action["of"])
        if not isinstance(self.view(), ListView):
            raise PlayFault("the exposed trays are not listed")
        self.fingers.send(c.Turn(page=c.Page.EXPOSED, subject=f"{trip.id}:{self.who}"))
        if not isinstance(self.view(), MenuView):
            raise PlayFault("no ruling is offered")
        reason = "" if action["as"] == "tray_back" else str(action.get("reason", "covered"))
        self.fingers.send(c.RuleExposed(by=self.who, trip=trip.id, reason=reason))
        self.view()
