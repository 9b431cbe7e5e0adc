"""What is shown of decontam's side: its own pages (`intake`), and on the clean side what comes back from it."""

from collections.abc import Callable

from kiosk.core.commands import (
    Confirm,
    NoDirtyCheck,
    Page,
    PrintCopy,
    SeeAbsent,
    SendBackClean,
    Turn,
    WriteByHand,
)
from kiosk.core.glance import Glance, back_hand, hand, head, piece_name, wipe_key, work_hand
from kiosk.core.together.answers import DAMAGED, GRAVE
from kiosk.core.together.returns import OpenReturn, absent, find_return, goes_to_spares, may_come_back
from kiosk.core.viewing import intake
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, NumberView, StopView, View
from kiosk.core.vocabulary import Disposition


def back(g: Glance) -> View:
    """What came back clean: which return, with which load, then what happens with it."""
    assert g.turn is not None
    number, _, load = g.turn.subject.partition(":")
    found = find_return(g.bench, g.desk, number) if number else None
    if found is None or found.sent is None:
        return _which(g, load)
    if found.back.says in GRAVE:
        return _stays_away(g, found)
    return _say_back(g, found, load) if load else _which_load(g, found)


def _names(g: Glance, found: OpenReturn) -> str:
    assert found.sent is not None
    trip = found.sent.trip
    return ", ".join(piece_name(g, trip.pieces[name]) for name in found.sent.ticket.pieces)


def absent_page(g: Glance) -> StopView:
    """Looked for in decontam and not found: which piece of which tray, and what to do; the oldest first."""
    say = g.words.say
    lost = absent(g.bench, g.desk)
    if not lost:
        title = say("absent.none")
        return StopView(head=head(g), hand=back_hand(g), title=title, notice=g.said(), sentence="", lines=(), main=None)
    first = lost[0]
    assert first.sent is not None
    trip = first.sent.trip
    what = trip.tray.name if first.sent.ticket.whole_tray else f"{_names(g, first)}, {trip.tray.name}"
    seen = g.key("absent.seen", SeeAbsent(ticket=first.number), kind="main", name="absence seen")
    return StopView(
        head=head(g),
        hand=back_hand(g, wipe_key(g)),
        title=say("absent.title", number=first.number),
        notice=g.said(),
        sentence=say(
            "absent.sentence", what=what, sent=g.since(first.at_ms), time=g.since(first.back.not_here_ms or 0)
        ),
        lines=g.words.lines("absent.lines"),
        main=seen,
    )


def _which(g: Glance, load: str) -> ListView:
    say = g.words.say
    rows = [
        ListRow(
            title=f"{_names(g, each)}, {each.sent.trip.tray.name}",
            sub=intake.said_of(g, each),
            value=each.number,
            icon="arrow_right",
            send=Turn(page=Page.BACK, subject=f"{each.number}:{load}"),
            name=f"back {each.number}",
        )
        for each in may_come_back(g.bench, g.desk)
        if each.sent is not None
    ]
    return listed(
        g,
        rows,
        page=Page.BACK,
        subject=f":{load}",
        title=say("back.which", load=load) if load else say("back.which_no_load"),
        help_=say("back.which_help"),
        nothing=say("back.nothing"),
    )


def _which_load(g: Glance, found: OpenReturn) -> StopView:
    say = g.words.say
    typed = Turn(page=Page.TYPE_NUMBER, subject=f"back:{found.number}")
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("back.load_title"),
        notice=g.said(),
        sentence=say("back.load_sentence", piece=_names(g, found)),
        lines=(),
        main=None,
        others=(g.key("rail.type", typed, icon="keys"),),
    )


def _stays_away(g: Glance, found: OpenReturn) -> StopView:
    """What will not come off waits for the supervisor; what is damaged goes for repair. Neither goes on with a tray."""
    say, says = g.words.say, found.back.says
    send = SendBackClean(ticket=found.number, load="")
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("back.title", number=found.number),
        notice=g.said(),
        sentence=say(f"back.grave.{says}.sentence", piece=_names(g, found)),
        lines=(answer_line(g, says), *g.words.lines(f"back.grave.{says}.lines")),
        main=g.key("back.grave.to_repair", send, kind="main", name="to repair") if says == DAMAGED else None,
    )


