"""What a rule takes out of use, without anybody's ruling: a recall, the last allowed use, a failed check too many."""

from kiosk.core import events as e
from kiosk.core.agenda import next_step
from kiosk.core.commands import AnswerRecall, LiftStop, Page, StopList, StopListLot, StopListMark, StopWithdraw, Turn
from kiosk.core.decide.holding import place_hold
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.meaning import Meaning
from kiosk.core.place import Place
from kiosk.core.state.looked import Stop
from kiosk.core.state.piece import FindingOn, Piece
from kiosk.core.together.stop_list import progress, put_on, stop_of, stops, uses

MARK_LETTERS, NOTICE_LETTERS = 40, 60


def by_rule(pen: Pen, finding: FindingOn, rule: str, note: str, *, bench: str = "none", gloves: bool = False) -> None:
    """Quarantine by the department's own rule: tagged and held at once, and the lead told."""
    tag = f"R-{pen.desk.bench_number}{pen.bench.tags_issued + 1:04d}"
    pen.write(e.Quarantined(tag=tag, piece=finding.piece, n=finding.n, note=note, rule=rule))
    place_hold(pen, finding.code, (finding.piece,), n=finding.n, bench=bench, gloves=gloves)
    scope_crosses(pen, finding, tag)
    pen.write(e.LeadTold(piece=finding.piece, why=rule))


def scope_crosses(pen: Pen, finding: FindingOn, paper: str) -> None:
    """The scope that met it is on its way with the same paper."""
    state = pen.bench.scopes.get(finding.tool)
    if state is not None and state.out_of_use:
        pen.write(e.ScopeOutOfUse(scope=finding.tool, why=state.out_of_use, paper=paper))


def look_over(pen: Pen) -> None:
    """The pieces that came to the bench now: at their limit of uses? Else a use is counted."""
    trip = pen.bench.trip
    if trip is None or trip.ended:
        return
    for piece in tuple(trip.pieces.values()):
        if piece.item is None or piece.disposition is not None or piece.name in trip.replaced:
            continue
        if stop_of(pen.bench, pen.desk, piece) is not None:
            continue  # it is asked after first; nothing is known of it before somebody saw it
        if piece.item.use_limit is not None and piece.mark and piece.mark not in pen.trip.used:
            _count_use(pen, piece, piece.item.use_limit)


def answer_recall(pen: Pen, command: AnswerRecall) -> None:
    """Is it here? Taken out, it stays at the bench with its tag; not in the tray, it is counted as missing."""
    step = next_step(pen.bench, pen.desk)
    if step.kind != "recalled" or step.piece != command.piece:
        raise Refused("refused.not_asked")
    piece = pen.trip.pieces[command.piece]
    stop = stop_of(pen.bench, pen.desk, piece)
    assert stop is not None
    if command.here:
        by_rule(pen, _found(pen, piece, "recalled"), "recalled", stop.notice)
        found = progress(pen.bench, pen.desk, stop)
        named = " ".join(filter(None, (piece.plan.name, piece.mark)))
        key = "notice.recalled" if found.of else "notice.recalled_some"
        pen.say(key, piece=named, notice=stop.notice, n=len(found.found), of=found.of)
    else:
        pen.write(e.RecallAbsent(piece=piece.name, mark=piece.mark, notice=stop.notice))
        if pen.trip.counted and pen.trip.pieces[piece.name].disposition is None:  # the count has it: it is counted anew
            pen.write(e.RepeatedAfterPause(pieces=(), count=True))
    again = next_step(pen.bench, pen.desk).kind == "recalled"
    pen.turn = None if again or pen.trip.counted or pen.trip.counts else Turn(page=Page.OVERVIEW)


def _count_use(pen: Pen, piece: Piece, limit: int) -> None:
    so_far = uses(pen.bench, pen.desk, piece)
    if so_far >= limit:
        by_rule(pen, _found(pen, piece, "use_limit"), "use_limit", f"{so_far} / {limit}")
        pen.say("notice.use_limit", piece=piece.plan.name, mark=piece.mark, limit=limit)
    else:
        pen.write(e.UseCounted(piece=piece.name, mark=piece.mark, uses=so_far + 1, limit=limit))


