"""Decontam's station: the number alone, one return, the list of all, an answer said back, checks on the dirty side."""

from dataclasses import replace

from kiosk.core.commands import AnswerTicket, CheckDirty, NotHere, Page, ReceiveTicket, SignOut, Turn
from kiosk.core.decide.decontam import lumened
from kiosk.core.glance import Glance, band_for, flags_of, hand, machine_notice, wipe_key
from kiosk.core.state.trip import Trip
from kiosk.core.together.answers import ANSWERS, GRAVE
from kiosk.core.together.returns import OpenReturn, find_return, open_returns
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Band, Hand, Head, IdleView, IntakeView, Key, ListRow, ListView, NumberView, StopView

NEXT_ROWS = 2


def in_line(g: Glance) -> list[OpenReturn]:
    """On their way, the oldest first."""
    return [each for each in open_returns(g.bench, g.desk) if not each.received and each.back.not_here_ms is None]


def dirty_head(g: Glance) -> Head:
    """The head rail of decontam's work: how many wait."""
    say = g.words.say
    n = len(in_line(g))
    waiting = say("intake.waiting", n=n) if n else say("intake.waiting_none")
    who = g.name_of(g.bench.who) if g.bench.who else ""
    notice = machine_notice(g) or (say("rail.printer_down") if g.bench.printer_down else "")
    title = say("intake.rail")
    return Head(title=title, short=f"{title} · {waiting}", who=who, bench=waiting, notice=notice)


def dirty_hand(g: Glance, *, back: bool = True, typing: bool = False) -> Hand:
    """The hand rail of decontam's work. `typing`: on the page where the number is typed, no key leads there."""
    first = g.key("rail.back", Turn(), icon="arrow_left") if back else _list_key(g)
    typed = g.key("intake.type", Turn(page=Page.TYPE_NUMBER, subject="ticket"), icon="keys")
    signed = g.bench.who is not None
    last = g.key("rail.sign_out", SignOut(), icon="arrow_right") if signed else _sign_in_key(g)
    return hand(g, left=(first,) if typing else (first, typed), right=(wipe_key(g), last))


def _list_key(g: Glance) -> Key:
    return g.key("intake.list", Turn(page=Page.RETURNS), icon="" if g.small else "tray")


def _sign_in_key(g: Glance) -> Key:
    return g.key("intake.sign_in", Turn(page=Page.NAMES), icon="arrow_right", name="sign in")


def idle(g: Glance) -> IdleView:
    """The number of the next return alone; one touch opens it."""
    say = g.words.say
    line = in_line(g)
    first = line[0] if line else None
    number = first.number if first else ""
    return IdleView(
        head=dirty_head(g),
        hand=dirty_hand(g, back=False),
        title=say("intake.scan"),
        notice=g.said(),
        number=number,
        said=_about(g, first) if first else "",
        more=say("intake.more", n=len(line) - 1) if len(line) > 1 else "",
        nothing="" if first else say("intake.nothing"),
        open=Key(label=number, send=Turn(page=Page.INTAKE, subject=number), name="open") if first else None,
    )


def _about(g: Glance, each: OpenReturn) -> str:
    if each.sent is None:
        return g.words.say("intake.details_follow")
    scope = g.words.say("paper.ticket.tray" if each.sent.ticket.whole_tray else "paper.ticket.piece")
    said = _first(_all_said(g, each))
    return f"{scope} · {said}" if said else scope


def said_of(g: Glance, each: OpenReturn) -> str:
    """All that was found, each once."""
    return ", ".join(_all_said(g, each))


def _all_said(g: Glance, each: OpenReturn) -> tuple[str, ...]:
    return tuple(dict.fromkeys(g.desk.findings[f.code].say for f in each.findings))


def _first(said: tuple[str, ...]) -> str:
    """What is read from afar: the first that was found, and how many more. The list and the paper name all."""
    return " +".join((*said[:1], *((str(len(said) - 1),) if len(said) > 1 else ())))


