"""Hands by chance: what a screen offers, and what no screen would send, picked by numbers."""

from collections.abc import Iterator
from dataclasses import fields, is_dataclass, replace
from typing import Any, get_args

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.place import Place
from tests.core.by_chance_desk import of_decontam, of_looking, of_the_desk
from tests.core.department import EAR, PIN, SPARE, TINY_SPARE, TRAYS, Shift, people, scan

_COMMANDS = get_args(c.Send)
_WEIGHTS = (
    ("5", "kg"),
    ("11.33", "kg"),
    ("11.34", "kg"),
    ("25", "lb"),
    ("0", "kg"),
    ("NaN", "lb"),
    ("x", "lb"),
    ("5", "st"),
)


def offered(view: Any) -> Iterator[c.Send]:
    """Everything that a view's keys send."""
    if isinstance(view, _COMMANDS):
        yield view
    elif isinstance(view, tuple):
        for part in view:
            yield from offered(part)
    elif is_dataclass(view):
        for part in fields(view):
            yield from offered(getattr(view, part.name))


def from_screen(shift: Shift, view: v.View) -> list[c.Send]:
    """What a person at this screen can send: its keys, and what the screen itself puts together."""
    sends: list[c.Send] = [s for s in offered(view) if not isinstance(s, c.RuleQuarantine)]
    sends = [replace(s, took_ms=took) if isinstance(s, c.Answer) else s for s in sends for took in _times(s)]
    match view:
        case v.PinView():
            aim = {"ruling": view.ruling, "second": view.second}
            sends += [c.EnterPin(person=view.person, pin=pin, **aim) for pin in (PIN, PIN, "0000")]  # type: ignore[arg-type]
        case v.CountView():
            open_lines = tuple(row.line for row in view.rows if row.have is None)
            sends += [c.CountAll(lines=open_lines, took_ms=took) for took in (100, 4000, 5000)]
            sends += [c.CountLine(line=row.line, have=row.want + more) for row in view.rows for more in (-1, 0, 1)]
        case v.FindingView():
            places = [Place(lumen=view.lumen, at_mm=30), Place(lumen=view.lumen, all_along=True)]
            places += [Place(lumen=view.lumen, landmark=mark.name) for mark in view.landmarks]
            sends += [c.ReportFinding(code=one.code, place=p) for one in view.choices + view.more for p in places]
        case v.NumberView():
            sends += [c.Weigh(value=value, unit=unit) for value, unit in _WEIGHTS if view.purpose == "weight"]
            sends += [c.SetLabelTime(minutes=n) for n in (0, 3) if view.purpose == "minutes"]
        case v.NoteView():
            assert view.done.send is not None
            sends.append(replace(view.done.send, **{view.field: "seen"}))  # type: ignore[arg-type]
        case v.PhotoView():
            sends.append(c.KeepPhoto(file="a.png", sha256="0" * 64))
        case _:
            pass
    return sends


def _times(send: c.Send) -> tuple[int, ...]:
    return (200, 30_000, 90_000) if isinstance(send, c.Answer) else (0,)


def from_around(shift: Shift) -> list[c.Send]:
    """Scans, printers, quiet, power: what comes without the screen's asking."""
    sends: list[c.Send] = [scan(tray.code) for tray in TRAYS]
    sends += [scan("T1", Kind.PERSON), scan("T2", Kind.PERSON), scan("S1", Kind.PERSON), scan("W-2", Kind.LOAD)]
    sends += [scan("SC-1", Kind.SCOPE), scan("SC-2", Kind.SCOPE)]
    sends += [scan(SPARE.id, Kind.ITEM), scan(TINY_SPARE.id, Kind.ITEM), scan("?", Kind.UNKNOWN)]
    sends += [c.SignOut(idle=True), c.SignOut(), c.Started(last_alive_ms=shift.at_ms), c.Started(last_alive_ms=None)]
    sends += [c.EnterPin(person="T1", pin=PIN), c.FirstAid(), c.FirstAidDone()]
    for trip in shift.bench.trips.values():
        for job in trip.jobs:
            came = c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="tray")
            sends += [came, came, replace(came, where="", why="off")]
    return sends


