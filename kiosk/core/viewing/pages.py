"""Pages laid over the work: stop here, what soil looks like, why this check, the supervisor's ruling."""

from kiosk.core.agenda import at_desk
from kiosk.core.commands import Page, RuleLoad, RuleQuarantine, StopHere, Turn
from kiosk.core.dispositions import ruled_piece, ruled_pieces
from kiosk.core.glance import Glance, back_hand, head, piece_name, wipe_key
from kiosk.core.spares import spares_for
from kiosk.core.state.piece import is_missing
from kiosk.core.together.loads import unreleased
from kiosk.core.viewing import references
from kiosk.core.viewing.letters import NOTE_AT_MOST, letters
from kiosk.core.viewing.menus import offered
from kiosk.core.viewing.own import language_keys, settings_key
from kiosk.core.viewing.parts import PARTS
from kiosk.core.viewing.rows import listed
from kiosk.core.views import HelpView, Key, ListRow, ListView, MenuView, NoteView, PictureView, StopView
from kiosk.core.vocabulary import Disposition

ENTRIES_A_PAGE = 4
MENU_KEYS, MENU_KEYS_SMALL = 15, 12
"""Five rows of three keys of 18 mm stand on the large screen, four on the small."""


STOP_PLACES = ("break", "called_away", "end_of_shift", "happened", "overview", "why", "desk")
STOP_PLACES_SMALL = ("break", "called_away", "end_of_shift", "happened", "wipe", "overview", "why", "soil", "desk")
"""Keys of the stop page by their places, three in a row: they stand there whatever step it is reached from."""


def stop(g: Glance) -> MenuView:
    """Stop here; the place is kept. On the small screen, wiping and help are reached from here too."""
    say = g.words.say
    trip = g.bench.trip
    ended = trip is not None and trip.ended
    keys: dict[str, Key] = {}
    for reason in ("end_of_shift",) if ended else ("break", "called_away", "end_of_shift"):
        keys[reason] = g.key(f"stop.{reason}", StopHere(reason=reason), name=f"stop {reason}")
    if g.step.kind == "check":
        keys["why"] = g.key("rail.why", Turn(page=Page.WHY), icon="question")
        if g.small:
            keys["soil"] = g.key("rail.soil", Turn(page=Page.SOIL), icon="camera")
    if offered(g, (offer for part in PARTS for offer in part.HAPPENED)):
        keys["happened"] = g.key("rail.happened", Turn(page=Page.HAPPENED), icon="warning")
    if at_desk(g.bench, g.desk):  # also while the bench is cleaned, or a tray is open: the work stays where it is
        keys["desk"] = g.key("rail.desk", Turn(page=Page.DESK), icon="lock")
    if g.small:
        keys["wipe"] = wipe_key(g)
    if g.step.kind in {"check", "count", "pack", "shelf", "scope"}:
        keys["overview"] = g.key("rail.overview", Turn(page=Page.OVERVIEW), icon="tray")
    order = STOP_PLACES_SMALL if g.small else STOP_PLACES
    shown = [name for name in order if name in keys]
    return MenuView(
        head=head(g),
        hand=back_hand(g, *language_keys(g), settings_key(g)),
        title=say("stop.title"),
        help=say("stop.help"),
        notice=g.said(),
        lines=g.words.lines("stop.lines", minutes=g.desk.policy.pause_restart_minutes),
        keys=tuple(keys[name] for name in shown),
        places=tuple(order.index(name) for name in shown),
        rows=-(-len(order) // 3),
    )


def happened(g: Glance) -> MenuView:
    """Something else happened: what may be told at any moment."""
    say = g.words.say
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("happened.title"),
        help=say("happened.help"),
        notice=g.said(),
        lines=(),
        keys=offered(g, (offer for part in PARTS for offer in part.HAPPENED)),
    )


def desk(g: Glance) -> MenuView:
    """The supervisor's desk. The way back from its further pages leads to the first one."""
    say = g.words.say
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, to=Turn(page=Page.DESK) if g.turn and g.turn.number else None),
        title=say("desk.title"),
        notice=g.said(),
        lines=(),
        keys=_paged(g, offered(g, (offer for part in PARTS for offer in part.DESK)), Page.DESK),
    )


