"""Answers: YES, NO, CAN'T TELL; what was found; a picture; taking back."""

from dataclasses import replace
from decimal import Decimal

from kiosk.core import events as e
from kiosk.core.agenda import Step, next_step
from kiosk.core.commands import (
    Answer,
    Confirm,
    KeepPhoto,
    MovePlace,
    NoPhoto,
    Page,
    ReportFinding,
    StepDone,
    TakeBack,
    Turn,
)
from kiosk.core.decide import counting, returning, second_looks, standing
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.joints import wants_look
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.dispose import Outcome, outcome, photo_wanted
from kiosk.core.findings import KEPT_FROM_UNDO, FindingKind
from kiosk.core.pace import pace_ms
from kiosk.core.place import Place
from kiosk.core.plan import PiecePlan, PlannedCheck
from kiosk.core.startup import kit_today, startup_answered
from kiosk.core.state.piece import NOT_OURS, TRAY, FindingOn, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.stop_list import unread
from kiosk.core.vocabulary import Check, Disposition, Group


def answer(pen: Pen, command: Answer) -> None:
    """YES, NO or CAN'T TELL to the open check."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "check" or step.check is None or (step.piece, step.check.key) != (command.piece, command.key):
        raise Refused("refused.not_asked")
    check = step.check
    if not command.yes:
        _no(pen, command, check, step)
        return
    if unread(pen.trip.pieces[command.piece]):
        raise Refused("refused.mark_first")
    if check.check is Check.INSULATION and startup_answered(pen.bench, pen.desk, "tester") is False:
        raise Refused("refused.tester_out")
    policy = pen.desk.policy
    pace = pace_ms(policy, _length(pen.trip, command.piece, check.lumen)) if check.check is Check.SCOPE else 0
    if policy.look_time == "ask" and command.took_ms < pace and not command.sure and not pen.trip.pace_asked:
        pen.say("notice.quick_look", seconds=max(1, command.took_ms // 1000))
        return
    pen.write(
        e.CheckYes(
            piece=command.piece,
            key=command.key,
            end=step.end,
            took_ms=command.took_ms,
            tool=check.tool,
            asked_twice=command.sure,
        )
    )
    second_looks.mark_not_seen(pen, command.piece, check.lumen)


def _length(trip: Trip, piece: str, lumen: str) -> Decimal | None:
    item = trip.pieces[piece].item
    return next((way.length_mm for way in item.lumens if way.name == lumen), None) if item else None


def _no(pen: Pen, command: Answer, check: PlannedCheck, step: Step) -> None:
    pen.write(
        e.CheckNo(
            piece=command.piece,
            key=command.key,
            end=step.end,
            took_ms=command.took_ms,
            tool=check.tool,
            unsure=command.unsure,
        )
    )
    if command.unsure:
        _find(pen, "unsure", Place(lumen=check.lumen))


def report(pen: Pen, command: ReportFinding) -> None:
    """What was seen, and where."""
    asking = pen.trip.asking
    if asking is None:
        raise Refused("refused.not_asked")
    code = command.code
    tries = pen.trip.dried.get(f"{asking.piece}.{asking.key}", 0)
    if code == "clear_drops" and tries >= pen.desk.policy.max_dry_tries:
        code = "still_wet"
    if code not in pen.desk.findings.kinds:
        raise Refused("refused.not_asked")
    _find(pen, code, command.place)


def _find(pen: Pen, code: str, place: Place) -> None:
    asking = pen.trip.asking
    assert asking is not None
    kind = pen.desk.findings[code]
    n = pen.trip.next_finding
    pen.write(e.Found(n=n, piece=asking.piece, key=asking.key, code=code, group=str(kind.group), place=place))


def deciding(pen: Pen) -> FindingOn:
    """The finding on the decision page."""
    task = next((t for t in pen.trip.tasks if t.kind == "decide"), None)
    if task is None:
        raise Refused("refused.not_asked")
    return pen.trip.finding(task.n)


def move_place(pen: Pen, command: MovePlace) -> None:
    """Move the mark one way or the other along the tube."""
    finding = deciding(pen)
    place = finding.place
    length = _length(pen.trip, finding.piece, place.lumen)
    if place.at_mm is None or length is None:
        raise Refused("refused.no_mark")
    at = min(max(0, place.at_mm + command.by_mm), int(length))
    pen.write(e.PlaceMoved(n=finding.n, place=Place(lumen=place.lumen, at_mm=at)))


def keep_photo(pen: Pen, command: KeepPhoto, who: str | None = None) -> None:
    """A picture of the finding lies on disk; `who` took it, where that is not whoever is signed in."""
    finding = deciding(pen)
    pen.write(e.PhotoTaken(n=finding.n, file=command.file, sha256=command.sha256), who=who)
    _after_photo(pen, finding)


def no_photo(pen: Pen, command: NoPhoto) -> None:
    """No picture, with a reason."""
    finding = deciding(pen)
    pen.write(e.PhotoDeclined(n=finding.n, reason=command.reason))
    _after_photo(pen, finding)


def _after_photo(pen: Pen, finding: FindingOn) -> None:
    """A piece for quarantine is held as soon as its picture is settled; nobody else decides about it."""
    what = outcome(pen.bench, pen.trip, pen.trip.finding(finding.n), pen.desk)
    if what.kind is Disposition.QUARANTINE:
        hold_for_lead(pen, finding, what)


def hold_for_lead(pen: Pen, finding: FindingOn, what: Outcome) -> None:
    """The piece is held and the lead told; where washing again will not help, it is in quarantine by rule."""
    if what.kind is Disposition.QUARANTINE and pen.desk.findings[finding.code].back is not Disposition.QUARANTINE:
        level = str(what.level)
        standing.by_rule(pen, finding, "fail_limit", str(what.effort), bench=level, gloves=what.gloves)
        pen.say("notice.held_lead_told")
        return
    place_hold(pen, finding.code, (finding.piece,), n=finding.n, bench=str(what.level), gloves=what.gloves)
    pen.write(e.LeadTold(piece=finding.piece, why=finding.code))
    if finding.code in NOT_OURS:
        counting.foreign_found(pen, finding)
    pen.say("notice.held_lead_told")


def confirm_decision(pen: Pen, command: Confirm) -> None:
    """Yes to what the decision page says."""
    finding = deciding(pen)
    what = outcome(pen.bench, pen.trip, finding, pen.desk)
    if command.what not in allowed(what.kind, finding.code):
        raise Refused("refused.not_asked")
    chosen = Disposition(command.what)
    if chosen is not Disposition.BENCH_FIX and photo_wanted(finding, what.kind, pen.desk):
        raise Refused("refused.photo_first")
    match chosen:
        case Disposition.ITEM_BACK | Disposition.TRAY_BACK:
            _send_back(pen, finding, what, whole=chosen is Disposition.TRAY_BACK)
        case Disposition.REPAIR:
            tag = f"R-{pen.desk.bench_number}{pen.bench.tags_issued + 1:04d}"
            pen.write(e.RepairTagged(tag=tag, piece=finding.piece, n=finding.n))
        case Disposition.QUARANTINE:
            hold_for_lead(pen, finding, what)
        case Disposition.SECOND_LOOK:
            pen.write(e.SecondLookAsked(n=finding.n, piece=finding.piece))
            pen.turn = Turn(page=Page.NAMES, subject=f"second:look-{finding.n}:")
        case Disposition.PACK:
            second_looks.goes_on(pen, finding, by=pen.bench.who or "", code=finding.code)
        case Disposition.BENCH_FIX:
            pen.write(e.BenchFixed(n=finding.n, piece=finding.piece))
        case _:
            hold_for_lead(pen, finding, what)


LOOK_AGAIN = frozenset({"unsure", "picture_unclear"})
"""Doubts that one person may settle by looking again. A color or a scratch is seen: that takes a second person."""


def allowed(kind: Disposition, code: str) -> tuple[Disposition, ...]:
    """What may be confirmed: what the rules say first, then what is stricter or, in doubt, careful."""
    again = (Disposition.BENCH_FIX,) if code in LOOK_AGAIN else ()
    if again and kind is Disposition.ITEM_BACK:
        return (kind, *again)
    more = {
        Disposition.ITEM_BACK: (Disposition.TRAY_BACK,),
        Disposition.SECOND_LOOK: (*again, Disposition.ITEM_BACK),
        Disposition.REPAIR: (Disposition.ITEM_BACK,),
        Disposition.PACK: (Disposition.ITEM_BACK,),
    }
    return (kind, *more.get(kind, ()))


def _send_back(pen: Pen, finding: FindingOn, what: Outcome, *, whole: bool) -> None:
    number = f"K-{pen.desk.bench_number}{pen.bench.tickets_issued % 9999 + 1:04d}"
    why = next((key for key, _ in reversed(what.because) if "raised" in key or "return.tray" in key), "chosen")
    told = {n for made in pen.trip.tickets for n in made.findings}  # of a basket look that has its ticket, say
    kept = {f.n for f in pen.trip.findings if f.n != finding.n and _of_tray_and_held(pen, f)}
    stands = [f for f in pen.trip.findings if not (f.put_right or f.accepted) and f.n not in told | kept]
    if whole:
        gone = _taken_out(pen.trip) - {finding.piece}
        soiled = tuple(f.n for f in stands if f.piece not in gone)
        pieces = tuple(dict.fromkeys(pen.trip.finding(n).piece for n in soiled))
        pen.write(
            e.TrayBack(
                ticket=number, pieces=pieces, findings=soiled, why=why, bench=str(what.level), gloves=what.gloves
            )
        )
    else:
        mine = tuple(f.n for f in stands if f.piece == finding.piece)
        pen.write(
            e.ItemBack(ticket=number, pieces=(finding.piece,), findings=mine, bench=str(what.level), gloves=what.gloves)
        )
    standing.scope_crosses(pen, finding, number)
    if what.effort >= pen.desk.policy.tell_lead_at:
        pen.write(e.LeadTold(piece=finding.piece, why="second_return"))


def _of_tray_and_held(pen: Pen, finding: FindingOn) -> bool:
    """Was it found at one of the tray's own looks, and held or tagged? Then it is not for the sink. A doubt is."""
    doubt = pen.desk.findings[finding.code].back is Disposition.SECOND_LOOK
    return finding.piece == TRAY and finding.decided and not doubt


