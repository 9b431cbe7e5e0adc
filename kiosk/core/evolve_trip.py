"""The fold of one tray trip: the trip before, an event of it, the trip after."""

from dataclasses import replace

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Tray
from kiosk.core.folds import TRIP
from kiosk.core.folds.recount import uncounted
from kiosk.core.folds.weight import relabeled, weighed
from kiosk.core.plan import PiecePlan, PlannedCheck
from kiosk.core.stamp import Stamp
from kiosk.core.state.asked import Asking, Pause, Task
from kiosk.core.state.jobs import Job, asked, newest
from kiosk.core.state.piece import MISSING, TRAY, TRAY_PLAN, FindingOn, Piece, Yes
from kiosk.core.state.tickets import Hold, Ticket
from kiosk.core.state.trip import Trip, one_more
from kiosk.core.vocabulary import Check, Disposition


def evolve_trip(trip: Trip, event: e.Event, stamp: Stamp) -> Trip:
    """The trip after an event of its own."""
    match event:
        case e.LoadChecked():
            return replace(trip, load=trip.load or event.load, load_ok=True)
        case e.LoadNotReleased():
            return replace(trip, load=trip.load or event.load, load_ok=False)
        case e.PieceChosen():
            return replace(trip, chosen=event.piece, first="" if trip.counted else event.piece)
        case e.PlanShown():
            return replace(trip, pieces=_planned(trip, event.plans))
        case e.LineCounted():
            return replace(trip, counts={**trip.counts, event.line: event.have})
        case e.CountOk():
            repeated = trip.counts_repeated + event.again
            trip = replace(trip, counted=True, counts_repeated=repeated, counted_by=stamp.who or "")
            return replace(trip, counted_ms=stamp.at_ms, count_again="", first="")
        case e.CountShort() | e.CountOver():
            return _differs(trip, event, stamp)
        case e.CheckYes():
            return _said_yes(trip, event, stamp)
        case e.CheckNo():
            asking = Asking(piece=event.piece, key=event.key, tool=event.tool, unsure=event.unsure)
            if event.piece == TRAY:  # a NO after the YES takes its place: the look is asked again
                trip = _without_last_yes(trip, TRAY, event.key)
            return replace(trip, asking=asking, last=(event.piece, event.key, stamp.who or ""))
        case e.Found():
            return _found(trip, event, stamp)
        case e.FindingWithdrawn():
            return replace(
                trip,
                findings=tuple(f for f in trip.findings if f.n != event.n),
                tasks=tuple(t for t in trip.tasks if t.n != event.n),
            )
        case e.PlaceMoved():
            return _finding(trip, event.n, place=event.place)
        case e.Correction():
            trip = replace(trip, asking=None, last=None)
            return _without_last_yes(trip, event.piece, event.key) if event.was == "yes" else trip
        case e.PhotoTaken():
            return _finding(trip, event.n, photo=event.file, photo_sha256=event.sha256)
        case e.PhotoDeclined():
            return _finding(trip, event.n, no_photo=event.reason)
        case e.SecondLookAsked():
            return _out(_decided(trip, event.n), event.piece, Disposition.SECOND_LOOK)
        case e.Dried():
            spot = f"{event.piece}.{trip.finding(event.n).key}"
            return _put_right(replace(trip, dried={**trip.dried, spot: event.tries}), event.n)
        case e.BenchFixed():
            return _put_right(trip, event.n)
        case e.ItemBack() | e.TrayBack():
            return _back(trip, event, stamp)
        case e.RepairTagged():
            trip = _decided(trip, event.n, Task(kind="print", doc="repair_tag", number=event.tag, n=event.n))
            return _out(trip, event.piece, Disposition.REPAIR, event.tag)
        case e.Quarantined():
            task = Task(kind="print", doc="quarantine_tag", number=event.tag, n=event.n)
            ruled = trip.ruled_by if event.rule else {**trip.ruled_by, event.piece: stamp.who or ""}
            trip = replace(trip, tasks=(*trip.tasks, task), ruled_by=ruled)
            kind = Disposition.QUARANTINE
            return _piece(trip, event.piece, disposition=kind, ticket=event.tag, note=event.note)
        case e.HoldPlaced():
            hold = Hold(id=event.hold, code=event.code, waits_for=event.waits_for, at_ms=stamp.at_ms)
            trip = replace(trip, holds=(*trip.holds, hold))
            if event.n:
                broken = (Task(kind="broken", n=event.n),) if event.code == "part_broken_off" else ()
                trip = _decided(trip, event.n, *broken, *_bench_tasks(event.bench, event.gloves))
            for name in event.waits_for:
                if name in trip.pieces and (name == TRAY or trip.pieces[name].disposition is None):
                    trip = _out(trip, name, Disposition.HOLD)
            return trip
        case e.HoldReleased():
            return replace(trip, holds=tuple(h for h in trip.holds if h.id not in event.holds))
        case e.Replaced():
            return _replaced(trip, event, stamp)
        case e.BenchStepDone():
            return _step(trip, "bench", event.step + 1)
        case e.BenchCleaned():
            return _without(trip, "bench")
        case e.GlovesChanged():
            return _without(trip, "gloves")
        case e.Weighed():
            return weighed(trip, event)
        case e.WeightStopped():
            return weighed(trip, event)
        case e.IndicatorsPlaced():
            return replace(trip, indicators=event.count)
        case e.PackagingChosen():
            return replace(trip, packaging=event.kind)
        case e.Packed() | e.PackedShort():
            short = event.short if isinstance(event, e.PackedShort) else 0
            number, who = event.number, stamp.who or ""
            trip = replace(trip, package=number, packages=event.parts, packed_ms=stamp.at_ms, packed_by=who)
            return replace(trip, packed_short=short)
        case e.LabelVoided():
            return relabeled(trip, event)
        case e.PrintAsked():
            job = Job(doc=event.doc, number=event.number, copy=event.copy)
            return replace(trip, jobs=asked(trip.jobs, job))
        case e.SheetPrinted():
            return _job(trip, "tray_sheet", event.number, where=event.where, why="")
        case e.LabelPrinted():
            return _job(trip, "package_label", event.number, where=event.where, why="")
        case e.TicketPrinted():
            return _job(trip, "return_ticket", event.number, where=event.where, why="")
        case e.TagPrinted():
            return _job(trip, event.doc, event.number, where=event.where, why="")
        case e.PrinterLost():
            return _job(trip, event.doc, event.number, why=event.why)
        case e.Handwritten():
            how = {"by_hand": True, "by_hand_ms": stamp.at_ms, "form": event.form}
            return _job(trip, event.doc, event.number, **how, readable=True)
        case e.PaperRead():
            return _job(trip, event.doc, event.number, readable=event.readable)
        case e.TrayLetGo():
            return replace(trip, let_go_ms=stamp.at_ms)
        case e.Paused():
            return replace(trip, pause=Pause(reason=event.reason, at_ms=stamp.at_ms, by=stamp.who or ""))
        case e.Resumed():
            return replace(trip, pause=None, last=_last_no(trip))
        case e.RepeatedAfterPause():
            return _repeat(trip, event)
        case e.NotSeenMarked():
            spot = f"{event.piece}.{event.lumen}"
            return replace(trip, not_seen={**trip.not_seen, spot: (event.mm, event.all)})
        case _:
            more = TRIP.get(type(event))
            return more(trip, event, stamp) if more else trip