def _paged(g: Glance, keys: tuple[Key, ...], page: Page) -> tuple[Key, ...]:
    """As many keys as the page holds; the last of them leads to the others, and round again."""
    most = MENU_KEYS_SMALL if g.small else MENU_KEYS
    if len(keys) <= most:
        return keys
    size = most - 1
    pages = -(-len(keys) // size)
    at = (g.turn.number if g.turn else 0) % pages
    more = g.key("desk.more", Turn(page=page, number=(at + 1) % pages), icon="arrow_right", name="more of the desk")
    return (*keys[at * size : (at + 1) * size], more)


def _help_pages(
    g: Glance, entries: list[tuple[str, str, str]], title: str, help_: str, page: Page, before: int = 0
) -> HelpView:
    """The page of entries that the turn asks for; so many pages of another kind stand before them."""
    say = g.words.say
    size = ENTRIES_A_PAGE - 1 if g.small else ENTRIES_A_PAGE
    pages = before + max(1, -(-len(entries) // size))
    at = min(g.turn.number if g.turn else 0, pages - 1)
    first = (at - before) * size
    return HelpView(
        head=head(g),
        hand=back_hand(g),
        title=title,
        help=help_,
        entries=tuple(entries[first : first + size]),
        page=at,
        pages=pages,
        page_words=say("page.words", n=at + 1, of=pages),
        previous=g.key("page.previous", Turn(page=page, number=max(0, at - 1)), icon="arrow_left"),
        next=g.key("page.next", Turn(page=page, number=min(pages - 1, at + 1)), icon="arrow_right"),
    )


def soil(g: Glance) -> HelpView | PictureView:
    """What soil looks like, for the open check: our own pictures of this item, its places, then the likely findings."""
    entries: list[tuple[str, str, str]] = []
    planned = g.step.check
    trip = g.bench.trip
    if planned is not None and trip is not None:
        item = trip.pieces[g.step.piece].item
        kind = g.desk.types.get(item.type) if item else None
        if kind:
            entries += [("question", kind.name, kind.look), ("question", kind.name, kind.trap)]
        codes = g.desk.choices[planned.check]
    else:
        codes = g.desk.choices["swab"]
    entries += [(code, g.desk.findings[code].say, g.desk.findings[code].looks) for code in codes]
    own = references.of_item(g, codes)
    helped = _help_pages(g, entries, g.words.say("soil.title"), g.words.say("soil.help"), Page.SOIL, len(own))
    if helped.page >= len(own):
        return helped
    turns = [Turn(page=Page.SOIL, number=n) for n in range(helped.pages)]
    return references.picture(g, own[helped.page], helped.page, turns, back=None)


def why(g: Glance) -> HelpView:
    """Why this check is asked, and why others are not."""
    planned = g.step.check
    trip = g.bench.trip
    entries: list[tuple[str, str, str]] = []
    if planned is not None and trip is not None:
        piece = trip.pieces[g.step.piece]
        entries.append(("question", g.words.say(f"name.{planned.check}"), g.told(planned.because)))
        way = piece.lumen(planned.lumen)
        for check, because in way.left_out if way else ():
            entries.append(("question", g.words.say(f"name.{check}"), g.told(because)))
    return _help_pages(g, entries, g.words.say("why.title"), g.words.say("why.help"), Page.WHY)


def ruling(g: Glance) -> MenuView:
    """The supervisor's ruling on a piece that waits."""
    say = g.words.say
    by = g.turn.subject if g.turn else ""
    at = g.turn.number if g.turn else 0
    piece = ruled_piece(g.bench.trip, at)
    keys: list[Key] = []
    if g.step.kind == "load" and g.trip.load:
        load = unreleased(g.bench, g.desk, g.trip) or g.trip.load
        keys.append(g.key("ruling.load", RuleLoad(by=by, load=load), icon="lock", load=load))
    elif piece is not None:
        if piece.disposition is Disposition.HOLD and not is_missing(piece):
            keys.append(g.key("ruling.quarantine", Turn(page=Page.RULING_NOTE, subject=by, number=at), icon="lock"))
        if g.desk.policy.substitute_rule != "never":
            keys.append(g.key("ruling.substitute", Turn(page=Page.SPARE, subject=by, number=at), icon="arrow_right"))
    keys += offered(g, (offer for part in PARTS for offer in part.RULINGS))
    others = len(ruled_pieces(g.bench.trip)) - 1
    if others > 0 and piece is not None:
        keys.append(g.key("ruling.another", Turn(page=Page.RULING_PIECES, subject=by), name="another piece", n=others))
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("ruling.title", name=g.name_of(by)),
        help=say("ruling.help", piece=piece_name(g, piece)) if piece else "" if keys else say("ruling.nobody"),
        notice=g.said(),
        lines=g.words.lines("ruling.lines"),
        keys=tuple(keys),
    )


def ruling_pieces(g: Glance) -> ListView:
    """Which of the pieces that wait is meant?"""
    trip, by = g.trip, g.turn.subject if g.turn else ""
    rows = []
    for at, piece in enumerate(ruled_pieces(trip)):
        found = next((f for f in reversed(trip.findings) if f.piece == piece.name and not f.put_right), None)
        what = g.desk.findings[found.code].say if found else g.words.say("overview.state.hold")
        turn = Turn(page=Page.RULING, subject=by, number=at)
        rows.append(ListRow(title=piece_name(g, piece), sub=what, icon="arrow_right", send=turn, name=piece.name))
    title = g.words.say("ruling.which")
    return listed(g, rows, page=Page.RULING_PIECES, subject=by, title=title, nothing=g.words.say("ruling.nobody"))


def ruling_note(g: Glance) -> NoteView:
    """The supervisor's own words for the tag."""
    say = g.words.say
    by = g.turn.subject if g.turn else ""
    at = g.turn.number if g.turn else 0
    piece = ruled_piece(g.bench.trip, at)
    name = piece.name if piece else ""
    done = RuleQuarantine(by=by, piece=name, note="")
    return letters(
        g,
        title=say("ruling.note_title"),
        help_=say("ruling.note_help", n=NOTE_AT_MOST),
        by=by,
        piece=name,
        done=g.key("ruling.note_done", done, kind="main", icon="arrow_right"),
    )


def spare(g: Glance) -> StopView:
    """Scan the spare; those on record are named, so that nobody looks for one that there is not."""
    say = g.words.say
    piece = ruled_piece(g.bench.trip, g.turn.number if g.turn else 0)
    known = spares_for(g.bench, g.desk.catalogue, piece.item) if piece and piece.item else ()
    named = [say("ruling.spare_named", code=one.id, name=one.name) for one in known]
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("ruling.spare_title"),
        notice=g.said(),
        sentence=say("ruling.spare_help"),
        lines=tuple(named) or (say("ruling.spare_none"),),
        main=None,
    )
