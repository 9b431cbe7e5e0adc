"""What comes next: the one place that orders the walk of a tray. Pure; `view` shows it, `decide` holds to it."""

from dataclasses import dataclass, replace

from kiosk.core.desk import Desk
from kiosk.core.dispositions import OUT, UNSIGNED, waits
from kiosk.core.plan import PlannedCheck, ends_of
from kiosk.core.second_count import second_due
from kiosk.core.startup import startup_answered, startup_asked
from kiosk.core.state.asked import Task
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY, Piece, is_missing
from kiosk.core.state.ruled import Override
from kiosk.core.state.trip import Trip, every_load_of
from kiosk.core.together.loads import found_bad
from kiosk.core.together.stop_list import recalled
from kiosk.core.vocabulary import Check, Disposition, Role


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """The next thing. `kind`: first_aid, intake, sign_in, exposed, sharp, cosign, startup, scan, load, load_bad,
    no_ifu, recalled, count, second_count, search, whose, finding, decide, put_right, bench, gloves, print,
    print_failed, readable, scope, dirty_absent, check, plan_hold, too_heavy, shelf, unit, pack, done."""

    kind: str
    question: str = ""
    piece: str = ""
    check: PlannedCheck | None = None
    end: str = ""  # entry or tip, where both ends are asked
    task: Task | None = None
    scope: str = ""
    number: int = 0  # of the override to sign for
    line: str = ""  # the count line that differs


BENCH_TASKS = frozenset({"sharp", "bench", "gloves"})
"""What is owed to the bench itself: no other tray is opened before it is done."""


def bench_owed(bench: Bench) -> Trip | None:
    """The tray whose bench cleaning is not done yet."""
    going = (trip for trip in bench.trips.values() if trip.pathogen_ms is None)
    return next((t for t in going if any(task.kind in BENCH_TASKS for task in t.tasks)), None)


def untouched(trip: Trip) -> bool:
    """Was nothing on this tray counted, answered or found yet? Then it may be the wrong tray, and be let go."""
    begun = trip.counted or trip.counts or trip.count_again or trip.findings or trip.holds or trip.asking
    return not (trip.ended or begun or any(piece.yes for piece in trip.pieces.values()))


def next_step(bench: Bench, desk: Desk) -> Step:
    """The next step of the bench as a whole."""
    if bench.first_aid_ms is not None:
        return Step(kind="first_aid")
    if not desk.catalogue.people:
        return Step(kind="begin")
    if desk.side == "decontam" or _of_decontam(bench, desk):
        return Step(kind="intake")
    if bench.who is None:
        return Step(kind="sign_in")
    if to_clear(bench):
        return Step(kind="exposed")
    trip = bench.trip
    if bench.unsigned and at_desk(bench, desk) and (n := to_sign(bench, desk)):
        return Step(kind="cosign", number=n[0].n)
    if bench_owed(bench) is None and (trip is not None or not at_desk(bench, desk)):  # a soiled bench is cleaned first
        for question in startup_asked(bench, desk):
            if startup_answered(bench, desk, question) is None:
                return Step(kind="startup", question=question)
    if trip is None:
        return Step(kind="scan")
    return _step_of_trip(bench, trip, desk)


def to_clear(bench: Bench) -> bool:
    """Was somebody hurt or splashed here, and nobody has said yet which open trays were hit?"""
    return any(not exposure.cleared for exposure in bench.exposures)


def at_desk(bench: Bench, desk: Desk) -> bool:
    """Is a supervisor or educator signed in? They are asked the bench start only when they open a tray."""
    person = desk.catalogue.people.get(bench.who or "")
    return person is not None and person.role in {Role.SUPERVISOR, Role.EDUCATOR}


def to_sign(bench: Bench, desk: Desk) -> tuple[Override, ...]:
    """What the supervisor signed in may sign for: never what they asked for or, face to face, gave themselves."""
    person = desk.catalogue.people.get(bench.who or "")
    if person is None or person.role is not Role.SUPERVISOR:
        return ()
    return tuple(one for one in bench.unsigned if person.id != one.asked and (one.phone or person.id != one.by))


