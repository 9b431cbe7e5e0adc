"""The overview of a tray: each piece with its lumens and how it stands, a page of rows at a time."""

from kiosk.core.agenda import count_due, next_check, untouched
from kiosk.core.commands import OpenPiece, Page, Turn
from kiosk.core.dispositions import OUT
from kiosk.core.glance import (
    BY_LIST,
    Glance,
    finding_place,
    flags_of,
    hand,
    head,
    lumens_of,
    piece_name,
    ring_of,
    way_name,
    wipe_key,
)
from kiosk.core.state.piece import TRAY, Piece
from kiosk.core.state.trip import Trip
from kiosk.core.viewing import was_back
from kiosk.core.viewing.handing import rush_facts
from kiosk.core.viewing.loaner import facts as loaner_facts
from kiosk.core.viewing.opening import not_this
from kiosk.core.views import OverviewLumen, OverviewRow, OverviewView, Ring
from kiosk.core.vocabulary import Disposition

OVERVIEW_ROWS = 6


OVERVIEW_ROWS_SMALL = 4


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
