"""Scan, load, count, resume, overview."""

from kiosk.core.agenda import at_desk, count_due, next_check, untouched
from kiosk.core.commands import (
    Confirm,
    LetGo,
    OpenMixed,
    OpenPiece,
    Page,
    Scanned,
    ScopeBack,
    SendScope,
    SignOut,
    StartAgain,
    StopHere,
    Turn,
)
from kiosk.core.dispositions import OUT, waits
from kiosk.core.glance import (
    BY_LIST,
    Glance,
    back_hand,
    finding_place,
    flags_of,
    hand,
    head,
    lumens_of,
    piece_name,
    ring_of,
    way_name,
    whole_words,
    wipe_key,
)
from kiosk.core.meaning import Kind, Meaning
from kiosk.core.state.piece import TRAY, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.together.loads import unreleased
from kiosk.core.together.matching import mixed_elsewhere
from kiosk.core.together.rush import in_order, rush_of
from kiosk.core.viewing import was_back
from kiosk.core.viewing.handing import rush_facts
from kiosk.core.viewing.loaner import facts as loaner_facts
from kiosk.core.viewing.own import settings_key
from kiosk.core.viewing.practice import lessons_key
from kiosk.core.viewing.rows import in_a_line
from kiosk.core.views import (
    AskView,
    Key,
    NumberView,
    OverviewLumen,
    OverviewRow,
    OverviewView,
    Plate,
    Ring,
    ScanView,
    StopView,
)
from kiosk.core.vocabulary import Disposition

KEPT_ROWS = 3
OVERVIEW_ROWS = 6
OVERVIEW_ROWS_SMALL = 4


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


