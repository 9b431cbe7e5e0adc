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


def reading(*, long: bool = False, picture: str = "") -> v.ReadingView:
    """A picture of the reading practice; without one it lies at another station."""

    def plate(says: str, claim: str = "") -> v.Plate:
        send = c.ReadPicture(set="0f" * 16, picture="60", says=says)
        return v.Plate(word=say(f"check.{says}"), claim=claim, send=send)

    return v.ReadingView(
        head=replace(head(long=long), rings=(), now="", of="", sub=""),
        hand=BACK_HAND,
        title=say("readings.question"),
        help=say("readings.at", n=58 if long else 3, of=60 if long else 10),
        picture=picture,
        sha256="",
        none=say("readings.no_picture"),
        no=plate("no", say("readings.no_claim")),
        unsure=plate("unsure"),
        yes=plate("yes", say("readings.yes_claim")),
    )


def picture(*, long: bool = False, file: str = "") -> v.PictureView:
    """A reference picture that waits; two versions stand behind it."""
    names = "Maximiliana Featherstonehaugh and Bartholomew Cholmondeley" if long else "Mara Quill"
    return v.PictureView(
        head=replace(head(long=long), rings=(), now="", of="", sub=""),
        hand=BACK_HAND,
        title="Bone or grit",
        help=say("references.on", type=ITEM_48 if long else "Suction tube"),
        picture=file,
        sha256="",
        none=say("references.no_picture"),
        changed=say("pictures.changed"),
        lines=(say("references.waits", n=1), say("references.so_far", names=names)),
        page=1,
        pages=3,
        page_words=say("page.words", n=2, of=3),
        previous=key("page.previous", c.Turn(page=c.Page.REFERENCE, subject="RF-10002"), icon="arrow_left"),
        next=key("page.next", c.Turn(page=c.Page.REFERENCE, subject="RF-10001"), icon="arrow_right"),
        main=key("references.agree", c.AgreeReference(number="RF-10003"), main=True, icon="arrow_right"),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every view of looking again, by a name for its picture."""
    del small
    return {
        "second_look": second_look(),
        "second_look_long": second_look(long=True),
        "reading": reading(),
        "reading_long": reading(long=True),
        "picture": picture(),
        "picture_long": picture(long=True),
    }