def _tray_plan(tray: Tray) -> PiecePlan:
    """The tray's own checks: basket, all other pieces, and the finished tray where the set record describes it."""
    last = (PlannedCheck(check=Check.ASSEMBLY),) if tray.assembly else ()
    return replace(TRAY_PLAN, checks=TRAY_PLAN.checks + last)


def _only_mark(item: Item | None) -> str:
    """The mark of a piece that the record knows without a scan: the only mark of an item that is there once."""
    return item.marks[0] if item and item.qty == 1 and len(item.marks) == 1 else ""


def _planned(trip: Trip, plans: tuple[PiecePlan, ...]) -> dict[str, Piece]:
    items = {item.id: item for item in trip.tray.items}
    pieces = dict(trip.pieces) or {TRAY: Piece(plan=_tray_plan(trip.tray), item=None)}
    for plan in plans:
        known = pieces.get(plan.piece)
        if known is None:
            item = items.get(plan.item)
            pieces[plan.piece] = Piece(plan=plan, item=item, mark=_only_mark(item))
        else:  # the plan is made anew: answers that stand, stand
            pieces[plan.piece] = replace(known, plan=plan)
    return pieces


def _said_yes(trip: Trip, event: e.CheckYes, stamp: Stamp) -> Trip:
    piece = trip.pieces[event.piece]
    yes = Yes(by=stamp.who or "", at_ms=stamp.at_ms, end=event.end, tool=event.tool)
    given = (*piece.yes.get(event.key, ()), yes)
    trip = _piece(trip, event.piece, yes={**piece.yes, event.key: given})
    chosen = trip.chosen if event.piece == TRAY else event.piece  # the tray comes first, whatever was chosen
    return replace(trip, last=(event.piece, event.key, yes.by), chosen=chosen)


