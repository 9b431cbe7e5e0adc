"""The scale: what it reads, in which unit, and what follows when the set is too heavy."""

from decimal import Decimal

from kiosk.core.commands import Page, RuleSplit, StopHere, Turn, Weigh
from kiosk.core.decide.weighing import MOST_PARTS
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key, work_hand
from kiosk.core.state.trip import Trip
from kiosk.core.viewing.menus import Offer
from kiosk.core.views import Key, MenuView, NumberView, StopView
from kiosk.core.weight import OTHER_UNIT, in_both, limit_words, part_due, reading_of


def weight_words(g: Glance, trip: Trip) -> str:
    """The weight in both units, or the parts' weights of a split set."""
    if not trip.parts:
        return in_both(*trip.weight) if trip.weight else ""
    return " · ".join(" ".join(reading) for reading in trip.part_weights)


def weigh_key(g: Glance, trip: Trip) -> Key:
    """The key to the scale's page."""
    turn = Turn(page=Page.TYPE_NUMBER, subject="weight")
    if not trip.parts:
        return g.key("pack.weigh", turn, icon="keys")
    return g.key("weight.weigh_part", turn, icon="keys", name="pack.weigh", n=part_due(trip), of=trip.parts)


def weight(g: Glance) -> NumberView:
    """What the scale reads, in the unit it shows."""
    say, part = g.words.say, part_due(g.trip)
    title = say("weight.part_title", n=part, of=g.trip.parts) if part else say("number.weight.title")
    return NumberView(
        head=head(g),
        hand=back_hand(g),
        title=title,
        help=say("number.weight.help"),
        notice=g.said(),
        purpose="weight",
        send=Weigh(value="", unit="", part=part),
        units=("kg", "lb"),
        decimals=True,
        most=5,
        done=say("number.weight.done"),
        erase=say("number.erase"),
    )


def unit(g: Glance) -> MenuView:
    """It reads over the limit: kilograms or pounds? Nothing stops before the unit is sure."""
    say, part = g.words.say, part_due(g.trip)
    reading = reading_of(g.trip, part)
    assert reading is not None
    value, typed = reading
    keys = [_unit_key(g, value, each, part) for each in (typed, OTHER_UNIT[typed])]
    keys.append(g.key("weight.type_again", Turn(page=Page.TYPE_NUMBER, subject="weight"), icon="keys"))
    return MenuView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=say("weight.unit_title", value=value),
        help=say("weight.unit_help", limit=limit_words(g.trip, g.desk.policy)),
        notice=g.said(),
        lines=g.words.lines("weight.unit_lines"),
        keys=tuple(keys),
    )


def _unit_key(g: Glance, value: str, unit: str, part: int) -> Key:
    send = Weigh(value=value, unit=unit, part=part)
    both = in_both(f"{Decimal(value)}", unit)
    return g.key(f"weight.unit.{unit}", send, name=f"unit {unit}", both=both)


def too_heavy(g: Glance) -> StopView:
    """The set is over its limit: a supervisor splits it, or it is weighed again."""
    say, trip = g.words.say, g.trip
    reading = reading_of(trip, part_due(trip))
    assert reading is not None
    names = {"weight": in_both(*reading), "limit": limit_words(trip, g.desk.policy)}
    part = say("weight.part_heavy", n=part_due(trip), **names) if trip.parts else say("weight.heavy", **names)
    again = g.key("weight.again", Turn(page=Page.TYPE_NUMBER, subject="weight"), icon="keys")
    return StopView(
        head=head(g),
        hand=hand(
            g, left=(g.key("load.leave", StopHere(reason="hold_shelf"), icon="arrow_left"),), right=(wipe_key(g),)
        ),
        title=say("weight.heavy_title"),
        notice=g.said(),
        sentence=part,
        lines=g.words.lines("weight.heavy_lines"),
        main=g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock", kind="main"),
        others=(again,),
    )


def split(n: int) -> Offer:
    """The ruling that splits the set in `n` parts."""

    def offer(g: Glance) -> Key | None:
        trip = g.bench.trip
        if g.turn is None or g.step.kind != "too_heavy" or trip is None or not trip.parts < n <= MOST_PARTS:
            return None
        return g.key("weight.split", RuleSplit(by=g.turn.subject, parts=n), icon="lock", name=f"split {n}", n=n)

    return offer