def intake(g: Glance) -> IntakeView | StopView:
    """One return."""
    assert g.turn is not None
    each = find_return(g.bench, g.desk, g.turn.subject)
    if each is None:
        return _gone(g, g.turn.subject)
    return _bare(g, each) if each.sent is None else _full(g, each)


def not_listed(g: Glance) -> StopView:
    """A typed number that no bench has told of: read once more, or taken in all the same."""
    say = g.words.say
    number = g.turn.subject if g.turn else ""
    again = Turn(page=Page.TYPE_NUMBER, subject="ticket")
    return StopView(
        head=dirty_head(g),
        hand=dirty_hand(g),
        title=say("intake.not_listed.title", number=number),
        notice=g.said(),
        sentence=say("intake.not_listed.sentence"),
        lines=g.words.lines("intake.not_listed.lines"),
        main=g.key("intake.not_listed.again", again, kind="main", icon="keys", name="type again"),
        others=(g.key("intake.not_listed.take", ReceiveTicket(ticket=number, by="typed"), name="take it in"),),
    )


def _gone(g: Glance, number: str) -> StopView:
    """The ticket is closed: the piece is back on the clean side."""
    say = g.words.say
    title = say("intake.closed", number=number)
    return StopView(
        head=dirty_head(g), hand=dirty_hand(g), title=title, notice=g.said(), sentence=title, lines=(), main=None
    )


def _keys(g: Glance, each: OpenReturn) -> tuple[Key, ...]:
    if not each.received:
        have = ReceiveTicket(ticket=each.number, by="touch")
        return (
            g.key("intake.have", have, kind="main", icon="tray", name="have"),
            g.key("intake.not_here", NotHere(ticket=each.number), icon="question", name="not here"),
        )
    answers = tuple(
        g.key(
            f"intake.check.{says}" if each.wants_check else f"intake.answer.{says}",
            _answer(each.number, says),
            name=f"answer {says}",
        )
        for says in ANSWERS
    )
    if each.sent is not None:
        return answers
    return (*answers, g.key("intake.wrong_number", NotHere(ticket=each.number), icon="erase", name="wrong number"))


def _answer(number: str, says: str) -> AnswerTicket | Turn:
    """An answer with consequences is said back first."""
    if says in GRAVE:
        return Turn(page=Page.ANSWER, subject=f"{number}:{says}")
    return AnswerTicket(ticket=number, says=says)


def _state(g: Glance, each: OpenReturn) -> str:
    say = g.words.say
    back = each.back
    if back.says:
        return say("intake.state.answered", answer=say(f"intake.said.{back.says}"), time=g.since(back.said_ms or 0))
    if back.received_ms is not None:
        return say("intake.state.received", time=g.since(back.received_ms))
    if back.not_here_ms is not None:
        return say("intake.state.not_here", time=g.since(back.not_here_ms))
    return say("intake.state.sent", time=g.since(each.at_ms)) if each.sent else ""


def _bare(g: Glance, each: OpenReturn) -> IntakeView:
    """Taken in, and nothing known yet: what to do with it stands on the paper."""
    say = g.words.say
    return IntakeView(
        head=dirty_head(g),
        hand=dirty_hand(g),
        title=say("intake.details_follow"),
        notice=g.said(),
        number=each.number,
        ring="unsure",
        word=say("intake.details_word"),
        scope="",
        said="",
        band=None,
        todo=g.words.lines("intake.details_lines"),
        lines=(_state(g, each),),
        photo="",
        photo_sha256="",
        photo_words="",
        next_title=say("intake.next"),
        next=_next(g, each.number),
        keys=_keys(g, each),
        chosen=f"answer {each.back.says}" if each.back.says else "",
    )