def _found(trip: Trip, event: e.Found, stamp: Stamp) -> Trip:
    finding = FindingOn(
        n=event.n,
        piece=event.piece,
        key=event.key,
        code=event.code,
        group=event.group,
        place=event.place,
        by=stamp.who or "",
        at_ms=stamp.at_ms,
        tool=trip.asking.tool if trip.asking else "",
    )
    told = (event.piece, event.key, finding.by)  # what nobody was asked may be taken back like an answer
    return replace(
        trip,
        findings=(*trip.findings, finding),
        next_finding=event.n + 1,
        asking=None,
        last=trip.last if trip.asking else told,
        tasks=(Task(kind="decide", n=event.n), *trip.tasks),
    )


def _finding(trip: Trip, n: int, **changes: object) -> Trip:
    findings = tuple(replace(f, **changes) if f.n == n else f for f in trip.findings)  # type: ignore[arg-type]
    return replace(trip, findings=findings)


def _piece(trip: Trip, name: str, **changes: object) -> Trip:
    piece = replace(trip.pieces[name], **changes)  # type: ignore[arg-type]
    return replace(trip, pieces={**trip.pieces, name: piece})


_WEIGHT = (Disposition.ITEM_BACK, Disposition.REPAIR, Disposition.SECOND_LOOK, Disposition.HOLD, Disposition.TRAY_BACK)


def _out(trip: Trip, name: str, kind: Disposition, paper: str = "") -> Trip:
    """A piece leaves the tray. The tray's own looks find several things: what holds the tray longest stands."""
    known = trip.pieces[name].disposition
    if name == TRAY and known in _WEIGHT and kind in _WEIGHT and _WEIGHT.index(kind) < _WEIGHT.index(known):
        return trip
    return _piece(trip, name, disposition=kind, ticket=paper or trip.pieces[name].ticket)


def _without_last_yes(trip: Trip, name: str, key: str) -> Trip:
    """Only the YES that was taken back falls; the other end's stands."""
    given = trip.pieces[name].yes
    return _piece(trip, name, yes={**given, key: given.get(key, ())[:-1]})


def _differs(trip: Trip, event: e.CountShort | e.CountOver, stamp: Stamp) -> Trip:
    """A line that differs. Lumened pieces that are not there are not checked."""
    differs = (*(row for row in trip.differences if row[0] != event.line), (event.line, event.want, event.have))
    trip = replace(trip, counts={**trip.counts, event.line: event.have}, first="")
    item = next((line.item for line in trip.tray.lines if line.name == event.line), None)
    if item is not None and event.have < event.want:
        mine = [p.name for p in trip.pieces.values() if p.plan.item == item and p.disposition is None]
        mine.sort(key=trip.absent.__contains__)  # one that was looked for in vain is the one that is missing
        for name in mine[::-1][: event.want - event.have]:
            trip = _piece(trip, name, disposition=Disposition.HOLD, note=MISSING)
    trip = replace(trip, counted=True, differences=differs, counted_by=stamp.who or "")
    return replace(trip, counted_ms=stamp.at_ms, count_again="")


def _decided(trip: Trip, n: int, *after: Task) -> Trip:
    tasks = tuple(t for t in trip.tasks if not (t.kind == "decide" and t.n == n))
    return replace(_finding(trip, n, decided=True), tasks=(*tasks, *after))


