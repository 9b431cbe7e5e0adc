"""Vendors' sets: instructions not on file, what is known of the set, going home."""

from kiosk.core.commands import Page, ReturnLoaner, RuleIfu, StopHere, Turn
from kiosk.core.glance import Glance, hand, head, wipe_key
from kiosk.core.state.trip import Trip
from kiosk.core.views import Key, StopView


def set_words(trip: Trip) -> str:
    """ "2 of 6", or "" where the set is alone."""
    loaner = trip.tray.loaner
    return f"{loaner.part} of {loaner.of}" if loaner and loaner.of else ""


def no_ifu(g: Glance) -> StopView:
    """No instructions on file: nothing is guessed, the set waits."""
    say = g.words.say
    return StopView(
        head=head(g),
        hand=hand(
            g, left=(g.key("load.leave", StopHere(reason="hold_shelf"), icon="arrow_left"),), right=(wipe_key(g),)
        ),
        title=say("no_ifu.title"),
        notice=g.said(),
        sentence=say("no_ifu.sentence"),
        lines=g.words.lines("no_ifu.lines"),
        main=g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock", kind="main"),
    )


def facts(g: Glance, trip: Trip) -> tuple[str, ...]:
    """What is known of a vendor's set, for the overview."""
    loaner = trip.tray.loaner
    if loaner is None:
        return ()
    say = g.words.say
    out = [say("loaner.fact", set=set_words(trip), vendor=loaner.vendor).rstrip(", ")]
    if loaner.received:
        out.append(say("loaner.fact_received", when=loaner.received, who=loaner.received_by or "-"))
    return tuple(out)


def rule_ifu(g: Glance) -> Key | None:
    """The supervisor has the instructions on file now."""
    if g.turn is None or g.step.kind != "no_ifu":
        return None
    return g.key("no_ifu.rule", RuleIfu(by=g.turn.subject), icon="lock", name="ifu on file")


def home(g: Glance) -> Key | None:
    """The set goes home, once it is counted."""
    trip = g.bench.trip
    ready = trip is not None and trip.tray.loaner is not None and g.step.kind in {"check", "pack", "unit"}
    return g.key("loaner.home", ReturnLoaner(), icon="arrow_right", name="goes home") if ready else None
