"""Actions of decontam's side, and of what comes back from it."""

import re
from collections.abc import Mapping
from typing import Any

from kiosk.core import commands as c
from kiosk.core.state.piece import TRAY
from kiosk.core.together.answers import CANNOT_SHIFT, CLEANED, DAMAGED, NOTHING
from kiosk.core.views import AskView, IntakeView, MenuView, PinView, PrintView
from kiosk.rehearsal.stations import tickets_made, tickets_named
from kiosk.rehearsal.walking import PlayFault, Walker
from kiosk.rehearsal.world import PIN

ANSWERS = {"found_cleaned": CLEANED, "nothing_found": NOTHING, "cannot_shift": CANNOT_SHIFT, "damaged": DAMAGED}
"""A file's words for decontam's answers."""


class PlaysDecontam(Walker):
    """What decontam's people do, and the packaging tech with what comes back."""

    def number_of(self, name: str) -> str:
        """The number of a ticket that the file names; a name that no ticket has stands as it is."""
        names, made = tickets_named(self.scenario), tickets_made(self.logs())
        at = names.index(name) if name in names else len(made)
        return made[at] if at < len(made) else name

    def do_receive(self, action: Mapping[str, Any]) -> None:
        """Take a return in: by its scan alone, by its number on the big keys, or by touch."""
        self._there()
        number = self.number_of(str(action["ticket"]))
        match action.get("by", "scan"):
            case "scan":
                self.scan(self.stage.kiosk.session.desk.encode(number))
            case "typed":
                self.fingers.send(c.Turn(page=c.Page.TYPE_NUMBER, subject="ticket"))
                self.view()
                prefix, _, figures = number.partition("-")
                self.fingers.named(f"{prefix}-")
                self.fingers.type(figures)
                self.fingers.named("done")
            case _:
                self._open(number)
                self.fingers.send(c.ReceiveTicket(ticket=number, by="touch"))
        self.view()

    def _there(self) -> None:
        """Whoever the file names is signed in at the station where they are."""
        self.view()
        if self.who and self.stage.kiosk.session.bench.who != self.who:
            self.scan(self.who)
            if not isinstance(self.view(), PinView):
                raise PlayFault(f"{self.who} can not sign in at {self.view().title!r}")
            self.fingers.type(PIN)
            if isinstance(self.view(), PinView):
                self.fingers.named("done")
        self.view()

    def _open(self, number: str) -> None:
        """The page of a return."""
        view = self.view()
        if isinstance(view, IntakeView) and view.number == number:
            return
        if self.stage.kiosk.session.turn is not None:
            self.fingers.send(c.Turn())
        self.view()
        self.fingers.send(c.Turn(page=c.Page.RETURNS))
        self.turn_to(c.Turn(page=c.Page.INTAKE, subject=number))
        self.view()

    def turn_to(self, send: c.Send) -> None:
        """Touch the row that sends this, on whichever page of the list it stands."""
        for _ in range(30):
            view: Any = self.view()
            if any(button.payload == send for button in self.fingers.buttons()):
                self.fingers.send(send)
                return
            if view.page + 1 >= view.pages:
                break
            self.fingers.send(view.next.send)
        raise PlayFault(f"no row sends {send}")

    def do_not_here(self, action: Mapping[str, Any]) -> None:
        """Decontam looked for it, and it is not there."""
        self._there()
        number = self.number_of(str(action["ticket"]))
        self._open(number)
        self.fingers.send(c.NotHere(ticket=number))
        self.view()

    def do_ticket_answer(self, action: Mapping[str, Any]) -> None:
        """Decontam's answer; one with consequences is said back and confirmed."""
        self._there()
        number, says = self.number_of(str(action["ticket"])), ANSWERS[str(action["is"])]
        self._open(number)
        self.fingers.named(f"answer {says}")
        self.view()
        if any(button.action == f"confirm {says}" for button in self.fingers.buttons()):
            self.fingers.named(f"confirm {says}")
        self.view()

    def do_dirty_check(self, action: Mapping[str, Any]) -> None:
        """The lumens of a tray were looked at on the dirty side: all of them, or the pieces named."""
        self._there()
        tray = str(action["tray"])
        self.scan(tray)
        if "items" not in action:
            self.fingers.named("dirty all")
        for piece in action.get("items", ()):
            self.turn_to(c.CheckDirty(tray=tray, pieces=(str(piece),)))
        self.view()

    def do_send_back_clean(self, action: Mapping[str, Any]) -> None:
        """The piece is back: its load is scanned, its row touched, and what will happen is said back."""
        number, load = self.number_of(str(action["ticket"])), str(action["load"])
        self.walk(lambda _, step: step.kind == "scan", "send_back_clean")
        self.scan(load)
        self.turn_to(c.Turn(page=c.Page.BACK, subject=f"{number}:{load}"))
        self.view()
        self.fingers.send(c.SendBackClean(ticket=number, load=load))
        self.view()

    def do_reprint(self, action: Mapping[str, Any]) -> None:
        """A paper once more, from the list of papers."""
        number = self.number_of(str(action["ticket"]))
        trip = next(t for t in self.stage.kiosk.session.bench.trips.values() if any(j.number == number for j in t.jobs))
        view = self.view()
        if not isinstance(view, MenuView):
            self.fingers.send(c.Turn(page=c.Page.STOP))
            self.view()
        self.fingers.send(c.Turn(page=c.Page.HAPPENED))
        self.view()
        self.fingers.send(c.Turn(page=c.Page.PAPERS))
        self.turn_to(c.PrintCopy(trip=trip.id, doc=str(action["doc"]), number=number))
        self.view()
        self.wait_for_papers()

    def confirm_words(self, what: str) -> bool:
        """Say yes to what the words say. False: these words are none of decontam's."""
        view = self.view()
        form = re.search(r"\bH-(\d+)", what)
        if form is not None and isinstance(view, PrintView):
            self.fingers.send(c.Turn(page=c.Page.FORM))
            self.view()
            self.fingers.type(form[1])
            self.fingers.named("done")
        elif "cannot be reached" in what:
            piece = what.split(maxsplit=1)[0]
            self.walk(lambda v, step: isinstance(v, AskView) and step.piece not in {"", TRAY}, what)
            self.open_piece(piece)
            self.fingers.send(c.Turn(page=c.Page.CANNOT_REACH))
            self.view()
            self.fingers.named("send dirty side")
        else:
            return False
        self.view()
        return True

    def open_piece(self, piece: str) -> None:
        """Get to the first open check of a piece."""
        raise NotImplementedError
