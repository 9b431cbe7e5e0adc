"""The way out of the bench, for a supervisor. What is shown of the log itself stands in the list of what needs one.

Closing and setting up have consequences: each is said back on a page of its own first.
"""

from collections.abc import Callable

from kiosk.core.commands import LeaveStation, Page, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.viewing.menus import Offer
from kiosk.core.viewing.roster import is_supervisor
from kiosk.core.views import Key, StopView, View


def leave(g: Glance) -> StopView:
    """What will happen, and the key for it."""
    say, to = g.words.say, (g.turn.subject if g.turn else "") or "close"
    return StopView(
        head=head(g),
        hand=back_hand(g, to=Turn(page=Page.DESK)),
        title=say(f"leave.{to}_title"),
        notice=g.said(),
        sentence=say(f"leave.{to}_sentence"),
        lines=(),
        main=g.key(f"leave.do_{to}", LeaveStation(to=to), kind="main", name=f"leave to {to}"),
    )


def set_up_offer(g: Glance) -> Key | None:
    """The desk's key to set this station up again."""
    if not is_supervisor(g) or g.desk.practice:
        return None
    return g.key("leave.set_up", Turn(page=Page.LEAVE, subject="set_up"), icon="keys", name="set up the station")


def close_offer(g: Glance) -> Key | None:
    """The desk's key to close the program: there is no other way out."""
    if not is_supervisor(g):
        return None
    return g.key("leave.close", Turn(page=Page.LEAVE, subject="close"), icon="lock", name="close the program")


STEPS: dict[str, Callable[[Glance], View]] = {}
PAGES: dict[Page, Callable[[Glance], View]] = {Page.LEAVE: leave}
HAPPENED: tuple[Offer, ...] = ()
RULINGS: tuple[Offer, ...] = ()
DESK: tuple[Offer, ...] = (set_up_offer, close_offer)
"""Keys of the supervisor's desk."""
SECONDS: dict[str, Callable[[Glance], View]] = {}