def _taken_out(trip: Trip) -> set[str]:
    """Pieces that are not in the tray any more, or are held: they do not go to the washer with it. A doubt does."""
    stay = {None, Disposition.SECOND_LOOK}
    return {piece.name for piece in trip.pieces.values() if piece.disposition not in stay}


def may_stay(kind: FindingKind) -> bool:
    """May it be that this can not be put right here? Water is dried; a spoiled check or torn glove is no piece's."""
    return kind.back is Disposition.BENCH_FIX and kind.group not in {Group.CHECK, Group.EVENT}


def stays_out(pen: Pen, command: Confirm) -> None:
    """What could not be put right here goes back; a piece that waits for a second person may go back too."""
    step = next_step(pen.bench, pen.desk)
    if step.kind == "put_right" and step.task is not None:
        finding = pen.trip.finding(step.task.n)
        if not may_stay(pen.desk.findings[finding.code]):
            raise Refused("refused.not_asked")
    else:
        waiting = (p.name for p in pen.trip.pieces.values() if p.disposition is Disposition.SECOND_LOOK)
        name = next(waiting, "")
        found = [f for f in pen.trip.findings if f.piece == name and not (f.put_right or f.accepted)]
        if not found:
            raise Refused("refused.not_asked")
        finding = found[-1]
    _send_back(pen, finding, outcome(pen.bench, pen.trip, finding, pen.desk), whole=False)