def out_of_turn(shift: Shift) -> list[c.Send]:
    """Commands that are not on the screen now, with names right, old and wrong."""
    trip = shift.bench.trip
    pieces = ["A1", "nothing", *(trip.pieces if trip else ())]
    keys = ["look", "bore.dry", "bore.scope", "basket", "nothing"]
    lines = ["nothing", *(line.name for line in (trip.tray.lines if trip else ()))]
    sends: list[c.Send] = [c.Answer(piece=p, key=k, yes=yes) for p in pieces for k in keys for yes in (True, False)]
    sends += [c.ReportFinding(code=code, place=Place()) for code in (*shift.desk.findings.kinds, "nothing")]
    sends += [c.CountLine(line=line, have=n) for line in lines for n in (-1, 0, 2)]
    sends += [c.CountAll(lines=tuple(lines), took_ms=9000), c.CountAll(lines=(), took_ms=9000), c.CountDiffers()]
    sends += [c.OpenPiece(piece=p) for p in pieces]
    sends += [c.Confirm(what=w, subject=s) for w in _WORDS for s in ("", *shift.bench.trips)]
    sends += [c.StepDone(step=s) for s in ("put_right", "bench", "gloves", "scope", "nothing")]
    sends += [c.RuleQuarantine(by=by, piece=p, note="n") for by in ("S1", "T1", "nobody") for p in pieces]
    sends += [c.RuleSubstitute(by="S1", piece=p, spare=s) for p in pieces for s in ("X1", "X2", "nothing")]
    sends += [c.EnterPin(person=p, pin=PIN, ruling=r) for p in (*people(), "nobody") for r in (True, False)]
    sends += [c.Weigh(value=value, unit=unit) for value, unit in _WEIGHTS]
    sends += [c.PlaceIndicators(count=n) for n in (0, 2)] + [c.ChoosePackaging(kind=k) for k in ("wrap", "bag")]
    sends += [c.PackAndPrint(), c.PrintAgain(), c.WriteByHand(), c.Readable(yes=True), c.Readable(yes=False)]
    sends += [c.TakeBack(), c.MovePlace(by_mm=-500), c.NoPhoto(reason="no_time"), c.KeepPhoto(file="b", sha256="")]
    sends += [c.StopHere(reason="break"), c.StopHere(reason="end_of_shift"), c.SetLabelTime(minutes=2)]
    sends += [c.AnswerStartup(question=q, yes=y) for q in ("scope", "swabs", "nothing") for y in (True, False)]
    sends += [c.RuleLoad(by=by, load=load) for by in ("S1", "T1", "nobody") for load in ("W-1", "W-2", "nothing")]
    sends += [
        c.PrintReport(doc=doc, about=about) for doc in ("handover_list", "shift_summary") for about in ("", "day/x")
    ]
    sends += [
        c.TryReport(doc="handover_list", number="HL-10001"),
        c.TakeHandover(),
        c.SayClockRight(),
        c.DrawAudit(many=2),
    ]
    sends += [c.RunLookback(kind=kind, value="W-1", why="audit") for kind in ("load", "person", "nothing")]
    sends += [c.IssueForms(kind="tray_sheet", many=n) for n in (0, 2)] + [c.EnterForm(paper="1001", tray="x")]
    sends += [c.RuleConflict(conflict="nothing", ruling="two_trays")]
    sends += [c.ScopeBack(scope=scope) for scope in ("SC-1", "SC-2", "nothing")]
    sends += [
        c.TakeSecondLook(by=by, n=n, says=s) for by in people() for n in (0, 1, 2) for s in ("clear", "soil", "?")
    ]
    sends += [c.Search(line=line, places=places, over=True) for line in lines for places in ((), ("sink",), ("?",))]
    sends += [c.FoundIt(line=line, where=where, by=by) for line in lines for where in ("racks", "linen", "trays")
              for by in ("T1", "nobody")]  # fmt: skip
    sends += [c.ExtraIs(line=line, tray=tray) for line in lines for tray in ("", EAR, "nothing")]
    sends += [
        c.RuleExtra(by=by, line=line, where=to) for by in ("S1", "T1") for line in lines for to in ("spares", "?")
    ]
    sends += [c.RuleMixed(by="S1", station=at, trip=trip) for at in ("", "B2") for trip in shift.bench.packed]
    sends += [c.RuleExchanged(by=by) for by in ("S1", "T1")] + [c.WantMark(piece=p) for p in pieces]
    sends += [c.RuleDiscard(by=by, piece=p, note="n") for by in ("S1", "T1") for p in pieces]
    sends += [
        c.GiveOverride(by=by, what=what, subjects=(subject,), reason="not_found", phone=phone)
        for by in ("S1", "T1", "nobody")
        for what in ("missing_pack_short", "red_mark", "nothing")
        for subject in lines
        for phone in (True, False)
    ]
    sends += [c.SecondOnOverride(by=by, yes=yes) for by in ("T1", "T2", "S1") for yes in (True, False)]
    sends += [c.NoSecondHere(), c.Cosign(n=1, yes=True), c.Cosign(n=2, yes=False)]
    sends += [c.StartAgain(), c.CountAgain(), c.LetGo(), c.FirstAidDone(mistake=True)]
    sends.append(c.Scanned(meaning=Meaning(kind=Kind.TRAY, text=EAR)))
    return sends + _whole_trays(shift) + _of_safety(shift) + of_looking(shift) + of_decontam(shift) + of_the_desk(shift)