def _full(g: Glance, each: OpenReturn) -> IntakeView:
    from kiosk.core.composing import Order
    from kiosk.core.composing.ticket import ticket

    say = g.words.say
    assert each.sent is not None
    trip = each.sent.trip
    others = {name: bench for name, bench in g.desk.others.items() if name != each.station}
    there = replace(g, bench=g.desk.others.get(each.station, g.bench), desk=replace(g.desk, others=others), turn=None)
    paper = ticket(there, Order(trip=trip, doc="return_ticket", number=each.number))
    shown = next((f for f in each.findings if f.photo), None)
    stranger = "" if each.station or each.back.vouched or not each.back.card else say("intake.not_vouched")
    care = [line for line in (paper.effort.capitalize() + "." * bool(paper.effort), paper.together) if line]
    facts = (_state(g, each), paper.how_found, _load(g, trip))
    small = (stranger, " ".join((*care, *paper.warnings)), " · ".join(part for part in facts if part))
    spare = (say("intake.spare", spare=each.sent.spare),) if each.sent.spare else ()
    return IntakeView(
        head=dirty_head(g),
        hand=dirty_hand(g),
        title=paper.tray if each.sent.ticket.whole_tray else ", ".join(paper.pieces),
        help=", ".join(paper.pieces) if each.sent.ticket.whole_tray else paper.tray,
        notice=g.said() or stranger,
        number=each.number,
        ring="unsure" if paper.ring == "unsure" else "found",
        word=paper.not_clear,
        scope=paper.scope,
        said=_first(tuple(dict.fromkeys(paper.said))),
        band=_band(there, each),
        todo=spare or paper.todo,
        lines=tuple(line for line in small if line),
        photo=shown.photo if shown else "",
        photo_sha256=shown.photo_sha256 if shown else "",
        photo_words=say("intake.photo", place=_place(there, each)) if shown else "",
        next_title=say("intake.next"),
        next=_next(g, each.number),
        keys=_keys(g, each),
        chosen=f"answer {each.back.says}" if each.back.says else "",
    )


def _place(g: Glance, each: OpenReturn) -> str:
    from kiosk.core.glance import finding_place

    assert each.sent is not None
    shown = next(f for f in each.findings if f.photo)
    return finding_place(g, each.sent.trip, shown)


def _load(g: Glance, trip: Trip) -> str:
    return g.words.say("intake.load", load=trip.load) if trip.load else ""


def _band(g: Glance, each: OpenReturn) -> Band | None:
    """The tube with its flag, or the words of the place."""
    assert each.sent is not None
    trip = each.sent.trip
    for found in each.findings:
        piece = trip.pieces.get(found.piece)
        if piece is None:  # of the tray itself, where it has no looks of its own
            continue
        band = band_for(g, piece, found.place.lumen, flags=flags_of(g, trip, piece, found.place.lumen))
        if band.lumen is not None:
            return band
    return None


def _next(g: Glance, number: str) -> tuple[Key, ...]:
    rows = []
    for each in [one for one in in_line(g) if one.number != number][:NEXT_ROWS]:
        turn = Turn(page=Page.INTAKE, subject=each.number)
        icon = each.findings[0].code if each.findings else "question"
        rows.append(
            Key(label=f"{each.number}\n{_first(_all_said(g, each))}", send=turn, icon=icon, name=f"open {each.number}")
        )
    return tuple(rows)


def returns(g: Glance) -> ListView:
    """Every open return: not taken in, then waiting for an answer, then answered; the oldest first."""
    say = g.words.say
    rows = [_row(g, each) for each in sorted(open_returns(g.bench, g.desk), key=_group)]
    view = listed(
        g,
        rows,
        page=Page.RETURNS,
        title=say("returns.title", n=len(rows)),
        nothing=say("intake.nothing"),
        hand=dirty_hand(g),
        others=(g.key("intake.handover", Turn(page=Page.HANDOVER), icon="arrow_right", name="handover list"),),
    )
    return replace(view, head=dirty_head(g))