def _say_back(g: Glance, found: OpenReturn, load: str) -> StopView:
    say = g.words.say
    assert found.sent is not None
    sent = found.sent
    spare = goes_to_spares(g.bench, g.desk, found)
    lines = [answer_line(g, found.back.says)] if found.back.says else []
    if spare:
        lines.append(say("back.spare", spare=sent.spare) if sent.spare else say("back.packed"))
    else:
        where = say("back.at_bench", bench=found.station) if found.station else ""
        lines += [say("back.completes", tray=sent.trip.tray.name), where, say("back.again")]
    sentence = "back.to_spares" if spare else "back.sentence"
    main = g.key("back.main", SendBackClean(ticket=found.number, load=load), kind="main", name="back clean")
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("back.title", number=found.number),
        notice=g.said(),
        sentence=say(sentence, piece=_names(g, found), load=load),
        lines=tuple(line for line in lines if line),
        main=main,
    )


def answer_line(g: Glance, says: str) -> str:
    """ "Decontam: found and cleaned." """
    return g.words.say("back.answer", answer=g.words.say(f"intake.said.{says}"))


def dirty_absent(g: Glance) -> StopView:
    """The policy wants a dirty-side check, and there is none on record."""
    say = g.words.say
    piece = g.trip.pieces[g.step.piece]
    return StopView(
        head=head(g),
        hand=work_hand(g),
        title=say("dirty.absent_title"),
        notice=g.said(),
        sentence=say("dirty.absent", piece=piece_name(g, piece)),
        lines=g.words.lines("dirty.absent_lines"),
        main=g.key("dirty.absent_main", NoDirtyCheck(piece=piece.name), kind="main", name="no dirty check"),
    )


def cannot_reach(g: Glance) -> StopView:
    """The piece on the bench can not be checked here to its end: held, or sent to be looked at on the dirty side."""
    say = g.words.say
    piece = g.trip.pieces[g.step.piece]
    held = [entry for entry in piece.plan.lumens if entry.hold]
    because = tuple(dict.fromkeys(why for entry in held for _, why in entry.left_out))
    hold = Confirm(what=Disposition.HOLD, subject=piece.name)
    send = Confirm(what=Disposition.ITEM_BACK, subject=piece.name)
    return StopView(
        head=head(g),
        hand=back_hand(g, wipe_key(g)),
        title=say("cannot_reach.title", piece=piece_name(g, piece)),
        notice=g.said(),
        sentence=say("cannot_reach.sentence", lumen=", ".join(entry.lumen for entry in held)),
        lines=because[:2],
        main=g.key("plan_hold.send", send, kind="main", name="send dirty side"),
        others=(g.key("decision.main.hold", hold, name="hold"),),
    )


def form(g: Glance) -> NumberView:
    """The number of the spare form that the ticket was written on."""
    say = g.words.say
    bare = g.key("form.none", WriteByHand(), name="no form")
    return NumberView(
        head=head(g),
        hand=hand(g, left=(g.key("rail.back", Turn(), icon="arrow_left"),), right=(bare,)),
        title=say("form.title"),
        help=say("form.help"),
        notice=g.said(),
        purpose="other",
        prefixes=(say("number.prefix_form"),),
        most=4,
        done=say("form.done"),
        erase=say("number.erase"),
        send=WriteByHand(),
        field="form",
    )


def papers(g: Glance) -> ListView:
    """Papers of the trays that are here: each may be printed again, marked as a copy."""
    say = g.words.say
    rows = []
    for trip in g.bench.trips.values():
        newest = {(job.doc, job.number): job for job in trip.jobs if job.doc != "package_label" and job.settled}
        for (doc, number), job in newest.items():
            state = say("papers.by_hand", form=job.form or "-") if job.by_hand else say("papers.printed")
            rows.append(
                ListRow(
                    title=f"{say(f'print.doc.{doc}')} {number}",
                    sub=trip.tray.name,
                    value=state,
                    icon="printer",
                    send=PrintCopy(trip=trip.id, doc=doc, number=number),
                    name=f"copy {number}",
                )
            )
    return listed(g, rows[::-1], page=Page.PAPERS, title=say("papers.title"), nothing=say("papers.nothing"))


def _offer_papers(g: Glance) -> Key | None:
    settled = any(job.settled for trip in g.bench.trips.values() for job in trip.jobs)
    return g.key("papers.offer", Turn(page=Page.PAPERS), icon="printer") if settled else None


STEPS: dict[str, Callable[[Glance], View]] = {"intake": intake.idle, "dirty_absent": dirty_absent}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.INTAKE: intake.intake,
    Page.RETURNS: intake.returns,
    Page.ANSWER: intake.say_back,
    Page.NOT_LISTED: intake.not_listed,
    Page.DIRTY: intake.dirty,
    Page.BACK: back,
    Page.ABSENT: absent_page,
    Page.CANNOT_REACH: cannot_reach,
    Page.FORM: form,
    Page.PAPERS: papers,
}
HAPPENED: tuple[Offer, ...] = (_offer_papers,)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = ()
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = ()
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