def overview(g: Glance) -> OverviewView:
    """The tray at one common scale."""
    trip, say = g.trip, g.words.say
    pieces = [p for p in trip.pieces.values() if p.name != TRAY]
    size = OVERVIEW_ROWS_SMALL if g.small else OVERVIEW_ROWS
    pages = max(1, -(-len(pieces) // size))
    counting = count_due(trip)
    upcoming = None if counting else next_check(trip)
    at = next((i for i, p in enumerate(pieces) if upcoming and p.name == upcoming.piece), 0)
    page = g.turn.number - 1 if g.turn and g.turn.number else at // size
    rows = tuple(
        _piece_row(g, trip, piece, page * size + i + 1, bool(upcoming and upcoming.piece == piece.name))
        for i, piece in enumerate(pieces[page * size : (page + 1) * size])
    )
    longest = max((way.length_mm for _, way in lumens_of(trip) if way.length_mm), default=100)
    if counting:
        go = g.key("overview.go_count", Turn(), icon="arrow_right", kind="main")
    elif upcoming and upcoming.piece in trip.pieces:
        name = piece_name(g, trip.pieces[upcoming.piece])
        go = (
            g.key("overview.go_check", Turn(), icon="arrow_right", kind="main", name=name)
            if len(name) < 20
            else (g.key("overview.go", Turn(), icon="arrow_right", kind="main"))
        )
    else:
        go = g.key("overview.go", Turn(), icon="arrow_right", kind="main")
    leave = g.key("overview.leave", Turn(page=Page.STOP), icon="arrow_left")
    if untouched(trip):
        leave = not_this(g)
    return OverviewView(
        head=head(g),
        hand=hand(g, left=(leave,), right=(go,) if g.small else (wipe_key(g), go)),
        title=_overview_title(g, trip),
        facts=(*rush_facts(g, trip.tray.code), *loaner_facts(g, trip), *was_back.overview(g, trip)),
        notice=g.said(),
        warning=_warning(g, trip),
        rows=rows,
        page=page,
        pages=pages,
        page_words=say("page.words", n=page + 1, of=pages),
        longest_mm=int(longest),
        previous=g.key("page.previous", Turn(page=Page.OVERVIEW, number=max(1, page)), icon="arrow_left"),
        next=g.key("page.next", Turn(page=Page.OVERVIEW, number=min(pages, page + 2)), icon="arrow_right"),
    )


def not_this(g: Glance) -> Key:
    return g.key("overview.not_this", LetGo(), icon="arrow_left", name="not this tray")


def _overview_title(g: Glance, trip: Trip) -> str:
    say = g.words.say
    ways = lumens_of(trip)
    if untouched(trip):
        return say("overview.title_start", name=trip.tray.name)
    if not ways:
        return say("overview.title_none")
    rings = [ring_of(trip, piece, way.name, g.step) for piece, way in ways]
    done = sum(ring in {"clear", "found", "unsure"} for ring in rings)
    bad = sum(ring in {"found", "unsure"} for ring in rings)
    title = say("overview.title", done=done, all=len(ways))
    if bad:
        title += " " + (say("overview.not_clear_one") if bad == 1 else say("overview.not_clear_many", n=bad))
    return title


def _warning(g: Glance, trip: Trip) -> str:
    out = any(p.disposition in OUT and p.name not in trip.replaced for p in trip.pieces.values())
    return g.words.say("overview.can_not") if out or trip.differences else ""


def _piece_row(g: Glance, trip: Trip, piece: Piece, number: int, is_next: bool) -> OverviewRow:
    say = g.words.say
    ways = piece.item.lumens if piece.item else ()
    lumens = tuple(_lumen_row(g, trip, piece, way.name) for way in ways)
    gone = piece.name in trip.replaced
    out = piece.disposition in OUT
    state, ring = _piece_state(g, piece, lumens, is_next, gone)
    sub = say("rail.lumen_one") if len(ways) == 1 else say("rail.lumen_many", n=len(ways))
    name = piece_name(g, piece)
    send = None if gone or out else OpenPiece(piece=piece.name)
    return OverviewRow(
        number=number, name=name, sub=sub, lumens=lumens, state=state, ring=ring, next=is_next, send=send
    )


def _piece_state(
    g: Glance, piece: Piece, lumens: tuple[OverviewLumen, ...], is_next: bool, gone: bool
) -> tuple[str, Ring]:
    say = g.words.say
    if gone:
        return say("overview.state.replaced"), "found"
    if piece.disposition in {Disposition.HOLD, Disposition.SECOND_LOOK}:
        return say("overview.state.hold"), "unsure"
    if piece.disposition is Disposition.QUARANTINE:
        return say("overview.state.quarantine"), "found" if any(one.ring == "found" for one in lumens) else "unsure"
    if piece.disposition in OUT:
        return say("overview.state.gone"), "found"
    if is_next:
        return say("overview.state.now"), "now"
    if piece.all_yes:
        return say("overview.state.clear"), "clear"
    worst = next((lumen for lumen in lumens if lumen.ring in {"found", "unsure"}), None)
    return (worst.state, worst.ring) if worst else (say("overview.state.todo"), "todo")


def _lumen_row(g: Glance, trip: Trip, piece: Piece, name: str) -> OverviewLumen:
    say = g.words.say
    lumen = next(way for way in piece.item.lumens if way.name == name) if piece.item else None
    assert lumen is not None
    ring = ring_of(trip, piece, name, g.step)
    found = next((f for f in trip.findings if f.piece == piece.name and not f.put_right and ring != "clear"), None)
    detail = say(f"overview.by_rule.{found.code}") if found is not None and found.code in BY_LIST else ""
    if found is not None and ring in {"found", "unsure"}:
        where = finding_place(g, trip, found)
        detail = f"{g.desk.findings[found.code].say}, {where}" if where else g.desk.findings[found.code].say
    elif ring == "clear" and f"{piece.name}.{name}" in trip.not_seen:
        detail = say("overview.not_seen")
    return OverviewLumen(
        lumen=lumen,
        name=way_name(g, piece, name) if piece.item and len(piece.item.lumens) > 1 else "",
        ring=ring,
        state=say(f"overview.state.{ring}"),
        detail=detail,
        flags=flags_of(g, trip, piece, name),
    )
