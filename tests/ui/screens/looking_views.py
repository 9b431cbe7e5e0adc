"""Views of looking again as they come and at their longest."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.decide.second_looks import SAYS
from tests.ui.screens.rails import BACK_HAND, ITEM_48, LANDMARK_48, LUMEN_24, band, head, key, say


def second_look(*, long: bool = False, picture: str = "") -> v.SecondLookView:
    """What the second person is asked."""
    rail = replace(head(long=long), rings=(), now="", of="", sub="")
    return v.SecondLookView(
        head=rail,
        hand=BACK_HAND,
        title=say("check.scope.title"),
        help=f"{ITEM_48} · {LUMEN_24}" if long else "Suction tube 10 Fr · only lumen",
        band=band(long=long),
        place=say("second_look.place", place=LANDMARK_48 if long else say("place.at", cm=13)),
        picture=picture,
        none=say("second_look.no_picture"),
        keys=tuple(
            key(f"second_look.says.{says}", c.TakeSecondLook(by="T4", n=1, says=says), name=says) for says in SAYS
        ),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every view of looking again, by a name for its picture."""
    del small
    return {"second_look": second_look(), "second_look_long": second_look(long=True)}
