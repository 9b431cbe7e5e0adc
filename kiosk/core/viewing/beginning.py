"""Where nobody is known yet: the first supervisor's name, badge and number, and nothing else but first aid."""

from kiosk.core.commands import BeginDepartment, Page, Turn
from kiosk.core.glance import Glance, hand, head, wipe_key
from kiosk.core.pins import PIN_LEAST, PIN_MOST
from kiosk.core.viewing.letters import letters
from kiosk.core.viewing.own import language_keys
from kiosk.core.viewing.people import sign_in
from kiosk.core.viewing.roster import BADGE_LETTERS, NAME_LETTERS
from kiosk.core.views import NoteView, PinView, SignInView


def begin(g: Glance) -> NoteView | PinView | SignInView:
    """One field after the other; each page leads back to the one before."""
    if g.desk.catalogue.people:
        return sign_in(g)
    name, _, badge = (g.turn.subject if g.turn and g.turn.page is Page.BEGIN else "").partition("/")
    if not name:
        return _typed(g, "name", BeginDepartment())
    if not badge:
        return _typed(g, "badge", BeginDepartment(name=name), back=Turn(), name=name)
    say, back = g.words.say, Turn(page=Page.BEGIN, subject=name)
    return PinView(
        head=head(g, title=g.bench_name),
        hand=hand(g, left=(g.key("rail.back", back, icon="arrow_left"),), right=(wipe_key(g),)),
        title=say("pin.new_title", name=name),
        help=say("pin.help"),
        notice=g.said(),
        person="",
        ruling=False,
        again=say("pin.again_title", name=name),
        differs=say("pin.differs"),
        send=BeginDepartment(name=name, badge=badge),
        least=max(PIN_LEAST, g.desk.policy.pin_least),
        most=PIN_MOST,
        erase=say("pin.erase"),
        done=say("pin.next"),
    )


def _typed(g: Glance, what: str, send: BeginDepartment, *, back: Turn | None = None, name: str = "") -> NoteView:
    say = g.words.say
    before = language_keys(g) if back is None else (g.key("rail.back", back, icon="arrow_left"),)
    return letters(
        g,
        top=head(g, title=g.bench_name),
        hand=hand(g, left=before, right=(wipe_key(g),)),
        title=say(f"begin.{what}_title", name=name),
        help_=say(f"begin.{what}_help"),
        field=what,
        piece=f"begin {what}",
        most=NAME_LETTERS if what == "name" else BADGE_LETTERS,
        done=g.key("begin.next", send, kind="main", name="next"),
    )
