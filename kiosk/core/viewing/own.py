"""What a person sets for themselves: language, sides, letters, reach, motion, foot key."""

from kiosk.core.commands import ChooseSetting, Page, StartAgain, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.settings import CHOICES, settings_of
from kiosk.core.views import Key, MenuView


def language_keys(g: Glance) -> tuple[Key, ...]:
    """A key for each other language, in its own words. Before anybody has signed in it only turns the page."""
    return tuple(
        Key(
            label=tongue.words.say("language.name"),
            send=ChooseSetting(key="language", value=tongue.code) if g.bench.who else _speak(g, tongue.code),
            name=f"language {tongue.code}",
        )
        for tongue in g.tongues
        if tongue.code != g.words.say("language.code")
    )


def _speak(g: Glance, code: str) -> Turn:
    turn = g.turn or Turn()
    return Turn(page=turn.page or Page.NAMES, subject=turn.subject, number=turn.number, language=code)


def settings_key(g: Glance) -> Key:
    """The key to one's own settings."""
    return g.key("rail.settings", Turn(page=Page.SETTINGS))


def settings(g: Glance) -> MenuView:
    """One key a setting: what it is, how it stands. A touch takes the next choice."""
    say = g.words.say
    return MenuView(
        head=head(g),
        hand=back_hand(g),
        title=say("settings.title", name=g.name_of(g.bench.who or "")),
        help=say("settings.sides") if g.small else say("settings.help"),
        notice=g.said(),
        lines=() if g.small else (say("settings.sides"),),
        keys=(
            *(_setting(g, key) for key in CHOICES),
            g.key("settings.pin", Turn(page=Page.NEW_PIN, subject=g.bench.who or ""), name="new pin"),
            *((g.key("startup.again", StartAgain(), name="bench start again"),) if g.small and _free(g) else ()),
        ),
    )


def _free(g: Glance) -> bool:
    """Does no tray lie on the bench?"""
    return g.bench.trip is None


def _setting(g: Glance, key: str) -> Key:
    now = g.words.say("language.code") if key == "language" else chosen_last(g, key)
    values = CHOICES[key]
    after = values[(values.index(now) + 1) % len(values)]
    return g.key(f"settings.{key}.{now}", ChooseSetting(key=key, value=after), name=f"setting {key}")


def chosen_last(g: Glance, key: str) -> str:
    """How a setting of the person signed in stands, also one that holds from the next sign-in only."""
    value: str = getattr(settings_of(g.bench.who, (g.bench, *g.desk.others.values())), key)
    return value
