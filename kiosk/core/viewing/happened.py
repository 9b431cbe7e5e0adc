"""What is shown when a piece fell, broke, or a tray may come from a special-pathogen case."""

from kiosk.core.commands import Call, Confirm, Dropped, Page, ReportOther, RulePathogen, SuspectPathogen, Turn
from kiosk.core.decide.happened import MAY_FALL
from kiosk.core.glance import Glance, asking_hand, back_hand, finding_place, head, piece_name, work_hand
from kiosk.core.state.piece import TRAY
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, NoteView, StepsView, StopView
from kiosk.core.vocabulary import Check, Disposition


def dropped_key(g: Glance) -> Key | None:
    """The key to say that something fell."""
    if g.bench.trip is None or g.step.kind not in MAY_FALL:
        return None
    return g.key("dropped.key", Turn(page=Page.DROPPED), icon="warning", name="dropped")


def dropped(g: Glance) -> ListView:
    """Which piece fell? Lumened pieces first, then the count lines."""
    trip, say = g.trip, g.words.say
    out = {None, Disposition.PACK}
    there = [p for p in trip.pieces.values() if p.item and p.disposition in out and p.name not in trip.replaced]
    rows = [
        ListRow(title=piece_name(g, p), sub=p.mark, icon="arrow_right", send=Dropped(piece=p.name), name=p.name)
        for p in there
    ]
    rows += [
        ListRow(title=line.name, icon="arrow_right", send=Dropped(piece=TRAY, line=line.name), name=line.name)
        for line in trip.tray.lines
        if line.item is None
    ]
    return listed(
        g,
        rows,
        page=Page.DROPPED,
        title=say("dropped.title"),
        help_=say("dropped.help"),
        nothing=say("dropped.nothing"),
    )


def pathogen_key(g: Glance) -> Key | None:
    """The key to say that this tray may come from a special-pathogen case."""
    trip = g.bench.trip
    if trip is None or trip.ended or trip.pathogen_ms is not None:
        return None
    return g.key("pathogen.key", Turn(page=Page.PATHOGEN), icon="warning", name="pathogen")


def pathogen(g: Glance) -> StopView:
    """Said back before it is done: the tray stops here."""
    say = g.words.say
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("pathogen.title"),
        notice=g.said(),
        sentence=say("pathogen.say_back", tray=g.trip.tray.name),
        lines=(),
        main=g.key("pathogen.stop", SuspectPathogen(), kind="main"),
    )


def special(g: Glance) -> StopView:
    """Do not process. Whom to call. Nothing more: the facility's plan says the rest."""
    say = g.words.say
    supervisor = g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock")
    return StopView(
        head=head(g),
        hand=asking_hand(g, ()),
        title=say("pathogen.title"),
        notice=g.said(),
        sentence=say("pathogen.stopped"),
        lines=g.words.lines("pathogen.lines"),
        main=g.key("pathogen.left", Confirm(what="shelf"), kind="main"),
        others=(supervisor,),
    )


def pathogen_ruling(g: Glance) -> Key | None:
    """The supervisor's key, where a tray stopped for it."""
    if g.bench.trip is None or g.trip.pathogen_ms is None or g.turn is None:
        return None
    return g.key("pathogen.ruled", Turn(page=Page.PATHOGEN_NOTE, subject=g.turn.subject), icon="lock", name="ruled")


def pathogen_note(g: Glance) -> NoteView:
    """Who of infection prevention ruled, and how."""
    say = g.words.say
    by = g.turn.subject if g.turn else ""
    return letters(
        g,
        title=say("pathogen.note_title"),
        help_=say("pathogen.note_help"),
        by=by,
        done=g.key("pathogen.note_done", RulePathogen(by=by, note=""), kind="main", icon="arrow_right"),
    )


def broken(g: Glance) -> StepsView:
    """A piece broke off: it may be in a patient. Search, tell the OR, the next name where nobody answers."""
    say = g.words.say
    task = g.step.task
    assert task is not None
    found = g.trip.finding(task.n)
    named = piece_name(g, g.trip.pieces[found.piece])
    names = g.desk.policy.call_list
    name = names[g.trip.calls % len(names)] if names else ""
    others = (g.key("broken.next", Call(answered=False), name="no answer"),) if len(names) > 1 else ()
    return StepsView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("broken.title"),
        help=", ".join(part for part in (named, finding_place(g, g.trip, found)) if part),
        notice=g.said(),
        steps=(*g.words.lines("broken.steps"), say("broken.call", name=name) if name else say("broken.no_list")),
        now=len(g.words.lines("broken.steps")) if g.trip.calls else 0,
        main=g.key("broken.told" if name else "broken.told_lead", Call(answered=True), kind="main", icon="arrow_right"),
        others=others,
    )


def other_key(g: Glance) -> Key | None:
    """The key to say that something was seen on a piece without a lumen, after they were looked at."""
    trip = g.bench.trip
    if trip is None or g.step.kind not in MAY_FALL or not trip.pieces[TRAY].yes.get(str(Check.OTHERS)):
        return None
    return g.key("other.key", ReportOther(), icon="question", name="other piece")