def _whole_trays(shift: Shift) -> list[c.Send]:
    """What happens to a whole tray besides its count, with names right, old and wrong."""
    people, numbers = ("S1", "T2", "D1", "nobody"), (*shift.bench.packs, "nothing")
    sends: list[c.Send] = [c.RuleSplit(by=by, parts=n) for by in people for n in (1, 2, 9)]
    sends += [c.Weigh(value=value, unit=unit, part=n) for value, unit in _WEIGHTS for n in (1, 2)]
    sends += [c.HandOver(to=who) for who in people] + [c.RuleIfu(by=by) for by in people]
    sends += [c.CountImplant(line="Forceps", used=1, refilled=-1), c.SecondCountDone(by="T2"), c.ReturnLoaner()]
    sends += [c.CountLine(line="Forceps", have=2, by=who) for who in people]
    sends += [c.Reopen(number=n, why=why, reason=why) for n in numbers for why in ("torn", "wet", "taken", "?")]
    sends += [c.Reopen(number=n, why="wet", reason="hot") for n in numbers]
    sends += [kind(number=n) for n in numbers for kind in (c.OldLabelGone, c.FetchedPackage)]
    sends += [c.WithdrawLoad(load=load, why="machine") for load in ("W-1", "W-2", "nothing")]
    sends += [c.TakeOver(tray=EAR), c.SameLabel(tray=EAR), c.RuleRetagged(by="S1", tray=EAR)]
    sends += [c.MarkRush(tray=EAR, at=at) for at in (1630, 2460)] + [c.TellNotBefore(tray=EAR, at=1700)]
    return sends + [scan(n, Kind.LABEL) for n in numbers] + [scan("W-1", Kind.LOAD)]


def _of_safety(shift: Shift) -> list[c.Send]:
    """Splash and stop, notes, scopes and lots, out of turn."""
    trips = ["nothing", *shift.bench.trips]
    sends: list[c.Send] = [c.ClearExposure(kind=kind) for kind in ("splash", "sharps", "none", "?")]
    sends += [c.MarkHit(trip=trip, hit=hit) for trip in trips for hit in (True, False)]
    sends += [c.RuleExposed(by=by, trip=trip, reason=why) for by in ("S1", "T1") for trip in trips for why in ("", "?")]
    sends += [c.StopAll(), c.StopAll(heard="B2"), c.TornGlove(), c.StepDone(step="sharp"), c.OpenNote(n=1)]
    sends += [c.PrintNote(), c.WriteNote(field="person", value="T1"), c.WriteNote(field="worn", value="?")]
    sends += [c.LeaveScope(reason=why) for why in ("no_supplies", "no_time")] + [c.SendScope(scope="SC-1")]
    sends += [c.OpenSwabLot(lot=lot) for lot in ("", "7719")] + [c.SetLotAside(lot="7719"), c.ReadAirGauge(kpa="x")]
    return sends


_WORDS = (
    "covered", "opened", "shelf", "pack", "item_back", "tray_back", "repair", "hold", "second_look", "bench_fix", "?",
)  # fmt: skip


def pick(shift: Shift, view: v.View, number: int) -> c.Send:
    """The command that a number stands for: mostly what the screen offers."""
    kind, which = number % 32, number // 32
    sends: list[c.Send] = []
    if kind < 20:
        sends = onward(shift, view)
    elif kind < 29:
        sends = from_screen(shift, view)
    elif kind == 30:
        sends = out_of_turn(shift)
    sends = sends or from_around(shift)
    return sends[which % len(sends)]


def onward(shift: Shift, view: v.View) -> list[c.Send]:
    """What somebody at work does: YES, the main key, the papers as they come."""
    match view:
        case v.AskView():
            send = view.yes.send or c.Turn()
            return [replace(send, took_ms=90_000) if isinstance(send, c.Answer) else send]
        case v.SignInView() if shift.session.turn and ":" in shift.session.turn.subject:
            return [key.send for key in view.people if key.send] or [c.Turn()]
        case v.PinView() if view.ruling or view.second:
            return [c.EnterPin(person=view.person, pin=PIN, ruling=view.ruling, second=view.second)]
        case v.SecondLookView():
            return [key.send for key in view.keys if key.send]
        case v.SignInView() | v.PinView():
            return [c.EnterPin(person=person, pin=PIN) for person in ("T1", "T1", "T1", "T2")]
        case v.ScanView():
            return [scan(tray.code) for tray in TRAYS]
        case v.CountView() if view.differs is None:
            return [c.CountAll(lines=tuple(row.line for row in view.rows if row.have is None), took_ms=5000)]
        case v.PrintView() if view.main is None:
            jobs = [job for trip in shift.bench.trips.values() for job in trip.jobs if not job.settled and not job.why]
            return [c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="tray") for job in jobs]
        case v.PackView() if view.main is None:
            weigh: list[c.Send] = [c.Weigh(value="5", unit="kg")] if view.weigh else []
            return weigh + [s for s in from_screen(shift, view) if isinstance(s, c.PlaceIndicators | c.ChoosePackaging)]
        case v.FindingView():
            return [c.ReportFinding(code=one.code, place=Place(lumen=view.lumen)) for one in view.choices]
        case v.MenuView() if any(key.kind == "main" for key in view.keys):
            return [key.send for key in view.keys if key.kind == "main" and key.send]
        case v.WipeView() | v.MenuView() | v.HelpView() | v.OverviewView() | v.DoneView():
            return [c.Turn()]
        case _:
            main = getattr(view, "main", None) or getattr(view, "differs", None)
            return [main.send] if main else []
