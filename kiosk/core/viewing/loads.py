"""Washer loads on the screen: found bad later, packages to fetch, a rack not released, too many soiled pieces."""

from kiosk.core.commands import Confirm, Page, StopHere, Turn, WithdrawLoad
from kiosk.core.decide.loads import REASONS
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key
from kiosk.core.state.packs import Pack
from kiosk.core.state.trip import every_load_of
from kiosk.core.together.loads import found_bad, is_released, packages_of, soiled_in_shift, word_of
from kiosk.core.together.stations import every_bench
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, MenuView, StopView

RECENT = 40
"""Loads that a supervisor chooses from, newest first."""


def found_bad_stop(g: Glance) -> StopView:
    """The open tray's load was found bad: nothing of it goes on."""
    say, trip = g.words.say, g.trip
    load = found_bad(g.bench, g.desk, every_load_of(trip))
    word = word_of(g.bench, g.desk, load)
    assert word is not None
    said = say("load_bad.said", time=g.since(word.at_ms), name=g.name_of(word.by), why=say(f"load_bad.why.{word.why}"))
    leave = g.key("load.leave", StopHere(reason="hold_shelf"), icon="arrow_left")
    return StopView(
        head=head(g),
        hand=hand(g, left=(leave,), right=(wipe_key(g),)),
        title=say("load_bad.title"),
        notice=g.said(),
        sentence=say("load_bad.sentence", load=load),
        lines=(said, *g.words.lines("load_bad.lines")),
        main=g.key("load_bad.back", Confirm(what="tray_back"), kind="main", icon="arrow_left", name="tray back"),
    )


def which(g: Glance) -> ListView:
    """Which load was found bad?"""
    say = g.words.say
    known = dict.fromkeys(g.desk.catalogue.loads)
    known |= dict.fromkeys(load for one in g.bench.packs.values() for load in one.loads)
    rows = []
    for load in list(reversed(known))[:RECENT]:
        word = word_of(g.bench, g.desk, load)
        bad = word is not None and not word.released
        state = "bad" if bad else "released" if is_released(g.bench, g.desk, load) else "open"
        packed = len(packages_of(g.bench, g.desk, load))
        page = Page.FETCH if bad else Page.LOAD_BAD
        rows.append(
            ListRow(
                title=load,
                sub=say("load_bad.row", n=packed),
                value=say(f"load_bad.state.{state}"),
                icon="arrow_right",
                send=Turn(page=page, subject=load),
                name=f"load {load}",
            )
        )
    title, help_ = say("load_bad.which"), say("load_bad.which_help")
    return listed(g, rows, page=Page.LOADS, title=title, help_=help_, nothing=say("load_bad.none"))


def why(g: Glance) -> MenuView:
    """Why was it found bad? The key withdraws it."""
    say, load = g.words.say, g.turn.subject if g.turn else ""
    keys = tuple(
        Key(label=say(f"load_bad.key.{reason}"), send=WithdrawLoad(load=load, why=reason), name=f"why {reason}")
        for reason in REASONS
    )
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g),
        title=say("load_bad.why_title", load=load),
        help=say("load_bad.row", n=len(packages_of(g.bench, g.desk, load))),
        notice=g.said(),
        lines=g.words.lines("load_bad.why_lines"),
        keys=keys,
    )


def fetch(g: Glance) -> ListView:
    """The packages of a load found bad: fetched, they are scanned and opened."""
    say, load = g.words.say, g.turn.subject if g.turn else ""
    rows = [_row(g, number, pack) for number, pack in packages_of(g.bench, g.desk, load)]
    return listed(
        g,
        rows,
        page=Page.FETCH,
        subject=load,
        title=say("load_bad.fetch", load=load),
        help_=say("load_bad.fetch_help"),
        nothing=say("load_bad.nothing"),
    )


def _fetched(g: Glance) -> frozenset[str]:
    """The packages that are here already."""
    return frozenset(number for one in every_bench(g.bench, g.desk) for number in one.fetched)


def _row(g: Glance, number: str, pack: Pack) -> ListRow:
    say = g.words.say
    return ListRow(
        title=f"{pack.name} · {pack.tray}",
        sub=say("load_bad.package", number=number, time=g.since(pack.at_ms)),
        value=say("load_bad.here" if number in _fetched(g) else "load_bad.void"),
        icon="tray",
        name=f"fetch {number}",
    )


def rack(g: Glance) -> StopView:
    """The rack that was scanned is not released: its trays stay on it."""
    say, load = g.words.say, g.turn.subject if g.turn else ""
    bad = found_bad(g.bench, g.desk, (load,))
    return StopView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, wipe_key(g)),
        title=say("rack.title"),
        notice=g.said(),
        sentence=say("load_bad.sentence" if bad else "load.not_released", load=load),
        lines=g.words.lines("rack.lines"),
        main=None,
    )


def alert(g: Glance) -> StopView:
    """So many soiled pieces of one load: told once at each bench that has a tray of it."""
    say, load = g.words.say, g.turn.subject if g.turn else ""
    n = soiled_in_shift(g.bench, g.desk, load, g.now.at_ms, g.now.offset_min, g.desk.policy)
    others = [
        t.tray.name for t in g.bench.trips.values() if not t.ended and load in every_load_of(t) and t != g.bench.trip
    ]
    also = (say("load_alert.also", trays=", ".join(others)),) if others else ()
    return StopView(
        head=head(g),
        hand=hand(g, right=(wipe_key(g),)),
        title=say("load_alert.title", load=load),
        notice=g.said(),
        sentence=say("load_alert.sentence", n=n, load=load),
        lines=(*g.words.lines("load_alert.lines"), *also),
        main=g.key("load_alert.seen", Turn(), kind="main", icon="arrow_right", name="alert seen"),
    )


def desk_key(g: Glance) -> Key:
    """The desk's key: a load was found bad."""
    return g.key("load_bad.desk", Turn(page=Page.LOADS), icon="warning", name="load found bad")
