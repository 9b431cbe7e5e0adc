"""The rules of people hurt, and of everything stopped."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import (
    ClearExposure,
    MarkHit,
    OpenNote,
    PrintNote,
    RuleExposed,
    StepDone,
    StopAll,
    TornGlove,
    WriteNote,
)
from kiosk.core.decide import exposure_notes
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispose import outcome
from kiosk.core.dispositions import EXPOSED
from kiosk.core.exposure import BESIDE
from kiosk.core.folds.safety import open_trips
from kiosk.core.folds.turnouts import row_of
from kiosk.core.place import Place
from kiosk.core.state.piece import TRAY
from kiosk.core.state.trip import Trip
from kiosk.core.together.repeats import in_a_row, visits
from kiosk.core.vocabulary import Disposition

_TO_DECONTAM = frozenset({Disposition.ITEM_BACK, Disposition.TRAY_BACK, Disposition.DRY_AGAIN, Disposition.BENCH_FIX})
"""What was going to happen to a finding that lets its piece go back with the tray."""

GOES_ON = frozenset({"covered", "not_reached"})
"""Reasons for which an exposed tray may go on."""

_CODES = {"splash": "splash", "sharps": "sharps_injury"}


def mark_hit(pen: Pen, command: MarkHit) -> None:
    """This open tray was hit, or it was covered."""
    trip = pen.bench.trips.get(command.trip)
    if next_step(pen.bench, pen.desk).kind != "exposed" or trip is None or trip.ended:
        raise Refused("refused.not_asked")
    pen.write(e.HitMarked(hit=command.hit), trip=trip.id)


def clear(pen: Pen, command: ClearExposure) -> None:
    """Each tray that was hit goes back whole, with its own ticket; the bench is cleaned once."""
    if next_step(pen.bench, pen.desk).kind != "exposed":
        raise Refused("refused.not_asked")
    hit = [trip for trip in open_trips(pen.bench) if trip.hit] if command.kind in _CODES else []
    if command.kind == "splash" and "splash" not in pen.desk.policy.raise_to_tray:
        hit = hit[:1]
    if command.kind not in {*_CODES, "none"} or (command.kind == "sharps" and not hit):
        raise Refused("refused.not_asked")
    mine = pen.bench.trip is not None and not pen.bench.trip.ended
    level = "full"
    for trip in hit:
        findings = (_found(pen, trip, _CODES[command.kind]),)
        _back(pen, trip.id, command.kind, findings, level=level)
        level = "none"  # one cleaning of the bench is enough
    if command.kind == "splash" and not hit and mine:
        pen.write(e.BenchSoiled(level="full", gloves=True))
    pen.write(e.ExposureCleared(kind=command.kind), off_trip=True)


def _found(pen: Pen, trip: Trip, code: str) -> int:
    """The splash as a finding on the tray: at the check that was being done, or on a tray that lay beside it."""
    doing = pen.bench.exposures[-1]
    here = trip.id == doing.trip and doing.piece in trip.pieces
    piece, key = (doing.piece, doing.key) if here and doing.key else (TRAY, BESIDE)
    group = str(pen.desk.findings[code].group)
    found = e.Found(n=trip.next_finding, piece=piece, key=key, code=code, group=group, place=Place())
    pen.write(found, trip=trip.id)
    return found.n


def _back(pen: Pen, trip_id: str, why: str, named: tuple[int, ...], *, level: str) -> None:
    """The whole tray goes back. What was found before and may not be washed is held first, and stays here."""
    for finding in pen.bench.trips[trip_id].findings:
        trip = pen.bench.trips[trip_id]
        what = outcome(pen.bench, trip, finding, pen.desk)
        if not finding.decided and finding.n not in named and what.kind not in _TO_DECONTAM:
            held = e.HoldPlaced(hold=_hold(pen), code=finding.code, waits_for=(finding.piece,), n=finding.n)
            pen.write(held, trip=trip_id)
            pen.write(e.LeadTold(piece=finding.piece, why=finding.code), trip=trip_id)
    trip = pen.bench.trips[trip_id]
    out = {p.name for p in trip.pieces.values() if p.disposition not in {None, Disposition.SECOND_LOOK}}
    told = {n for made in trip.tickets for n in made.findings}
    open_still = [f for f in trip.findings if not f.put_right and f.n not in told]
    standing = [f for f in open_still if f.n in named or f.piece not in out]  # the splash itself, wherever it hit
    here = (f for f in standing if f.piece not in out)
    pieces = tuple(dict.fromkeys(f.piece for f in here if f.piece != TRAY or f.n not in named))
    number = f"K-{pen.desk.bench_number}{pen.bench.tickets_issued % 9999 + 1:04d}"
    back = e.TrayBack(
        ticket=number,
        pieces=pieces,
        findings=tuple(f.n for f in standing),
        why=why,
        bench=level,
        gloves=level != "none",
    )
    pen.write(back, trip=trip_id)
    for name in pieces:
        if in_a_row(visits(pen.bench, pen.desk, row_of(trip, name))) >= pen.desk.policy.tell_lead_at:
            pen.write(e.LeadTold(piece=name, why="second_return"), trip=trip_id)


def _hold(pen: Pen) -> str:
    return f"{pen.desk.bench_number}-H{pen.bench.holds_placed + 1}"


def sharp_secured(pen: Pen, command: StepDone) -> None:
    """The sharp is where it hurts nobody else."""
    if next_step(pen.bench, pen.desk).kind != "sharp":
        raise Refused("refused.not_asked")
    pen.write(e.SharpSecured())


def torn_glove(pen: Pen, command: TornGlove) -> None:
    """New gloves come next."""
    if pen.trip.ended:
        raise Refused("refused.not_asked")
    pen.write(e.GloveTorn())


def stop_all(pen: Pen, command: StopAll) -> None:
    """Every open tray is marked exposed and held where it lies; whoever touched it may go at once.

    Every bench that hears of it does the same with the trays that were open then.
    """
    if command.heard:
        other = pen.desk.others.get(command.heard)
        began = other.stopped_ms if other else 0
        if began <= pen.bench.stopped_ms:
            raise Refused("refused.not_asked")
    else:
        if pen.bench.who is None:
            raise Refused("refused.sign_in_first")
        began = pen.now.at_ms
    stopped = open_trips(pen.bench, before_ms=began)
    if not stopped and not command.heard:
        raise Refused("refused.no_tray")
    pen.write(e.AllStopped(began_ms=began, heard=command.heard), off_trip=True)
    if not stopped:
        return
    for trip in stopped:
        if all(hold.code != EXPOSED for hold in trip.holds):
            pen.write(e.HoldPlaced(hold=_hold(pen), code=EXPOSED, waits_for=(EXPOSED,)), trip=trip.id)
    pen.write(e.LeadTold(piece="", why="stopped"), off_trip=True)
    if pen.bench.trip is not None and pen.bench.trip.exposed:
        pen.write(e.Paused(reason="stopped"))
    if pen.bench.who is not None:
        pen.write(e.SignedOut(reason="stopped"), off_trip=True)


def rule_exposed(pen: Pen, command: RuleExposed) -> None:
    """An exposed tray goes back whole, or goes on for a reason; the supervisor says so, never of an own tray."""
    trip = pen.bench.trips.get(command.trip)
    if trip is None or trip.ended or not trip.exposed or command.reason not in {"", *GOES_ON}:
        raise Refused("refused.not_asked")
    if command.reason and trip.opened_by == command.by and not pen.desk.policy.self_override:
        raise Refused("refused.own_work")
    pen.write(e.ExposedRuled(back=not command.reason, reason=command.reason), trip=trip.id, who=command.by)
    over = tuple(hold.id for hold in trip.holds if hold.code == EXPOSED)
    pen.write(e.HoldReleased(holds=over, why=command.reason or "tray_back"), trip=trip.id, who=command.by)
    if not command.reason:
        _back(pen, trip.id, "stopped", (), level="none")


RULES: dict[type, Callable[[Pen, Any], None]] = {
    MarkHit: mark_hit,
    ClearExposure: clear,
    TornGlove: torn_glove,
    StopAll: stop_all,
    RuleExposed: rule_exposed,
    OpenNote: exposure_notes.open_note,
    WriteNote: exposure_notes.write_note,
    PrintNote: exposure_notes.print_note,
}
BY_NOBODY: tuple[type, ...] = (StopAll,)  # of a bench that hears of it
"""Commands that need nobody signed in."""


def settle(pen: Pen) -> None:
    """The tray that one person left for first aid is never another's; then the papers of every tray that went back."""
    bench = pen.bench
    if bench.minding and bench.who not in {None, bench.minding} and not _busy(pen):
        pen.write(e.Paused(reason="other_person"), who=bench.minding)
    if next_step(pen.bench, pen.desk).kind == "scan":
        waiting = next((t for t in pen.bench.trips.values() if t.id != pen.bench.current and _papers_due(t)), None)
        if waiting is not None:
            pen.write(e.TurnedTo(), trip=waiting.id)
            pen.turn = None


def _busy(pen: Pen) -> bool:
    """Is it still to be said which trays were hit, or the bench to be cleaned?"""
    return next_step(pen.bench, pen.desk).kind in {"exposed", "sharp", "bench", "gloves", "first_aid"}


def _papers_due(trip: Trip) -> bool:
    return trip.back_ms is not None and bool(trip.tasks or any(job.readable is None for job in trip.jobs))
