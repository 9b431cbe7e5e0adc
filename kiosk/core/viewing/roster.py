"""People at the supervisor's desk: who is known, badge and number, what they are signed for; the co-signature."""

from kiosk.core.agenda import at_desk
from kiosk.core.catalogue import Person
from kiosk.core.commands import ForgiveTries, KeepPerson, LendBadge, Page, SignBeside, SignCompetency, Turn
from kiosk.core.competency import CHECKING, lapsed, signed_of, wants_cosign
from kiosk.core.glance import Glance, back_hand, hand, head
from kiosk.core.stamp import local_time
from kiosk.core.tries import wrong
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.people import PIN_LEAST, PIN_MOST
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Hand, Key, ListRow, ListView, MenuView, NoteView, PinView, Plate
from kiosk.core.vocabulary import Role

NAME_LETTERS, BADGE_LETTERS = 40, 24


def is_supervisor(g: Glance) -> bool:
    """Is a supervisor signed in?"""
    me = g.desk.catalogue.people.get(g.bench.who or "")
    return me is not None and me.role is Role.SUPERVISOR


def desk_key(g: Glance) -> Key | None:
    """The key of the desk; it says how many signatures have run out, and nobody else is told."""
    if not at_desk(g.bench, g.desk):
        return None
    over = len(lapsed(g.bench, g.desk, g.now.at_ms))
    to = Turn(page=Page.PEOPLE)
    return g.key("people.key_lapsed" if over else "people.key", to, icon="lock", name="people", n=over)


def people(g: Glance) -> ListView:
    """Everybody known here."""
    over = lapsed(g.bench, g.desk, g.now.at_ms)
    everybody = sorted(g.desk.catalogue.people.values(), key=lambda p: (p.id not in over, p.disabled, p.name))
    add = g.key("people.add", Turn(page=Page.PERSON, subject="name:"), kind="main", name="add person")
    return listed(
        g,
        [_row(g, person, over.get(person.id, ())) for person in everybody],
        page=Page.PEOPLE,
        title=g.words.say("people.title"),
        nothing=g.words.say("people.nothing"),
        hand=back_to(g, Turn(page=Page.DESK)),
        main=add if is_supervisor(g) else None,
    )


def back_to(g: Glance, back: Turn) -> Hand:
    """The hand rail of a page that came from another page."""
    return hand(g, left=(g.key("rail.back", back, icon="arrow_left"),))


def _row(g: Glance, person: Person, over: tuple[str, ...]) -> ListRow:
    say = g.words.say
    badge = say("people.badge", badge=person.badge) if person.badge else say("people.no_badge")
    value = say("people.off") if person.disabled else ""
    if over:
        value = say("people.lapsed", methods=", ".join(say(f"name.{method}") for method in over))
    return ListRow(
        title=person.name,
        sub=f"{say(f'role.{person.role}')} · {badge}",
        value=value,
        send=Turn(page=Page.PERSON, subject=person.id),
        name=f"person {person.id}",
    )


def person(g: Glance) -> MenuView | NoteView:
    """One person; or the page on which one thing of theirs is changed."""
    what, mark, who = (g.turn.subject if g.turn else "").partition(":")
    if mark:
        return _roles(g, who) if what == "role" else _typed(g, what, who)
    known = g.desk.catalogue.people.get(what)
    if known is None:
        return _typed(g, "name", "")
    return _one(g, known)


def _one(g: Glance, one: Person) -> MenuView:
    say = g.words.say

    def change(what: str) -> Key:
        return g.key(f"person.{what}", Turn(page=Page.PERSON, subject=f"{what}:{one.id}"), name=f"change {what}")

    tries = wrong(g.bench, g.desk.others.values(), one.id)
    forgive = (g.key("person.forgive", ForgiveTries(person=one.id), name="forgive tries", n=tries),) if tries else ()
    may = "no" if not one.disabled else "yes"
    keys = [
        change("name"),
        change("role"),
        change("badge"),
        change("day"),
        g.key("person.pin", Turn(page=Page.NEW_PIN, subject=one.id), name="new pin"),
        g.key(f"person.may.{may}", KeepPerson(person=one.id, may=may), name=f"may {may}"),
    ]
    signing = g.key("person.competency", Turn(page=Page.COMPETENCY, subject=one.id), name="competency")
    lines = [
        say(f"role.{one.role}"),
        say("people.badge", badge=one.badge) if one.badge else say("people.no_badge"),
        say("person.pin_is") if one.pin_hash else say("person.no_pin"),
    ]
    if one.day_badge:
        lines.append(say("person.day_badge", badge=one.day_badge))
    return MenuView(
        head=head(g),
        hand=back_to(g, Turn(page=Page.PEOPLE)),
        title=one.name,
        help=say("people.off") if one.disabled else "",
        notice=g.said(),
        lines=(" · ".join(lines),),
        keys=(*((*keys, *forgive) if is_supervisor(g) else ()), signing),
    )


def _roles(g: Glance, who: str) -> MenuView:
    return MenuView(
        head=head(g),
        hand=back_to(g, Turn(page=Page.PERSON, subject=who)),
        title=g.words.say("person.role_title", name=g.name_of(who)),
        notice=g.said(),
        lines=(),
        keys=tuple(
            Key(label=g.words.say(f"role.{role}"), send=KeepPerson(person=who, role=role), name=f"role {role}")
            for role in Role
        ),
    )