def _step_of_trip(bench: Bench, trip: Trip, desk: Desk) -> Step:
    if trip.pathogen_ms is not None and not trip.ended:
        return Step(kind="special")
    owed = next((task for task in trip.tasks if task.kind in BENCH_TASKS), None)
    if owed is not None:  # a soiled bench comes before everything else on it
        return _step_of_task(trip, owed, desk)
    if trip.let_go_ms is not None:
        return Step(kind="scan")
    if not trip.ended:  # a tray may go back whole before it is counted
        if found_bad(bench, desk, every_load_of(trip)):
            return Step(kind="load_bad")
        if any(UNSIGNED in hold.waits_for for hold in trip.holds):
            return Step(kind="unsigned")
        if trip.load_ok is not True and desk.policy.load_release_required:
            return Step(kind="load")
        if trip.tray.loaner and not (trip.tray.loaner.ifu_on_file or trip.ifu_filed):
            return Step(kind="no_ifu")
        between = not trip.asking and all(task.kind == "print" for task in trip.tasks)
        if between and (piece := recalled(bench, desk, trip)):
            return Step(kind="recalled", piece=piece.name)
        if count_due(trip):
            return Step(kind="count")
        if second_due(bench, desk, trip):
            return Step(kind="second_count")
    if trip.asking:
        return Step(kind="finding", piece=trip.asking.piece)
    if trip.tasks:
        return _step_of_task(trip, trip.tasks[0], desk)
    failed = next((job for job in trip.jobs if not job.settled and job.why), None)
    if failed:
        return Step(kind="print_failed", task=Task(kind="print", doc=failed.doc, number=failed.number))
    if any(not job.settled for job in trip.jobs):
        return Step(kind="print")
    if any(job.readable is None for job in trip.jobs):
        return Step(kind="readable")
    if trip.ended:
        return Step(kind="scan")
    differs = _to_settle(trip)
    if differs:
        return differs
    upcoming = next_check(trip)
    if upcoming and dirty_check_due(trip, upcoming.piece, desk):
        return Step(kind="dirty_absent", piece=upcoming.piece)
    scope = scope_to_clean(bench, trip, desk, upcoming)
    if scope:
        return Step(kind="scope", scope=scope)
    if upcoming:
        return upcoming
    if trip.weight_over:
        return Step(kind="too_heavy")
    if waits(trip):
        return Step(kind="shelf")
    return Step(kind="unit" if trip.unit_asked else "pack")


def _of_decontam(bench: Bench, desk: Desk) -> bool:
    """Is a person of decontam signed in? They see decontam's work wherever they are."""
    person = desk.catalogue.people.get(bench.who or "")
    return person is not None and person.role is Role.DECONTAM


def count_due(trip: Trip) -> bool:
    """Is the count what comes next? A piece that came back is looked at before it is put back and counted.

    A tray that only waits for pieces is not counted before it is known with which of them it goes on.
    """
    if trip.counted or _looked_first(trip) or (trip.recheck and (trip.asking or trip.tasks)):
        return False
    back = (trip.pieces[name] for name in trip.recheck)
    return all(piece.disposition is not None or piece.all_yes for piece in back) and not _only_waits(trip)


def _only_waits(trip: Trip) -> bool:
    """Was it taken from its shelf, and is there nothing to do but wait or rule? It is counted once that is over."""
    out = waits(trip)
    pieces = [trip.pieces[name] for name in out if name in trip.pieces]
    away = bool(out) and len(pieces) == len(out) and not any(is_missing(piece) for piece in pieces)
    return bool(trip.count_again) and away and not trip.tasks and next_check(replace(trip, counted=True)) is None


def dirty_check_due(trip: Trip, name: str, desk: Desk) -> bool:
    """Does policy want the dirty side's record for this piece, and there is none of this trip?"""
    piece = trip.pieces[name]
    lumened = piece.item is not None and bool(piece.item.lumens)
    return desk.policy.verify_where != "clean" and lumened and not piece.dirty


def _looked_first(trip: Trip) -> bool:
    """Was a piece picked before the count, and is there still something to do about it? Then it comes first."""
    piece = trip.pieces.get(trip.first)
    if piece is None:
        return False
    if trip.asking or trip.tasks or any(job.readable is None for job in trip.jobs):
        return True
    return _to_look_at(trip, piece)


def _to_look_at(trip: Trip, piece: Piece) -> bool:
    gone = piece.disposition in OUT or piece.name in trip.replaced
    return not gone and (first_open(piece) is not None or bool(piece.plan.hold))


def _to_settle(trip: Trip) -> Step | None:
    """What a line that differs wants at once: a search where it is short; where it is over, whose it may be."""
    if not trip.counted:
        return None
    for line, want, have in trip.differences:
        if have < want and line not in trip.search_over | trip.short_by:
            return Step(kind="search", line=line)
        if have > want and line not in trip.extra_of:
            return Step(kind="whose", line=line)
    return None


