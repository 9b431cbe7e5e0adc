"""What is shown of overrides: what may be let go on, why, said back; the second person; signing for it afterwards."""

from collections.abc import Callable

from kiosk.core.agenda import to_sign
from kiosk.core.commands import Cosign, GiveOverride, NoSecondHere, Page, SecondOnOverride, SignOut, Turn
from kiosk.core.decide.overrides import SECOND, given_here, may_be_alone, offers
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key
from kiosk.core.override_words import said_of, why_words
from kiosk.core.state.ruled import Override
from kiosk.core.viewing.letters import NOTE_AT_MOST, letters
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.rows import listed
from kiosk.core.views import AskView, Key, ListRow, ListView, MenuView, Plate, StopView, View
from kiosk.core.vocabulary import Role
from kiosk.core.words import capital

PHONE = "phone"


def _giver(token: str) -> tuple[str, bool]:
    """Who gives it, and is it on the phone? `phone:S1` or `S1`."""
    phone = token.startswith(f"{PHONE}:")
    return token.removeprefix(f"{PHONE}:"), phone


def _parts(g: Glance) -> list[str]:
    return (g.turn.subject if g.turn else "").split("|")


def page(g: Glance) -> View:
    """What may be let go on; then why. On the phone: who is on the phone, first."""
    token, *rest = _parts(g)
    if token == PHONE:
        return _on_the_phone(g)
    able = offers(g.bench, g.desk)
    if not rest and len(able) != 1:
        return _which(g, token)
    at = int(rest[0]) if rest else 0
    return _why(g, token, at) if at < len(able) else _which(g, token)


def _on_the_phone(g: Glance) -> ListView:
    people = [p for p in g.desk.catalogue.people.values() if p.role is Role.SUPERVISOR and p.id != g.bench.who]
    rows = [
        ListRow(title=p.name, icon="arrow_right", send=Turn(page=Page.OVERRIDE, subject=f"{PHONE}:{p.id}"), name=p.id)
        for p in people
    ]
    say = g.words.say
    return listed(
        g, rows, page=Page.OVERRIDE, subject=PHONE, title=say("override.phone_title"), help_=say("override.phone_help"),
        nothing=say("ruling.nobody"),
    )  # fmt: skip


def _which(g: Glance, token: str) -> MenuView:
    say, by = g.words.say, _giver(token)[0]
    keys = tuple(
        Key(
            label=said_of(g, g.bench.trip, row.name, subjects),
            send=Turn(page=Page.OVERRIDE, subject=f"{token}|{at}"),
            name=f"override {row.name}",
        )
        for at, (row, subjects) in enumerate(offers(g.bench, g.desk))
    )
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("override.title", name=g.name_of(by)),
        help="" if keys else say("override.nothing"),
        notice=g.said(),
        lines=g.words.lines("override.lines"),
        keys=keys,
    )


def _why(g: Glance, token: str, at: int) -> MenuView:
    say = g.words.say
    row, subjects = offers(g.bench, g.desk)[at]
    keys = []
    for reason in row.reasons:
        then = Page.OVERRIDE_WORDS if reason == "other" else Page.OVERRIDE_SAY
        send = Turn(page=then, subject=f"{token}|{at}|{reason}")
        keys.append(Key(label=capital(say(f"override.reasons.{reason}")), send=send, name=f"reason {reason}"))
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=said_of(g, g.bench.trip, row.name, subjects),
        help=say("override.why"),
        notice=g.said(),
        lines=g.words.lines("override.lines"),
        keys=tuple(keys),
    )


def _command(g: Glance) -> GiveOverride | None:
    """What the pages have put together so far."""
    token, at, reason = (*_parts(g), "", "", "")[:3]
    able = offers(g.bench, g.desk)
    if not at.isdigit() or int(at) >= len(able):
        return None
    by, phone = _giver(token)
    row, subjects = able[int(at)]
    return GiveOverride(by=by, what=row.name, subjects=subjects, reason=reason, phone=phone)


def say_back(g: Glance) -> View:
    """What will be recorded, said back; words of one's own may be added."""
    command = _command(g)
    if command is None:
        return _which(g, _parts(g)[0])
    say, subject = g.words.say, g.turn.subject if g.turn else ""
    key = "override.give_phone" if command.phone else "override.give"
    return StopView(
        head=head(g),
        hand=back_hand(g),
        title=say("override.say_title", name=g.name_of(command.by)),
        notice=g.said(),
        sentence=said_of(g, g.bench.trip, command.what, command.subjects),
        lines=(
            say("override.because", why=why_words(g, command.reason, "")),
            *g.words.lines("override.say_lines"),
        ),
        main=g.key(key, command, kind="main", icon="arrow_right"),
        others=(g.key("override.add_words", Turn(page=Page.OVERRIDE_WORDS, subject=subject), icon="keys"),),
    )