def confirm_plan_hold(pen: Pen, command: Confirm) -> None:
    """A piece that no permitted check reaches: held for the supervisor, or sent for a check on the dirty side.

    Nobody has to go through its other checks first.
    """
    step = next_step(pen.bench, pen.desk)
    piece = pen.trip.pieces.get(command.subject or step.piece)
    if step.kind not in {"plan_hold", "check", "scope"} or piece is None or piece.plan.hold is None or piece.dirty:
        raise Refused("refused.not_asked")
    if piece.disposition is not None or piece.name != step.piece:
        raise Refused("refused.not_asked")
    if command.what == Disposition.ITEM_BACK:
        returning.send_to_be_checked(pen, piece)
        finding = pen.trip.findings[-1]
        _send_back(pen, finding, outcome(pen.bench, pen.trip, finding, pen.desk), whole=False)
    else:
        place_hold(pen, piece.plan.hold, (piece.name,))


def put_right(pen: Pen, command: StepDone) -> None:
    """Dried, or put right here: the check is asked again."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "put_right" or step.task is None:
        raise Refused("refused.not_asked")
    finding = pen.trip.finding(step.task.n)
    if pen.desk.findings[finding.code].back is Disposition.DRY_AGAIN:
        tries = pen.trip.dried.get(f"{finding.piece}.{finding.key}", 0) + 1
        pen.write(e.Dried(n=finding.n, piece=finding.piece, tries=tries))
    else:
        if wants_look(finding):
            raise Refused("refused.joint_first")
        pen.write(e.BenchFixed(n=finding.n, piece=finding.piece))


def take_back(pen: Pen, command: TakeBack) -> None:
    """Change the last answer. A soil finding of the grave kind, or one already decided, stays for the supervisor."""
    trip = pen.trip
    if trip.last is None or trip.ended:
        raise Refused("refused.nothing_to_change")
    piece, key, by = trip.last
    if by != pen.bench.who:
        raise Refused("refused.not_your_answer")
    finding = next((f for f in reversed(trip.findings) if f.piece == piece and f.key == key and not f.put_right), None)
    if finding is not None:
        if finding.code in KEPT_FROM_UNDO:
            raise Refused("refused.finding_stays")
        if finding.decided:
            raise Refused("refused.ticket_made")
        pen.write(e.FindingWithdrawn(n=finding.n))
    was_no = finding is not None or trip.asking is not None
    pen.write(e.Correction(piece=piece, key=key, was="no" if was_no else "yes"))


def scope_after_finding(pen: Pen, finding: FindingOn) -> None:
    """A scope that met soil is out of use until reprocessed, where policy says so."""
    if not finding.key.endswith(".scope") or not finding.tool or finding.piece == TRAY:
        return
    if finding.group in {"soil", "foreign"} and pen.desk.policy.scope_after_soil == "out_of_use":
        pen.write(e.ScopeOutOfUse(scope=finding.tool, why=finding.code))
        pen.say("notice.scope_out", scope=finding.tool)


def plan_anew(pen: Pen) -> None:
    """Where a scope that is out is still planned, the pieces to be checked get a plan without it."""
    kit, out = kit_today(pen.bench, pen.desk)
    asked = {pen.trip.finding(task.n).piece for task in pen.trip.tasks if task.kind == "decide"}
    going = {
        p.name: p
        for p in pen.trip.pieces.values()
        if p.item and p.disposition is None and not p.all_yes and p.name not in asked
    }
    if not any(check.tool in out for piece in going.values() for check in piece.open_checks()):
        return
    items = {p.item.id: p.item for p in going.values() if p.item}
    plans = pen.desk.make_plan(tuple(items.values()), pen.desk.policy, kit, out)
    pen.write(e.PlanShown(plans=tuple(_kept(going[plan.piece], plan) for plan in plans if plan.piece in going)))


def _kept(piece: Piece, plan: PiecePlan) -> PiecePlan:
    """Answers that stand, stand: a finished lumen keeps its plan, and one end answered never stands for both."""
    done = {way.lumen for way in plan.lumens if piece.lumen_done(way.lumen)}
    lumens = tuple(old if way.lumen in done and (old := piece.lumen(way.lumen)) else way for way in plan.lumens)
    checks = [check for check in piece.plan.checks if check.lumen in done]
    for check in plan.checks:
        half = any(yes.end for yes in piece.yes.get(check.key, ()))
        if half and check.lumen not in done:
            checks.append(replace(check, ends="both ends", use=f"{check.tool} both ends"))
        elif check.lumen not in done:
            checks.append(check)
    hold = next((way.hold for way in lumens if way.hold), None)
    return replace(plan, checks=tuple(checks), lumens=lumens, hold=hold)