def _step_of_task(trip: Trip, task: Task, desk: Desk) -> Step:
    if task.kind == "decide":
        back = desk.findings[trip.finding(task.n).code].back
        right = back in {Disposition.DRY_AGAIN, Disposition.BENCH_FIX}
        return Step(kind="put_right" if right else "decide", task=task, piece=trip.finding(task.n).piece)
    if task.kind == "print":
        job = next((j for j in reversed(trip.jobs) if j.doc == task.doc and j.number == task.number), None)
        return Step(kind="print_failed" if job and job.why and not job.settled else "print", task=task)
    return Step(kind=task.kind, task=task)


def next_check(trip: Trip) -> Step | None:
    """The open check: of the tray, of the piece that was picked, of the first that has one; or a plan's hold."""
    if not trip.counted and trip.first in trip.pieces:
        return _next_of(trip, trip.pieces[trip.first])
    order = [trip.pieces[trip.chosen]] if trip.chosen in trip.pieces else []
    order += [piece for piece in trip.pieces.values() if piece.name != trip.chosen]
    if TRAY in trip.pieces and order[0].name != TRAY:
        order = [trip.pieces[TRAY], *[p for p in order if p.name != TRAY]]
    nexts = (_next_of(trip, piece) for piece in order)
    return next((step for step in nexts if step is not None), None) or _assembly(trip)


def _next_of(trip: Trip, piece: Piece) -> Step | None:
    """What comes next of one piece."""
    if piece.name == TRAY and piece.disposition is not Disposition.TRAY_BACK:
        check = _open_of_tray(trip, piece)
    elif piece.disposition in OUT or piece.name in trip.replaced:
        return None
    else:
        check = first_open(piece)
    if check:
        return Step(kind="check", piece=piece.name, check=check, end=end_now(piece, check))
    return Step(kind="plan_hold", piece=piece.name) if piece.plan.hold and not piece.dirty else None


def _assembly(trip: Trip) -> Step | None:
    """The finished tray, where the set record describes it: once nothing else is to be looked at, and nothing waits."""
    tray = trip.pieces.get(TRAY)
    check = next((c for c in tray.open_checks() if c.check is Check.ASSEMBLY), None) if tray else None
    return Step(kind="check", piece=TRAY, check=check) if check and not waits(trip) else None


def _open_of_tray(trip: Trip, piece: Piece) -> PlannedCheck | None:
    """The tray's own next look: what was found at one of them does not spare the other. The finished tray is last."""
    mine = (f for f in trip.findings if f.piece == TRAY and f.decided and not (f.put_right or f.ruled))
    found = {Check.ASSEMBLY.value} | {f.key for f in mine}
    return next((check for check in piece.open_checks() if check.key not in found), None)


def first_open(piece: Piece) -> PlannedCheck | None:
    """The first planned check of the piece that still wants a YES."""
    return next(piece.open_checks(), None)


def end_now(piece: Piece, check: PlannedCheck) -> str:
    """Which end the tool goes in now: "" when one end is enough, else entry first and then the tip."""
    if ends_of(check) == 1:
        return ""
    return "tip" if piece.yes.get(check.key) else "entry"


def scope_to_clean(bench: Bench, trip: Trip, desk: Desk, upcoming: Step | None) -> str:
    """The scope that policy wants cleaned before what comes next, or ""."""
    every = desk.policy.scope_clean_every
    for scope, state in bench.scopes.items():
        if state.used_on is None or state.out_of_use or every == "shift":
            continue
        used_trip, used_piece = state.used_on
        if used_trip != trip.id or upcoming is None:
            return scope
        if every == "item" and upcoming.piece != used_piece and not _meanwhile(trip, scope, upcoming):
            return scope
        if every == "lumen" and not _same_lumen(trip, used_piece, upcoming):
            return scope
    return ""


def _meanwhile(trip: Trip, scope: str, upcoming: Step) -> bool:
    """Was another piece picked, and does it not want the scope yet? It may be gone on with while the scope waits."""
    return trip.chosen == upcoming.piece and upcoming.check is not None and upcoming.check.tool != scope


def _same_lumen(trip: Trip, used_piece: str, upcoming: Step) -> bool:
    """Is what comes next the second end of the very lumen the scope is in, or a check that needs no scope there?"""
    if upcoming.piece != used_piece or upcoming.check is None:
        return False
    return trip.last is not None and trip.last[1].split(".")[0] == upcoming.check.lumen