def own_words(g: Glance) -> View:
    """The giver's own words."""
    command = _command(g)
    if command is None:
        return _which(g, _parts(g)[0])
    say = g.words.say
    return letters(
        g,
        title=said_of(g, g.bench.trip, command.what, command.subjects),
        help_=say("override.words_help", n=NOTE_AT_MOST),
        field="words",
        by=command.by,
        done=g.key("override.give", command, kind="main", icon="arrow_right"),
    )


def second(g: Glance) -> AskView:
    """The second person reads it and agrees, or not."""
    say = g.words.say
    person = g.turn.subject.rpartition(":")[2] if g.turn else ""
    given = given_here(g.bench)
    what = said_of(g, g.bench.trip, given.what, given.subjects) if given else say("override.nothing")
    steps = (_by_whom(g, given), say("override.because", why=why_words(g, given.reason, given.words))) if given else ()
    return AskView(
        head=head(g),
        hand=back_hand(g, wipe_key(g)),
        title=say("override.second_title", name=g.name_of(person)),
        help=what,
        notice=g.said(),
        steps=steps,
        no=Plate(
            word=say("check.no"),
            claim=say("override.second_no"),
            note=say("override.second_no_note"),
            send=SecondOnOverride(by=person, yes=False),
        ),
        yes=Plate(
            word=say("check.yes"),
            claim=say("override.second_yes"),
            note=say("override.second_yes_note"),
            send=SecondOnOverride(by=person, yes=True),
        ),
    )


def _by_whom(g: Glance, one: Override) -> str:
    names = {"by": g.name_of(one.by), "asked": g.name_of(one.asked)}
    return g.words.say("override.by_phone" if one.phone else "override.by", **names)


def cosign(g: Glance) -> AskView:
    """An override given on the phone, or without a second person: a supervisor signs for it."""
    say = g.words.say
    one = next(each for each in to_sign(g.bench, g.desk) if each.n == g.step.number)
    return AskView(
        head=head(g, title=g.bench_name),
        hand=hand(g, left=(g.key("rail.sign_out", SignOut(), icon="arrow_left"),), right=(wipe_key(g),)),
        title=say("override.cosign_title"),
        help=say(
            "override.cosign_help",
            what=said_of(g, g.bench.trips.get(one.trip), one.what, one.subjects),
            tray=one.tray or g.bench_name,
        ),
        notice=g.said(),
        steps=(
            say("override.at", time=g.since(one.at_ms), by=_by_whom(g, one)),
            say("override.because", why=why_words(g, one.reason, one.words)),
            *((say("override.alone"),) if one.alone else ()),
        ),
        no=Plate(
            word=say("check.no"),
            claim=say("override.cosign_no"),
            note=say("override.cosign_no_note"),
            send=Cosign(n=one.n, yes=False),
        ),
        yes=Plate(
            word=say("check.yes"),
            claim=say("override.cosign_yes"),
            note=say("override.cosign_yes_note"),
            send=Cosign(n=one.n, yes=True),
        ),
    )


def _ruling_key(g: Glance) -> Key | None:
    by = g.turn.subject if g.turn else ""
    if given_here(g.bench) is not None or not offers(g.bench, g.desk):
        return None
    return g.key("override.key", Turn(page=Page.OVERRIDE, subject=by), icon="lock", name="override")


def second_key(g: Glance) -> Key | None:
    """The second person is asked for, where an override waits for one."""
    if given_here(g.bench) is None:
        return None
    return g.key("override.second_key", SECOND, icon="lock", name="second person")


def _phone_key(g: Glance) -> Key | None:
    if g.desk.policy.phone_approval == "never" or not offers(g.bench, g.desk) or given_here(g.bench) is not None:
        return None
    return g.key("override.phone_key", Turn(page=Page.OVERRIDE, subject=PHONE), name="on the phone")


def _ask_key(g: Glance) -> Key | None:
    if g.bench.trip is None:
        return None
    return g.key("override.ask_key", Turn(page=Page.NAMES, subject="ruling:"), icon="lock", name="ask the supervisor")


def nobody_here(g: Glance, about: str) -> tuple[Key, ...]:
    """The key of the page that asks for the second badge: nobody else is here."""
    if about != "override" or given_here(g.bench) is None or not may_be_alone(g.bench, g.desk):
        return ()
    return (g.key("override.nobody_key", NoSecondHere(), name="nobody else here"),)


STEPS: dict[str, Callable[[Glance], View]] = {"cosign": cosign}
PAGES: dict[Page, Callable[[Glance], View]] = {
    Page.OVERRIDE: page,
    Page.OVERRIDE_SAY: say_back,
    Page.OVERRIDE_WORDS: own_words,
}
HAPPENED: tuple[Offer, ...] = (second_key, _ask_key, _phone_key)
"""Keys of the page "Something happened"."""
RULINGS: tuple[Offer, ...] = (_ruling_key, second_key)
"""Keys of the supervisor's ruling."""
DESK: tuple[Offer, ...] = ()
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {"override": second}
"""What a second person is asked, by what it is about."""