def _put_right(trip: Trip, n: int) -> Trip:
    """Put right: there is no answer left to take back, the check is asked again."""
    return replace(_finding(_decided(trip, n), n, put_right=True), last=None)


def _back(trip: Trip, event: e.ItemBack | e.TrayBack, stamp: Stamp) -> Trip:
    whole = isinstance(event, e.TrayBack)
    why = event.why if isinstance(event, e.TrayBack) else ""
    ticket = Ticket(
        number=event.ticket,
        whole_tray=whole,
        pieces=event.pieces,
        findings=event.findings,
        why=why,
        at_ms=stamp.at_ms,
    )
    for n in event.findings:
        trip = _decided(trip, n)
    ticket_print = Task(kind="print", doc="return_ticket", number=event.ticket)
    sharp = (Task(kind="sharp"),) if why == "sharps" else ()
    trip = replace(trip, tasks=(*sharp, *trip.tasks, *_bench_tasks(event.bench, event.gloves), ticket_print))
    kind = Disposition.TRAY_BACK if whole else Disposition.ITEM_BACK
    for name in trip.pieces if whole else event.pieces:
        if not whole or trip.pieces[name].disposition in {None, Disposition.SECOND_LOOK}:
            trip = _out(trip, name, kind, event.ticket)  # what was taken out before stays what it is
    trip = replace(trip, tickets=(*trip.tickets, ticket))
    return replace(trip, back_ms=stamp.at_ms) if whole else trip


def _bench_tasks(level: str, gloves: bool) -> tuple[Task, ...]:
    bench = (Task(kind="bench", level=level),) if level != "none" else ()
    return (*bench, Task(kind="gloves")) if gloves else bench


def _replaced(trip: Trip, event: e.Replaced, stamp: Stamp) -> Trip:
    new = event.item.id
    piece = Piece(plan=replace(TRAY_PLAN, piece=new, item=new, name=event.item.name, checks=()), item=event.item)
    out = trip.pieces[event.out]
    line = next((line for line in trip.tray.lines if line.item == out.plan.item), None)
    counts = dict(trip.counts)
    differs = trip.differences
    if line is not None and counts.get(line.name, line.want) < line.want:
        counts[line.name] += 1  # counted while the piece was away; its spare is there
        differs = one_more(trip, line.name)
    return replace(
        trip,
        counts=counts,
        differences=differs,
        pieces={**trip.pieces, new: piece},
        replaced={**trip.replaced, event.out: new},
        replaced_by={**trip.replaced_by, event.out: stamp.who or ""},
        chosen=new,
    )


def _step(trip: Trip, kind: str, step: int) -> Trip:
    return replace(trip, tasks=tuple(replace(t, step=step) if t.kind == kind else t for t in trip.tasks))


def _without(trip: Trip, kind: str) -> Trip:
    return replace(trip, tasks=tuple(t for t in trip.tasks if t.kind != kind))


def _job(trip: Trip, doc: str, number: str, **changes: object) -> Trip:
    """Change the newest job of this paper."""
    jobs = newest(trip.jobs, doc, number, **changes)
    mine = next((job for job in reversed(jobs) if (job.doc, job.number) == (doc, number)), None)
    tasks = trip.tasks
    if mine is not None and mine.settled:
        tasks = tuple(each for each in tasks if (each.kind, each.doc, each.number) != ("print", doc, number))
    return replace(trip, jobs=jobs, tasks=tasks)


def _repeat(trip: Trip, event: e.RepeatedAfterPause) -> Trip:
    for name in event.pieces:
        trip = _piece(trip, name, yes={})
    if event.count:
        why = trip.count_again or "pause"
        trip = replace(uncounted(trip), count_again=why, first="")
    if event.about:
        trip = replace(trip, asked_about=trip.asked_about | {*event.about})
    return replace(trip, last=_last_no(trip))


def _last_no(trip: Trip) -> tuple[str, str, str] | None:
    """A NO whose finding is not named yet outlives every pause, and may be taken back; no other answer may."""
    return trip.last if trip.asking else None