def _group(each: OpenReturn) -> tuple[int, int]:
    return 2 if each.back.says else 1 if each.received else 0, each.at_ms


def _row(g: Glance, each: OpenReturn) -> ListRow:
    from kiosk.core.glance import piece_name

    trip = each.sent.trip if each.sent else None
    names = [piece_name(g, trip.pieces[name]) for name in each.sent.ticket.pieces] if trip and each.sent else []
    whole = each.sent is not None and each.sent.ticket.whole_tray
    what = g.words.say("paper.ticket.tray") if whole else ", ".join(names)
    about = ", ".join(part for part in (what, trip.tray.name if trip else "") if part)
    return ListRow(
        title=f"{each.number}  {about or g.words.say('intake.details_follow')}",
        sub=said_of(g, each),
        value=_state(g, each),
        icon="arrow_right",
        send=Turn(page=Page.INTAKE, subject=each.number),
        name=f"return {each.number}",
    )


def say_back(g: Glance) -> StopView:
    """An answer with consequences: what will happen, and one key for it."""
    assert g.turn is not None
    say = g.words.say
    number, _, says = g.turn.subject.partition(":")
    back = g.key("rail.back", Turn(page=Page.INTAKE, subject=number), icon="arrow_left")
    return StopView(
        head=dirty_head(g),
        hand=hand(g, left=(back,), right=(wipe_key(g),)),
        title=say(f"intake.back.{says}.title", number=number),
        notice=g.said(),
        sentence=say(f"intake.back.{says}.sentence"),
        lines=g.words.lines(f"intake.back.{says}.lines"),
        main=g.key(
            f"intake.back.{says}.main", AnswerTicket(ticket=number, says=says), kind="main", name=f"confirm {says}"
        ),
    )


def type_ticket(g: Glance) -> NumberView:
    """Big keys for a ticket's number, or a spare form's."""
    say = g.words.say
    return NumberView(
        head=dirty_head(g),
        hand=dirty_hand(g, typing=True),
        title=say("number.ticket.title"),
        help=say("number.ticket.help"),
        notice=g.said(),
        purpose="tray",
        prefixes=(say("number.prefix_ticket"), say("number.prefix_form"), say("number.prefix_tray")),
        done=say("number.ticket.done"),
        erase=say("number.erase"),
    )


def dirty(g: Glance) -> ListView:
    """A tray's lumened pieces: which were looked at on this side, and nothing was seen."""
    assert g.turn is not None
    say = g.words.say
    tray = g.desk.catalogue.trays[g.turn.subject]
    used = {number for bench in (g.bench, *g.desk.others.values()) for number in bench.dirty_used}
    checked = {c.piece: c for c in g.bench.dirty_checks if c.tray == tray.code and not c.ticket and c.id not in used}
    pieces = lumened(tray)
    names = {item.id: item.name for item in tray.items}
    left = tuple(name for name in pieces if name not in checked)
    rows = [
        ListRow(
            title=f"{names[name.split('#')[0]]}{' ' + name.split('#')[1] if '#' in name else ''}",
            value=say("dirty.checked", time=g.since(checked[name].at_ms)) if name in checked else say("dirty.open"),
            icon="" if name in checked else "arrow_right",
            send=None if name in checked else CheckDirty(tray=tray.code, pieces=(name,)),
            name=f"dirty {name}",
        )
        for name in pieces
    ]
    all_ = g.key("dirty.all", CheckDirty(tray=tray.code, pieces=left), kind="main", name="dirty all")
    view = listed(
        g,
        rows,
        page=Page.DIRTY,
        subject=tray.code,
        title=say("dirty.title", tray=tray.name),
        help_=say("dirty.help"),
        nothing=say("dirty.none"),
        hand=dirty_hand(g),
        main=all_ if len(left) > 1 else None,
    )
    return replace(view, head=dirty_head(g))
