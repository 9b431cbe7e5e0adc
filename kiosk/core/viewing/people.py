"""Sign-in, PIN, bench start-up, wiping the screen."""

from dataclasses import replace

from kiosk.core.agenda import at_desk, to_clear
from kiosk.core.catalogue import Person
from kiosk.core.commands import AnswerStartup, Page, ReadAirGauge, SignOut, StartAgain, Turn
from kiosk.core.decide.overrides import given_here
from kiosk.core.glance import Glance, back_hand, hand, head, wipe_key
from kiosk.core.startup import startup_asked
from kiosk.core.viewing import scope_target
from kiosk.core.viewing.overrides import nobody_here
from kiosk.core.viewing.own import language_keys
from kiosk.core.viewing.unsigned import note_key
from kiosk.core.views import (
    AskView,
    Head,
    Key,
    NumberView,
    PinView,
    Plate,
    SignInView,
    WipeView,
)
from kiosk.core.vocabulary import Role

NAMES_A_PAGE = 4
PIN_LEAST, PIN_MOST = 4, 8


def sign_in(g: Glance) -> SignInView:
    """Scan your badge, or touch your name."""
    page = g.turn.number if g.turn and g.turn.page is Page.NAMES else 0
    people = _this_side_first(g)
    back = g.desk.side == "decontam"  # there the work stands open, and signing in is a page laid over it
    return SignInView(
        head=head(g, title=g.bench_name),
        hand=back_hand(g, wipe_key(g)) if back else hand(g, left=language_keys(g), right=(*note_key(g), wipe_key(g))),
        title=g.words.say("sign_in.title"),
        help=g.words.say("aid.sign_in" if to_clear(g.bench) else "sign_in.help"),
        line=g.words.say("sign_in.line"),
        notice=g.said(),
        people=name_keys(g, _still_first(g, [(p.id, p.name) for p in people]), page),
        warning=_warning(g),
    )


def _still_first(g: Glance, people: list[tuple[str, str]]) -> list[tuple[str, str]]:
    """After quiet, whoever stood here comes first: "Still Mara?", and then only the number."""
    here = g.bench.left[0] if g.bench.left_quiet else ""
    still = [(pid, g.words.say("aid.still", name=name)) for pid, name in people if pid == here]
    return [*still, *(one for one in people if one[0] != here)]


def _warning(g: Glance) -> str:
    if g.desk.practice:
        return g.words.say("practice.sign_in")
    return "" if g.desk.first_aid else g.words.say("sign_in.first_aid_unset")


def _may_sign_in(g: Glance) -> list[Person]:
    return [person for person in g.desk.catalogue.people.values() if not person.disabled]


def _this_side_first(g: Glance) -> list[Person]:
    """Who works on this side of the department stands first; everybody else is there too."""
    dirty = g.desk.side == "decontam"
    return sorted(_may_sign_in(g), key=lambda person: (person.role is Role.DECONTAM) != dirty)


