"""Scan, load, a scope that is back, a tray that is gone on with; and the key for a tray that is not this one."""

from kiosk.core.agenda import at_desk, next_check
from kiosk.core.commands import (
    Confirm,
    LetGo,
    OpenMixed,
    Page,
    Scanned,
    ScopeBack,
    SendScope,
    SignOut,
    StartAgain,
    StopHere,
    Turn,
)
from kiosk.core.dispositions import waits
from kiosk.core.glance import Glance, back_hand, hand, head, lumens_of, piece_name, whole_words, wipe_key
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.state.piece import TRAY
from kiosk.core.state.trip import Trip
from kiosk.core.together.loads import unreleased
from kiosk.core.together.matching import mixed_elsewhere
from kiosk.core.together.rush import in_order, rush_of
from kiosk.core.viewing.own import settings_key
from kiosk.core.viewing.practice import lessons_key
from kiosk.core.viewing.rows import in_a_line
from kiosk.core.views import AskView, Key, NumberView, Plate, ScanView, StopView

KEPT_ROWS = 3


def scan(g: Glance) -> ScanView:
    """Scan the next tray, or go on with one kept."""
    going = in_order(g.bench, g.desk, [trip for trip in g.bench.trips.values() if not trip.ended])
    again = g.key("startup.again", StartAgain(), name="bench start again")
    left = (settings_key(g) if g.small else again,)  # there the bench is started again from the settings page
    if at_desk(g.bench, g.desk):
        left = (g.key("rail.desk", Turn(page=Page.DESK), icon="lock"),)
    practice = lessons_key(g)
    if practice is not None:
        left = (practice,)
    right = (wipe_key(g), *(() if g.small else (settings_key(g),)))
    return ScanView(
        head=head(g, title=g.bench_name),
        hand=hand(
            g,
            left=(g.key("rail.type", Turn(page=Page.TYPE_NUMBER), icon="keys"), *left),
            right=(*right, g.key("rail.sign_out", SignOut(), icon="arrow_right")),
        ),
        title=g.words.say("scan.title"),
        help=g.words.say("scan.help_rack", load=g.bench.rack) if g.bench.rack else g.words.say("scan.help"),
        notice=g.said(),
        kept_title=g.words.say("scan.kept"),
        kept=_rows(g, (*_mixed_here(g), *(_kept(g, trip) for trip in going))),
        nothing=g.words.say("scan.nothing"),
    )


def _rows(g: Glance, kept: tuple[Key, ...]) -> tuple[Key, ...]:
    """As many as there are rows; where there are more, the last row leads to them, and from the last to the first."""
    if len(kept) <= KEPT_ROWS:
        return kept
    size = KEPT_ROWS - 1
    pages = -(-len(kept) // size)
    page = (g.turn.number if g.turn and g.turn.subject == "kept" else 0) % pages
    after = kept[(page + 1) * size :]
    turn = Turn(subject="kept", number=page + 1 if after else 0)
    label, icon = ("scan.more", "arrow_right") if after else ("scan.first", "arrow_left")
    return (*kept[page * size : (page + 1) * size], g.key(label, turn, icon=icon, name="more kept", left=len(after)))


def _mixed_here(g: Glance) -> tuple[Key, ...]:
    """A packed tray of this bench that another station found mixed: to be fetched, and opened again."""
    found = mixed_elsewhere(g.bench, g.desk)
    if found is None:
        return ()
    trip, station, other = found
    label = g.words.say("mixed.here", tray=f"{trip.tray.name} {trip.tray.code}", other=other, station=station)
    return (Key(label=label, send=OpenMixed(trip=trip.id), icon="warning", name=f"mixed here {trip.tray.code}"),)


def _kept(g: Glance, trip: Trip) -> Key:
    say = g.words.say
    ways = lumens_of(trip)
    done = sum(piece.lumen_done(way.name) for piece, way in ways)
    if trip.holds:
        names = in_a_line(g, waiting_names(g, trip))
        state = say("scan.state.hold", piece=names)
    elif not trip.counted:
        state = say("scan.state.count")
    else:
        state = say("scan.state.open", done=done, all=len(ways))
    mark = rush_of(g.bench, g.desk, trip.tray.code)
    if mark is not None:
        state = f"{say('rush.by', by=mark.by)}, {state}"
    pause = trip.pause
    who = g.name_of(pause.by if pause else trip.opened_by)
    if trip.handed_to and pause is not None and pause.reason == "handed_over":
        who = say("hand_over.row", name=g.name_of(trip.handed_to))
    sub = say("scan.row_sub", code=trip.tray.code, who=who, time=g.since(pause.at_ms if pause else trip.opened_ms))
    label = say("scan.row", name=trip.tray.name, state=state) + "\n" + sub
    send = Scanned(meaning=Meaning(kind=Kind.TRAY, text=trip.tray.code))
    return Key(label=label, send=send, icon="arrow_right", name=f"kept {trip.tray.code}")


def waiting_names(g: Glance, trip: Trip) -> tuple[str, ...]:
    """Names of the pieces and lines that the tray waits for."""
    held = {name for hold in trip.holds for name in hold.waits_for}
    waiting = [name for name in waits(trip) if name in held]
    return tuple(dict.fromkeys(waiting_name(g, trip, name) for name in waiting))


def waiting_name(g: Glance, trip: Trip, name: str) -> str:
    """What a tray waits for, in words: a piece, a count line, or what is said of the whole tray (`@weight`)."""
    if name.startswith("@"):
        return whole_words(g, name)
    return piece_name(g, trip.pieces[name]) if name in trip.pieces else name


def type_number(g: Glance) -> NumberView:
    """Big keys in the scanner's stead."""
    say = g.words.say
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=say("number.tray.title"),
        help=say("number.tray.help"),
        notice=g.said(),
        purpose="tray",
        prefixes=(say("number.prefix_tray"), say("number.prefix_load")),
        done=say("number.tray.done"),
        erase=say("number.erase"),
    )