def _found(pen: Pen, piece: Piece, code: str) -> FindingOn:
    n = pen.trip.next_finding
    group = str(pen.desk.findings[code].group)
    pen.write(e.Found(n=n, piece=piece.name, key="look", code=code, group=group, place=Place()))
    return pen.trip.finding(n)


def read_mark(pen: Pen, meaning: Meaning) -> bool:
    """A mark was scanned: of which piece is it? False where it belongs to none of this tray."""
    trip = pen.bench.trip
    if trip is None or trip.ended:
        return False
    mark = meaning.text
    mine = [p for p in trip.pieces.values() if p.item and p.item.own_mark and p.name not in trip.replaced]
    piece = next((p for p in mine if p.mark == mark), None)
    if piece is None:
        unknown = [p for p in mine if not p.mark]
        named = [p for p in unknown if p.item and mark in p.item.marks]
        open_ones = [p for p in unknown if p.item and not p.item.marks]  # the record does not know its marks
        piece = next(iter(named), None) or (open_ones[0] if len(open_ones) == 1 else None)
        if piece is None:
            return False
    if not piece.mark or not _was_read(pen, piece.name):
        pen.write(e.MarkRead(piece=piece.name, mark=mark))
    if trip.counted and piece.disposition is None:
        pen.write(e.PieceChosen(piece=piece.name))
    pen.say("notice.mark_read", piece=piece.plan.name, mark=mark)
    return True


def _was_read(pen: Pen, piece: str) -> bool:
    return any(f.piece == piece for f in pen.trip.findings)


def stop_list(pen: Pen, command: StopList) -> None:
    """The supervisor's own list; nobody else puts anything on it."""
    notice = command.notice.strip()
    if not notice or len(notice) > NOTICE_LETTERS:
        raise Refused("refused.stop_notice", n=NOTICE_LETTERS)
    marks = tuple(mark.strip() for mark in command.marks if mark.strip())
    pen.write(e.StopListed(notice=notice, marks=marks, types=command.types, lots=command.lots), off_trip=True)
    pen.turn = Turn(page=Page.STOP_NOTICE, subject=notice)


def stop_list_mark(pen: Pen, command: StopListMark) -> None:
    """One more mark under a notice."""
    _known(pen, command.notice)
    if not command.mark.strip() or len(command.mark) > MARK_LETTERS:
        raise Refused("refused.stop_mark")
    stop_list(pen, StopList(notice=command.notice, marks=(command.mark,)))


def stop_list_lot(pen: Pen, command: StopListLot) -> None:
    """A lot under a notice: no box of it is opened from here on, at any bench."""
    _known(pen, command.notice)
    lot = command.lot.strip()
    if not lot or len(lot) > MARK_LETTERS:
        raise Refused("refused.stop_mark")
    stop_list(pen, StopList(notice=command.notice, lots=(lot,)))


def withdraw(pen: Pen, command: StopWithdraw) -> None:
    """A wrong entry is taken off its notice; the log keeps both words."""
    if (command.kind, command.value) not in _known(pen, command.notice).entries():
        raise Refused("refused.not_asked")
    over = put_on(pen.bench, pen.desk, command.notice)[f"{command.kind} {command.value}"]
    pen.write(e.StopWithdrawn(notice=command.notice, kind=command.kind, value=command.value, over=over), off_trip=True)
    pen.turn = Turn(page=Page.STOP_NOTICE, subject=command.notice)


def _known(pen: Pen, notice: str) -> Stop:
    """The notice in force of that name."""
    stop = next((each for each in stops(pen.bench, pen.desk) if each.notice == notice), None)
    if stop is None:
        raise Refused("refused.not_asked")
    return stop


def lift(pen: Pen, command: LiftStop) -> None:
    """The notice is in force no more."""
    _known(pen, command.notice)
    put = put_on(pen.bench, pen.desk, command.notice).values()
    over = tuple(dict.fromkeys(mark for marks in put for mark in marks))
    pen.write(e.StopLifted(notice=command.notice, over=over), off_trip=True)
    pen.turn = Turn(page=Page.STOP_LIST)
