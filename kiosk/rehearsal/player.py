"""Plays one scenario: each action as the touches and scans a person would make, on the real screens."""

from collections.abc import Mapping, Sequence
from typing import Any

from kiosk.core import commands as c
from kiosk.core.agenda import Step
from kiosk.core.views import (
    AskView,
    CountView,
    DecisionView,
    OverviewView,
    PackView,
    PhotoView,
    StepsView,
    View,
)
from kiosk.rehearsal.play_counting import PlaysCounting
from kiosk.rehearsal.play_decontam import PlaysDecontam
from kiosk.rehearsal.play_desk import AT_DESK, PlaysDesk
from kiosk.rehearsal.play_looking import PlaysLooking
from kiosk.rehearsal.play_safety import PlaysSafety
from kiosk.rehearsal.play_staff import PlaysStaff
from kiosk.rehearsal.play_trays import PlaysTrays
from kiosk.rehearsal.walking import PlayFault, keys
from kiosk.rehearsal.world import at_ms, split_check


class Player(PlaysCounting, PlaysDecontam, PlaysDesk, PlaysLooking, PlaysSafety, PlaysStaff, PlaysTrays):
    """One scenario being played."""

    def play(self) -> None:
        """Play what was done before `now`, then every action."""
        before = self.scenario.given.get("before", ())
        self._act_all("given.before: action", before)
        if before:
            self._all_leave()
        self.clock.set_to(self.world.at_ms)
        self.mark()
        self._act_all("action", self.scenario.when)
        self.view()
        self.wait_for_papers()

    def _act_all(self, where: str, actions: Sequence[Mapping[str, Any]]) -> None:
        for number, action in enumerate(actions, 1):
            self.day = str(action.get("day", self.day))
            if "t" in action:
                self.clock.set_to(at_ms(f"{self.day} {action['t']}"))
            self.coming = actions[number:]
            try:
                self.step_up(action)
                getattr(self, f"do_{action['do']}")(action)
            except Exception as fault:
                fault.add_note(f"{self.scenario.file}: {where} {number}: {dict(action)}")
                raise
        self.view()
        self.wait_for_papers()

    def do_sign_in(self, action: Mapping[str, Any]) -> None:
        """Badge and PIN, then the bench start-up. Who was signed in here goes first."""
        self.do_sign_out(action)
        self.scan(self.who)
        self.type_pin()
        self.walk(lambda _, step: step.kind != "startup", "sign_in")

    def _all_leave(self) -> None:
        """At `now` nobody of those before is signed in any more."""
        for station in self.stages:
            self.at = station
            self.do_sign_out({})
        self.at = self.bench_at = next(iter(self.stages))

    def do_scan_tray(self, action: Mapping[str, Any]) -> None:
        """Scan the tray's label."""
        self.walk(lambda _, step: step.kind == "scan", "scan_tray")
        self.lay_beside()
        self.scan(action["tray"])

    def do_scan_other(self, action: Mapping[str, Any]) -> None:
        """Scan a code of another kind."""
        self.scan(action["code"])

    def do_all_yes(self, action: Mapping[str, Any]) -> None:
        """YES to each check of each piece, with the scope cleanings that stand in the way."""
        for name in action["items"]:
            pieces = [p for p in self.trip.pieces if p == name or p.split("#")[0] == name]
            if not pieces:
                raise PlayFault(f"there is no piece {name}")
            for piece in pieces:
                self._all_yes(piece)

    def _all_yes(self, piece: str) -> None:
        self.open_piece(piece)
        while not self.trip.pieces[piece].all_yes:
            view = self.walk(lambda _, step: step.kind != "scope", f"all yes of {piece}")
            if self.step.kind != "check" or self.step.piece != piece:
                return
            if not isinstance(view, AskView):
                raise PlayFault(f"{piece}: {view.title!r} stands in the way")
            self.yes(view)

    def open_piece(self, piece: str) -> None:
        """Get to the first open check of a piece."""
        if self.trip.pieces[piece].all_yes:
            return
        view = self.walk(_may_open, f"open {piece}")
        if self.step.piece != piece:
            if not isinstance(view, OverviewView):
                self.fingers.send(c.Turn(page=c.Page.STOP))
                self.fingers.send(c.Turn(page=c.Page.OVERVIEW))
            self._row(piece)
        self.walk(lambda v, step: isinstance(v, AskView) and step.piece == piece, f"open {piece}")

    def _row(self, piece: str) -> None:
        """Touch the piece's row of the overview, on whichever page it stands."""
        for number in range(1, 30):
            view = self.view()
            if not isinstance(view, OverviewView):
                break
            if any(row.send == c.OpenPiece(piece=piece) for row in view.rows):
                self.fingers.send(c.OpenPiece(piece=piece))
                return
            self.fingers.send(view.next.send if number < view.pages else view.previous.send)
        raise PlayFault(f"no row of the overview opens {piece}")

    def do_answer(self, action: Mapping[str, Any]) -> None:
        """One answer to one check."""
        piece, lumen, check = split_check(action["check"])
        key = f"{lumen}.{check}" if lumen else check
        if action.get("again"):
            view = self.view()
            if not isinstance(view, StepsView):
                raise PlayFault(f"nothing is to be put right at {view.title!r}")
            self.fingers.send(view.main.send)
        self.open_piece(piece)
        open_check = self.step.check
        if open_check is None or open_check.key != key:
            raise PlayFault(f"{action['check']} is not asked now, but {open_check.key if open_check else None}")
        view = self.view()
        if not isinstance(view, AskView):
            raise PlayFault(f"{action['check']}: {view.title!r} stands in the way")
        if action["is"] == "YES":
            while self.step.kind == "check" and self.step.check == open_check and isinstance(view, AskView):
                self.yes(view)
                view = self.view()
            return
        if action["finding"] == "unsure" and view.unsure is not None:
            self.fingers.send(view.unsure.send)  # CAN'T TELL is the finding itself
            self.view()
            return
        self.fingers.send(view.no.send)
        self.find_on_screen(str(action["finding"]), str(action.get("at", "")))

    def do_event(self, action: Mapping[str, Any]) -> None:
        """Something else happened: to an `other` piece, without a lumen; else `what`, or the `finding` that says so."""
        what = "other" if "other" in action else str(action.get("what") or action.get("finding"))
        happened = getattr(self, f"event_{what}", None)
        if happened is None:
            raise PlayFault(f"the event {what} can not be played yet")
        happened(action)

    def do_photo(self, action: Mapping[str, Any]) -> None:
        """A picture lands in the folder; it is chosen and kept."""
        self.camera.still(self.stage.incoming / f"still_{self.clock.at_ms}.png", self.clock.at_ms)
        view = self.walk(lambda v, _: isinstance(v, DecisionView | PhotoView), "photo")
        if isinstance(view, DecisionView):
            self.fingers.send(c.Turn(page=c.Page.PHOTO))
        self.view()
        self.fingers.named("picture")

    def do_undo(self, action: Mapping[str, Any]) -> None:
        """Try to take the last answer back."""
        self.view()
        self.fingers.send(c.TakeBack())
        self.view()

    def do_confirm(self, action: Mapping[str, Any]) -> None:
        """Say yes to what the page says: a disposition, or that the tray was covered."""
        what = str(action["what"])
        view = self.view()
        if what.startswith("tray_back "):
            self.trays_back(action)
        elif what in {"item_back", "tray_back", "repair", "quarantine", "hold"}:
            send = c.Confirm(what=what)
            if all(key.send != send for key in keys(view)):
                self.walk(lambda v, _: isinstance(v, DecisionView), f"confirm {what}")
            self.fingers.send(send)
        elif ("covered" in what or "exchanged" in what) and isinstance(view, AskView):
            self.fingers.send(view.yes.send)
        elif not self.confirm_words(what):
            raise PlayFault(f"confirm {what!r}: the screen asks {view.title!r}")
        self.view()

    def do_bench_clean(self, action: Mapping[str, Any]) -> None:
        """The bench cleaning that the screen asks for, all its steps; `by` somebody else's hands."""
        if "by" in action:
            self.do_sign_out(action)
            self.badge(str(action["by"]))
        self.walk(lambda _, step: step.kind == "bench", "bench_clean")
        task = self.step.task
        if task is None or task.level != action["level"]:
            raise PlayFault(f"the screen asks for the cleaning {task.level if task else None}, not {action['level']}")
        while self.step.kind == "bench":
            view = self.view()
            if isinstance(view, StepsView):
                self.steps(view)
            self.view()

    def do_gloves(self, action: Mapping[str, Any]) -> None:
        """New gloves."""
        self._do_step("gloves")

    def do_scope_clean(self, action: Mapping[str, Any]) -> None:
        """Clean the scope that the screen names; `out_of_use`: it stands out of use already, nothing is touched."""
        if action.get("out_of_use"):
            state = self.stage.kiosk.session.bench.scopes.get(str(action["scope"]))
            if state is None or not state.out_of_use:
                raise PlayFault(f"{action['scope']} is still in use")
            return
        self._do_step("scope")

    def _do_step(self, kind: str) -> None:
        view = self.walk(lambda _, step: step.kind == kind, kind)
        if not isinstance(view, StepsView):
            raise PlayFault(f"{kind}: the screen shows {view.title!r}")
        self.steps(view)
        self.view()

    def _pack(self, what: str) -> PackView:
        view = self.walk(lambda v, _: isinstance(v, PackView), what)
        if not isinstance(view, PackView):
            raise PlayFault(what)
        return view

    def do_indicators(self, action: Mapping[str, Any]) -> None:
        """Indicators inside."""
        self._pack("indicators")
        self.fingers.send(c.PlaceIndicators(count=int(action["placed"])))

    def do_package(self, action: Mapping[str, Any]) -> None:
        """The packaging."""
        self._pack("package")
        self.fingers.send(c.ChoosePackaging(kind=action["kind"]))

    def do_print(self, action: Mapping[str, Any]) -> None:
        """See that these papers come out; the tray sheet and label by closing the tray."""
        docs = [doc for doc in action["docs"] if doc not in AT_DESK]
        self.print_at_desk([doc for doc in action["docs"] if doc in AT_DESK], action)
        if not docs:
            return
        trip = self.stage.kiosk.session.bench.trip
        if "tray_sheet" in docs and not (trip and trip.ended):
            view = self._pack("print")
            if view.main is None:
                raise PlayFault(f"the tray can not be closed: {view.wait}")
            self.fingers.send(view.main.send)
        else:
            self._papers_one_by_one(docs)
        self.view()
        self.wait_for_papers()
        self.view()
        if "exposure_note" in docs:
            self.exposure_note()

    def _papers_one_by_one(self, docs: Sequence[str]) -> None:
        """Trays that went back together: the papers of the second follow when the first is said to be readable."""
        tickets = docs.count("return_ticket")
        ends = {"readable", "shelf", "scan", *(() if self.stage.printer.on else ("print_failed",))}
        for _ in docs:
            view = self.walk(lambda _, step: step.kind in ends, "print")
            self.wait_for_papers()
            came = sum(path.name.startswith("return_ticket") for path in self.papers())
            if came < tickets and isinstance(view, AskView):
                self.yes(view)

    def do_power_cut(self, action: Mapping[str, Any]) -> None:
        """The power goes: the program ends where it is."""
        self.stage.kiosk.heartbeat()
        self.stage.cut_power()

    def do_power_back(self, action: Mapping[str, Any]) -> None:
        """The power is back: the program starts on what the disk holds."""
        self.stage.power_back()
        self.view()

    def do_printer_down(self, action: Mapping[str, Any]) -> None:
        """The printer of this station takes no paper any more."""
        self.stage.printer.on = False

    def do_printer_up(self, action: Mapping[str, Any]) -> None:
        """The printer of this station is put in order."""
        self.stage.printer.on = True
        self.view()

    def do_hold_release(self, action: Mapping[str, Any]) -> None:
        """The supervisor's ruling on what is held; `as` names it."""
        measured = "of" in action and str(action["of"]) in self.trip.measured
        rule = getattr(self, f"rule_{action.get('as') or ('size' if measured else None)}", None)
        if rule is None:
            raise PlayFault(f"`as: {action.get('as')}` can not be played yet")
        self.ruling(str(action["who"]))
        rule(action)

    def rule_quarantine(self, action: Mapping[str, Any]) -> None:
        """The held piece goes into quarantine, with a note for the tag."""
        self.fingers.send(c.Turn(page=c.Page.RULING_NOTE, subject=str(action["who"])))
        self.view()
        self.fingers.type(str(action.get("note", "")))
        self.fingers.named("done")
        self.view()

    def do_sub_item(self, action: Mapping[str, Any]) -> None:
        """The supervisor lets a spare take the piece's place; the spare is scanned."""
        self.ruling(str(action["who"]))
        self.fingers.send(c.Turn(page=c.Page.SPARE, subject=str(action["who"])))
        self.view()
        self.scan(str(action["in"]))

    def do_wait(self, action: Mapping[str, Any]) -> None:
        """Let time pass, with nobody touching anything."""
        self.clock.advance(int(action["minutes"]) * 60_000)
        for stage in self.stages.values():
            stage.kiosk.look_for_quiet()
        self.view()


def _may_open(view: View, step: Step) -> bool:
    """May a piece be picked here? Also before the count, where one was asked for first."""
    if isinstance(view, OverviewView | CountView) and step.kind == "count":
        return True
    return isinstance(view, AskView | OverviewView) and step.kind in {"check", "scope"}