def _typed(g: Glance, what: str, who: str) -> NoteView:
    """A name or a badge, typed; a badge may be scanned instead."""
    say = g.words.say
    send = LendBadge(person=who) if what == "day" else KeepPerson(person=who)
    back = Turn(page=Page.PERSON, subject=who) if who else Turn(page=Page.PEOPLE)
    name = g.name_of(who) if who else ""
    return letters(
        g,
        hand=back_to(g, back),
        title=say(f"person.{what}_title", name=name) if who else say("person.new_title"),
        help_=say("person.badge_help") if what != "name" else "",
        field="name" if what == "name" else "badge",
        piece=f"{what} {who}",
        most=NAME_LETTERS if what == "name" else BADGE_LETTERS,
        done=g.key("person.keep", send, kind="main"),
    )


def new_pin(g: Glance) -> PinView:
    """A new number, typed twice by the person at the glass."""
    who = g.turn.subject if g.turn else ""
    own = who == g.bench.who
    least = max(PIN_LEAST, g.desk.policy.pin_least)
    return PinView(
        head=head(g, title=g.bench_name),
        hand=back_to(g, Turn(page=Page.SETTINGS) if own else Turn(page=Page.PERSON, subject=who)),
        title=g.words.say("pin.new_title", name=g.name_of(who)),
        help=g.words.say("pin.new_help", least=least, most=PIN_MOST),
        notice=g.said(),
        person=who,
        ruling=False,
        again=g.words.say("pin.again_title", name=g.name_of(who)),
        differs=g.words.say("pin.differs"),
        least=least,
        most=PIN_MOST,
        erase=g.words.say("pin.erase"),
        done=g.words.say("pin.next"),
    )


def competency(g: Glance) -> ListView:
    """What a person is signed for, by whom, until when."""
    who = g.turn.subject if g.turn else ""
    known = g.desk.catalogue.people.get(who)
    signed = signed_of(who, (g.bench, *g.desk.others.values()))
    checks = known is not None and known.role in CHECKING
    methods = g.desk.policy.competency_methods if checks else ()
    say = g.words.say
    rows = []
    for method in methods:
        mine = signed.get(method)
        sub, value = say("competency.none"), ""
        if mine is not None:
            day = f"{local_time(mine.at_ms, g.now.offset_min):%Y-%m-%d}"
            sub = say("competency.by", name=g.name_of(mine.by), day=day)
            over = mine.until_ms <= g.now.at_ms
            until = f"{local_time(mine.until_ms, g.now.offset_min):%Y-%m-%d}"
            value = say("competency.over" if over else "competency.until", day=until)
        send = _signing(g, who, method)
        rows.append(ListRow(title=say(f"name.{method}").capitalize(), sub=sub, value=value, send=send, name=method))
    return listed(
        g,
        rows,
        page=Page.COMPETENCY,
        subject=who,
        title=say("competency.title", name=g.name_of(who)),
        help_=say("competency.help"),
        nothing=say("competency.nothing"),
        hand=back_to(g, Turn(page=Page.PERSON, subject=who)),
    )


def _signing(g: Glance, who: str, method: str) -> SignCompetency | Turn:
    """An educator at the desk signs at once; otherwise the educator's badge is asked for this one signature."""
    me = g.desk.catalogue.people.get(g.bench.who or "")
    if me is not None and me.role is Role.EDUCATOR and me.id != who:
        return SignCompetency(by=me.id, person=who, method=method)
    return Turn(page=Page.NAMES, subject=f"second:competency-{who}-{method}:")


def competency_signature(g: Glance) -> AskView:
    """The educator, on their own badge: can this person do it?"""
    about, _, by = (g.turn.subject if g.turn else "").partition(":")
    who, _, method = about.partition("-")[2].rpartition("-")
    say = g.words.say
    return AskView(
        head=head(g),
        hand=back_hand(g),
        title=say("competency.ask", name=g.name_of(who), method=say(f"name.{method}")),
        help=say("competency.ask_help", months=g.desk.policy.competency_months),
        notice=g.said(),
        no=Plate(
            word=say("startup.no"),
            claim=say("competency.not_yet"),
            send=Turn(page=Page.COMPETENCY, subject=who),
        ),
        yes=Plate(
            word=say("startup.yes"),
            claim=say("competency.can"),
            send=SignCompetency(by=by, person=who, method=method),
        ),
    )


def cosign_keys(g: Glance) -> tuple[Key, ...]:
    """The key for the signature beside a trainee, where one is wanted."""
    trip = g.bench.trip
    if trip is None or not wants_cosign(trip, g.desk):
        return ()
    me = g.desk.catalogue.people.get(g.bench.who or "")
    if me is not None and me.role is not Role.TRAINEE:
        return (g.key("cosign.own", SignBeside(by=me.id), name="cosign"),)
    return (g.key("cosign.key", Turn(page=Page.NAMES, subject="second:cosign:"), name="cosign"),)


def cosign(g: Glance) -> AskView:
    """The person beside the trainee: did you look at this tray with them?"""
    by = (g.turn.subject if g.turn else "").rpartition(":")[2]
    say = g.words.say
    trip = g.bench.trip
    return AskView(
        head=head(g),
        hand=back_hand(g),
        title=say("cosign.title", name=g.name_of(by)),
        help=say("cosign.help", tray=trip.tray.name if trip else ""),
        notice=g.said(),
        no=Plate(word=say("startup.no"), claim=say("cosign.no_claim"), send=Turn()),
        yes=Plate(word=say("startup.yes"), claim=say("cosign.yes_claim"), send=SignBeside(by=by)),
    )
