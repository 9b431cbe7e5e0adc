"""A tray that changes hands: to whom, where it is open, the same label twice; and by when a tray is wanted."""

from kiosk.core.commands import (
    HandOver,
    MarkRush,
    Page,
    RuleRetagged,
    SameLabel,
    TakeOver,
    TellNotBefore,
    Turn,
)
from kiosk.core.glance import Glance, back_hand, head, lumens_of, wipe_key
from kiosk.core.together.rush import rush_of
from kiosk.core.together.stations import every_bench
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Key, ListRow, ListView, NumberView, StopView
from kiosk.core.vocabulary import Role


def hand_over_key(g: Glance) -> Key | None:
    """Hand the open tray to somebody else."""
    trip = g.bench.trip
    if trip is None or trip.ended:
        return None
    return g.key("hand_over.key", Turn(page=Page.HAND_OVER), icon="arrow_right", name="hand over")


def hand_over(g: Glance) -> ListView:
    """Who takes the tray?"""
    say = g.words.say
    people = [p for p in g.desk.catalogue.people.values() if p.role is not Role.DECONTAM and p.id != g.bench.who]
    rows = [ListRow(title=p.name, icon="arrow_right", send=HandOver(to=p.id), name=p.id) for p in people]
    title, help_ = say("hand_over.title"), say("hand_over.help")
    return listed(g, rows, page=Page.HAND_OVER, title=title, help_=help_, nothing=say("hand_over.nobody"))


def elsewhere(g: Glance) -> StopView:
    """The tray that was scanned is open at another station: where, how far; take it over, or two carry its label."""
    say, code = g.words.say, g.turn.subject if g.turn else ""
    station, trip = next(
        (name, trip)
        for name, other in g.desk.others.items()
        for trip in other.trips.values()
        if trip.tray.code == code and not trip.ended
    )
    ways = lumens_of(trip)
    done = sum(piece.lumen_done(way.name) for piece, way in ways)
    return StopView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, wipe_key(g)),
        title=say("elsewhere.title", name=trip.tray.name),
        notice=g.said(),
        sentence=say("elsewhere.sentence", station=station, time=g.since(trip.opened_ms), done=done, all=len(ways)),
        lines=g.words.lines("elsewhere.lines"),
        main=g.key("elsewhere.take", TakeOver(tray=code), kind="main", icon="arrow_right", name="take over"),
        others=(g.key("elsewhere.same", SameLabel(tray=code), icon="warning", name="same label"),),
    )


def retagged_here_key(g: Glance) -> Key | None:
    """The supervisor's ruling: the tray on this bench is the one with the new tag."""
    key = retagged_key(g)
    if key is None or g.bench.trip is None:
        return None
    send = RuleRetagged(by=g.turn.subject if g.turn else "", tray=g.bench.trip.tray.code, here=True)
    return g.key("elsewhere.retagged_here", send, icon="lock", name="tagged here")


def retagged_key(g: Glance) -> Key | None:
    """The supervisor's ruling: of two trays with the same label the other one has a tag of its own."""
    trip = g.bench.trip
    if g.turn is None or trip is None or not any("@label" in hold.waits_for for hold in trip.holds):
        return None
    send = RuleRetagged(by=g.turn.subject, tray=trip.tray.code)
    return g.key("elsewhere.retagged", send, icon="lock", name="tagged anew")


def rush_key(g: Glance) -> Key | None:
    """The desk's key: a tray is wanted by a time."""
    if g.desk.policy.rush_rule != "order_only":
        return None
    return g.key("rush.desk", Turn(page=Page.RUSH), icon="arrow_right", name="wanted by")


def rush_list(g: Glance) -> ListView:
    """Which tray is wanted by a time? Open ones first; a marked one may get its word for the phone."""
    say = g.words.say
    open_ = [t.tray.code for one in every_bench(g.bench, g.desk) for t in one.trips.values() if not t.ended]
    rows = []
    for code in dict.fromkeys([*open_, *g.desk.catalogue.trays]):
        tray, mark = g.desk.catalogue.trays.get(code), rush_of(g.bench, g.desk, code)
        if tray is None:
            continue
        subject = f"phone:{code}" if mark else f"rush:{code}"
        value = say("rush.by", by=mark.by) if mark else ""
        sub = say("rush.phone_row", at=mark.not_before) if mark and mark.not_before else code
        send = Turn(page=Page.TYPE_NUMBER, subject=subject)
        rows.append(ListRow(title=tray.name, sub=sub, value=value, icon="arrow_right", send=send, name=f"rush {code}"))
    title, help_ = say("rush.title"), say("rush.help")
    return listed(g, rows, page=Page.RUSH, title=title, help_=help_, nothing=say("rush.nothing"))


def clock_number(g: Glance) -> NumberView:
    """A clock time in four figures. The turn's subject: `rush:tray`, or `phone:tray`."""
    assert g.turn is not None
    say = g.words.say
    what, _, tray = g.turn.subject.partition(":")
    send = MarkRush(tray=tray, at=0) if what == "rush" else TellNotBefore(tray=tray, at=0)
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=say(f"rush.{what}_title", tray=tray),
        help=say("rush.figures"),
        notice=g.said(),
        purpose="other",
        send=send,
        field="at",
        most=4,
        done=say("number.weight.done"),
        erase=say("number.erase"),
    )


def rush_facts(g: Glance, tray: str) -> tuple[str, ...]:
    """What is said of a tray that is wanted by a time, and of the phone."""
    mark = rush_of(g.bench, g.desk, tray)
    if mark is None:
        return ()
    say = g.words.say
    return (say("rush.by", by=mark.by), *((say("rush.phone", at=mark.not_before),) if mark.not_before else ()))