def name_keys(g: Glance, people: list[tuple[str, str]], page: int, prefix: str = "") -> tuple[Key, ...]:
    """Some of these people, a key each, and the key to more of them. `prefix`: what they sign in for."""
    pages = max(1, -(-len(people) // NAMES_A_PAGE))
    some = people[page % pages * NAMES_A_PAGE : (page % pages + 1) * NAMES_A_PAGE]
    keys = [Key(label=name, send=Turn(page=Page.PIN, subject=prefix + pid), name=pid) for pid, name in some]
    if pages > 1:
        turn = Turn(page=Page.NAMES, subject=prefix, number=(page + 1) % pages)
        keys.append(g.key("sign_in.more", turn, kind="quiet"))
    return tuple(keys)


def ruling_names(g: Glance) -> SignInView:
    """Who gives this ruling? Supervisors only."""
    page = g.turn.number if g.turn else 0
    people = [(p.id, p.name) for p in _may_sign_in(g) if p.role is Role.SUPERVISOR]
    return SignInView(
        head=head(g),
        hand=back_hand(g),
        title=g.words.say("names.title"),
        help=g.words.say("names.help"),
        line=g.words.say("sign_in.line"),
        notice=g.said(),
        people=name_keys(g, people, page, "ruling:"),
    )


def second_names(g: Glance) -> SignInView:
    """Who looks as the second person? Anybody of the clean side but the one signed in."""
    assert g.turn is not None
    people = [(p.id, p.name) for p in _may_sign_in(g) if p.role is not Role.DECONTAM]
    given = given_here(g.bench)
    about = _about(g)
    out = {g.bench.who, given.by if given and about == "override" else ""}
    return SignInView(
        head=_blind(head(g)),
        hand=back_hand(g, *nobody_here(g, about)),
        title=g.words.say("names.second_title"),
        help=g.words.some(f"names.second_help_{_about(g)}") or g.words.say("names.second_help"),
        line=g.words.say("sign_in.line"),
        notice=g.said(),
        people=name_keys(g, [one for one in people if one[0] not in out], g.turn.number, g.turn.subject),
    )


def _blind(rail: Head) -> Head:
    """The head rail for a second person: nothing in it tells what the first one said."""
    return replace(rail, sub="", short=rail.title, rings=(), now="", of="")


def _about(g: Glance) -> str:
    """What a second person is asked about: `look` of `second:look-3:`."""
    subject = g.turn.subject if g.turn else ""
    return subject.split(":")[1].partition("-")[0]


def pin(g: Glance) -> PinView:
    """Big keys for one person's number."""
    subject = g.turn.subject if g.turn else ""
    aim, _, rest = subject.partition(":") if ":" in subject else ("", "", subject)
    second, _, person = rest.rpartition(":")
    ruling = aim == "ruling"
    title = "pin.ruling_title" if ruling else "pin.second_title" if second else "pin.title"
    rail = head(g, title=g.bench_name)
    return PinView(
        head=_blind(rail) if second else rail,
        hand=back_hand(g),
        title=g.words.say(title, name=g.name_of(person)),
        help=g.words.say("pin.help"),
        notice=g.said(),
        person=person,
        ruling=ruling,
        second=second,
        least=PIN_LEAST,
        most=PIN_MOST,
        erase=g.words.say("pin.erase"),
        done=g.words.say("pin.done"),
    )


def startup(g: Glance) -> AskView | NumberView:
    """One question of the bench start-up; the air gauge's reading is typed where policy names its range."""
    questions = startup_asked(g.bench, g.desk)
    question = g.step.question
    if question == "air" and g.desk.policy.air_gauge_kpa is not None:
        return _gauge(g, questions)
    say = g.words.say
    kind, _, scope = question.partition(":")
    if scope:
        kind = "one_scope"
    again = (g.key("startup.again", StartAgain(), name="bench start again"),) if g.bench.startup else ()
    desk = (g.key("rail.desk", Turn(page=Page.DESK), icon="lock"),) if at_desk(g.bench, g.desk) else ()
    return AskView(
        head=head(g, title=g.bench_name),
        hand=hand(
            g,
            left=(g.key("rail.sign_out", SignOut(), icon="arrow_left"), *desk),
            right=(*scope_target.key_of(g), *again, wipe_key(g)),
        ),
        title=say(f"startup.{kind}.title", scope=scope),
        help=say("startup.help", n=questions.index(question) + 1, of=len(questions), then=say(f"startup.{kind}.no")),
        facts=scope_target.facts(g),
        notice=g.said(),
        no=Plate(
            word=say("startup.no"),
            claim=say("startup.no_claim"),
            note="",
            send=AnswerStartup(question=question, yes=False),
        ),
        yes=Plate(
            word=say("startup.yes"),
            claim=say("startup.yes_claim"),
            note=say("startup.yes_note"),
            send=AnswerStartup(question=question, yes=True),
        ),
    )


def _gauge(g: Glance, questions: tuple[str, ...]) -> NumberView:
    least, most = g.desk.policy.air_gauge_kpa or ("", "")
    say = g.words.say
    names = {"n": questions.index("air") + 1, "of": len(questions), "least": least, "most": most}
    return NumberView(
        head=head(g, title=g.bench_name),
        hand=hand(g, left=(g.key("rail.sign_out", SignOut(), icon="arrow_left"),), right=(wipe_key(g),)),
        title=say("kit.gauge.title"),
        help=say("kit.gauge.help", **names),
        notice=g.said(),
        purpose="other",
        send=ReadAirGauge(kpa=""),
        field="kpa",
        decimals=True,
        most=5,
        done=say("kit.gauge.done"),
        erase=say("number.erase"),
    )


WIPE_SECONDS = 20
"""How long the screen stays deaf where the facility has given no label time (a choice, no source)."""


def wipe(g: Glance) -> WipeView:
    """The screen is deaf while it is wiped."""
    minutes = g.desk.policy.bench_contact_minutes or g.bench.label_minutes
    return WipeView(
        head=head(g),
        hand=hand(g),
        title=g.words.say("wipe.title"),
        help=g.words.say("wipe.help"),
        seconds=int(minutes * 60) if minutes else WIPE_SECONDS,
        keep_wet=g.words.say("wipe.keep_wet"),
        striped=g.words.say("wipe.striped"),
        kept=g.words.say("wipe.kept"),
        half_time=g.words.say("wipe.half_time"),
    )
