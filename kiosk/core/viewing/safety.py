"""What is shown of people hurt, and of everything stopped."""

from collections.abc import Callable

from kiosk.core.commands import (
    ClearExposure,
    FirstAidDone,
    MarkHit,
    Page,
    RuleExposed,
    SignOut,
    StepDone,
    StopAll,
    TornGlove,
    Turn,
)
from kiosk.core.folds.safety import open_trips
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key, work_hand
from kiosk.core.state.trip import Trip
from kiosk.core.viewing import exposure_notes
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import FirstAidView, Key, ListRow, ListView, MenuView, StepsView, View
from kiosk.core.vocabulary import Role


def first_aid(g: Glance) -> FirstAidView:
    """First aid at once: the facility's own page, or the general steps and that nobody filled it in."""
    own = g.desk.first_aid
    say = g.words.say
    then = [say("aid.then", name=one.name, phone=one.phone) for one in own.then] if own else []
    return FirstAidView(
        head=head(g, title=g.bench_name),
        hand=hand(g),
        title=say("first_aid.title"),
        steps=own.steps if own and own.steps else g.words.lines("first_aid.steps"),
        since_ms=g.bench.first_aid_ms or g.now.at_ms,
        minutes_words=say("first_aid.minutes"),
        unset="" if own else say("first_aid.unset"),
        call=say("aid.call", name=own.call.name) if own else "",
        phone=own.call.phone if own else "",
        then=tuple(then),
        main=g.key("first_aid.done", FirstAidDone(), kind="main"),
        mistake=g.key("first_aid.mistake", FirstAidDone(mistake=True), name="touched by mistake"),
    )


def exposed(g: Glance) -> ListView:
    """Somebody is being helped: which of the open trays were hit?"""
    say = g.words.say
    trips = open_trips(g.bench)
    hit = sum(bool(trip.hit) for trip in trips)
    sharps = g.key("aid.sharps", ClearExposure(kind="sharps"), name="sharp injury")
    nothing = g.key("aid.nothing", ClearExposure(kind="none"), name="nothing was hit")
    beside = ", ".join(
        f"{trip.tray.name} ({name})" for name, bench in g.desk.others.items() for trip in open_trips(bench)
    )
    main = "aid.back_one" if hit == 1 else "aid.back" if hit else "aid.bench_only"
    return listed(
        g,
        [_open_row(g, trip) for trip in trips],
        page=None,
        subject="exposed",
        title=say("aid.which"),
        help_=say("aid.beside", trays=beside) if beside else say("aid.which_help"),
        nothing="",
        hand=hand(g, left=(g.key("rail.sign_out", SignOut(), icon="arrow_left"),), right=(wipe_key(g),)),
        main=g.key(main, ClearExposure(kind="splash"), kind="main", name="splash", n=hit),
        others=(sharps, nothing) if hit else (nothing,),
    )


def _open_row(g: Glance, trip: Trip) -> ListRow:
    say = g.words.say
    lies = "on" if trip.id == g.bench.current else "shelf" if not trip.hit and trip.pause else "beside"
    return ListRow(
        title=f"{trip.tray.name} · {trip.tray.code}",
        sub=say(f"aid.lies.{lies}"),
        value=say("aid.hit") if trip.hit else say("aid.covered"),
        icon="water" if trip.hit else "tray",
        send=MarkHit(trip=trip.id, hit=not trip.hit),
        name=f"hit {trip.tray.code}",
    )


def sharp(g: Glance) -> StepsView:
    """The sharp first, then the bench."""
    return StepsView(
        head=head(g),
        hand=work_hand(g, change=False),
        title=g.words.say("aid.sharp_title"),
        notice=g.said(),
        steps=g.words.lines("aid.sharp_steps"),
        now=0,
        worn=("gloves",),
        main=g.key("aid.sharp_done", StepDone(step="sharp"), kind="main", icon="arrow_right"),
    )


def exposed_trays(g: Glance) -> ListView:
    """Every tray over which everything was stopped, for the supervisor."""
    by = g.turn.subject if g.turn else ""
    rows = [
        ListRow(
            title=f"{trip.tray.name} · {trip.tray.code}",
            sub=g.words.say("aid.exposed_since", time=g.since(trip.pause.at_ms if trip.pause else trip.opened_ms)),
            icon="arrow_right",
            send=Turn(page=Page.EXPOSED, subject=f"{trip.id}:{by}"),
            name=f"exposed {trip.tray.code}",
        )
        for trip in _exposed(g)
    ]
    say = g.words.say
    return listed(
        g,
        rows,
        page=Page.EXPOSED_TRAYS,
        subject=by,
        title=say("aid.exposed_title"),
        nothing=say("aid.exposed_nothing"),
    )


def _exposed(g: Glance) -> tuple[Trip, ...]:
    return tuple(trip for trip in open_trips(g.bench) if trip.exposed)


def exposed_tray(g: Glance) -> MenuView:
    """One such tray: it goes back whole, or on for a reason. A tech is told who decides."""
    trip_id, _, by = (g.turn.subject if g.turn else "").partition(":")
    trip = g.bench.trips.get(trip_id)
    say = g.words.say
    keys: tuple[Key, ...] = ()
    if trip is not None and trip.exposed and by:
        keys = (
            g.key("aid.rule.back", RuleExposed(by=by, trip=trip_id), icon="arrow_right", name="exposed back"),
            g.key("aid.rule.covered", RuleExposed(by=by, trip=trip_id, reason="covered"), name="exposed covered"),
            g.key("aid.rule.not_reached", RuleExposed(by=by, trip=trip_id, reason="not_reached"), name="not reached"),
        )
    elif trip is not None:
        keys = (g.key("rail.supervisor", Turn(page=Page.NAMES, subject="ruling:"), icon="lock"),)
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g),
        title=trip.tray.name if trip else say("aid.exposed_title"),
        help=say("aid.exposed_help"),
        notice=g.said(),
        lines=g.words.lines("aid.exposed_lines") if by else (),
        keys=keys,
    )


def _stop_all(g: Glance) -> Key | None:
    return g.key("aid.stop_all", StopAll(), icon="stop_here", name="stop all") if open_trips(g.bench) else None


def _torn(g: Glance) -> Key | None:
    trip = g.bench.trip
    return g.key("aid.torn", TornGlove(), icon="gloves", name="torn glove") if trip and not trip.ended else None


def _rule(g: Glance) -> Key | None:
    by = g.turn.subject if g.turn else ""
    return _exposed_key(g, by)


def _desk(g: Glance) -> Key | None:
    person = g.desk.catalogue.people.get(g.bench.who or "")
    return _exposed_key(g, person.id) if person and person.role is Role.SUPERVISOR else None


def _exposed_key(g: Glance, by: str) -> Key | None:
    if not _exposed(g):
        return None
    return g.key("aid.exposed_key", Turn(page=Page.EXPOSED_TRAYS, subject=by), icon="warning", n=len(_exposed(g)))


STEPS: dict[str, Callable[[Glance], View]] = {"first_aid": first_aid, "exposed": exposed, "sharp": sharp}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.EXPOSED: exposed_tray,
    Page.EXPOSED_TRAYS: exposed_trays,
    **exposure_notes.PAGES,
}
HAPPENED: tuple[Offer, ...] = (_stop_all, _torn, exposure_notes.own_key)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (_rule,)
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = (_desk, exposure_notes.desk_key)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
"""What a second person is asked, by what it is about."""