def load(g: Glance) -> StopView:
    """The load is not released, or nobody knows which it was."""
    trip = g.trip
    say = g.words.say
    open_load = unreleased(g.bench, g.desk, trip) or trip.load
    sentence = say("load.not_released", load=open_load) if open_load else say("load.unknown")
    again = Scanned(meaning=Meaning(kind=Kind.LOAD, text=open_load)) if open_load else Turn(page=Page.TYPE_NUMBER)
    return StopView(
        head=head(g),
        hand=hand(g, left=(g.key("load.leave", StopHere(reason="load"), icon="arrow_left"),), right=(wipe_key(g),)),
        title=say("load.title"),
        notice=g.said(),
        sentence=sentence,
        lines=(*g.words.lines("load.lines"), *((say("loaner.here"),) if trip.tray.loaner else ())),
        main=g.key("load.check", again, kind="main"),
        others=(g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock"),) if open_load else (),
    )


def scope_back(g: Glance) -> AskView:
    """Is the scope that was out of use back from reprocessing?"""
    scope = g.turn.subject if g.turn else ""
    say = g.words.say
    sent = g.bench.scopes[scope].sent_ms if scope in g.bench.scopes else 0
    send = g.key("kit.send_scope", SendScope(scope=scope), icon="printer", name="send scope")
    return AskView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, send, wipe_key(g)),
        title=say("scope_back.title", scope=scope),
        help=say("scope_back.help"),
        steps=(say("kit.sent_at", time=g.since(sent)) if sent else say("kit.not_sent"), say("kit.scan_load")),
        notice=g.said(),
        no=Plate(word=say("check.no"), claim=say("scope_back.no_claim"), note=say("scope_back.no_note"), send=Turn()),
        yes=Plate(
            word=say("check.yes"),
            claim=say("scope_back.yes_claim"),
            note=say("scope_back.yes_note"),
            send=ScopeBack(scope=scope),
        ),
    )


def resume(g: Glance) -> AskView:
    """Was it covered and untouched?"""
    trip = g.bench.trips[g.turn.subject] if g.turn else g.trip
    pause = trip.pause
    assert pause is not None
    say = g.words.say
    minutes = max(0, (g.now.at_ms - pause.at_ms) // 60_000)
    other = pause.by != g.bench.who
    help_ = say("resume.help_other", name=g.name_of(pause.by)) if other else say("resume.help_late", minutes=minutes)
    half = next((p for p in trip.pieces.values() if p.name != TRAY and p.yes and not p.all_yes), None)
    upcoming = next_check(trip)
    here = half or (trip.pieces[upcoming.piece] if upcoming else None)
    return AskView(
        head=head(g, title=trip.tray.name),
        hand=back_hand(g, wipe_key(g)),
        title=say("resume.title"),
        help=help_,
        notice=g.said(),
        steps=g.words.lines("resume.steps", piece=piece_name(g, here) if here else trip.tray.name),
        no=Plate(
            word=say("check.no"),
            claim=say("resume.no_claim"),
            note=say("resume.no_note"),
            send=Confirm(what="opened", subject=trip.id),
        ),
        yes=Plate(
            word=say("check.yes"),
            claim=say("resume.yes_claim"),
            note=say("resume.yes_note"),
            send=Confirm(what="covered", subject=trip.id),
        ),
    )


def not_this(g: Glance) -> Key:
    return g.key("overview.not_this", LetGo(), icon="arrow_left", name="not this tray")
