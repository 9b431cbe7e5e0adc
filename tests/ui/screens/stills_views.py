"""Views of pictures as they come and at their longest."""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.viewing.stills import SOURCES
from tests.ui.screens.rails import AID, BACK, ITEM_48, LUMEN_24, WORDS, band, head, key, say

DONE = key("camera.done", c.Turn(), icon="arrow_right", main=True, name="pictures done")
OF = c.KeepStill(
    trip="B1-7", taken_by="T1", piece="A1", lumen="bore", at_mm=None, file="", sha256="", size=0, width=0, height=0,
    source="camera",
)  # fmt: skip


def camera(
    *, long: bool = False, stills: int = 0, notice: str = "", of: c.KeepStill = OF, tube: bool = True
) -> v.CameraView:
    """The scope's picture, with so many stills kept before."""
    return v.CameraView(
        head=head(long=long),
        hand=v.Hand(left=(BACK,), right=(DONE,), aid=AID),
        title=say("camera.title"),
        help=f"{ITEM_48} · {LUMEN_24}" if long else "Suction tube 10 Fr · only lumen",
        notice=notice and say(notice),
        of=of,
        freeze=say("camera.freeze"),
        keep=say("camera.keep"),
        again=say("camera.again"),
        keeping=say("camera.keeping"),
        at=WORDS.texts["camera.at"],
        at_none=say("camera.at_none"),
        tube_title=say("camera.tube_title"),
        band=replace(band(long=long), flags=()) if tube else v.Band(),
        cm_from=say("finding.cm_from"),
        type_cm=say("camera.type_cm"),
        pad_title=say("camera.pad_title"),
        too_far=say("camera.too_far", cm=45),
        longest_cm=45,
        pad_erase=say("number.erase"),
        pad_done=say("camera.pad_done"),
        stills=tuple(
            v.StillShown(
                file=f"still_{n}.png",
                say=say("camera.no_place", n=n + 90) if long or n % 2 == 0 else say("place.at", cm=n),
            )
            for n in range(stills, 0, -1)
        ),
        none_yet=say("camera.none_given", reason=say("photo.reason_words.no_scope"))
        if long
        else say("camera.none_yet"),
        none=key("camera.none", c.Turn(page=c.Page.NO_STILL), name="no picture"),
        states=tuple((state, WORDS.texts[f"source.{state}"]) for state in SOURCES),
    )


def compare(*, long: bool = False, known: str = "known.png", sha256: str = "", accept: bool = True) -> v.StillsView:
    """Today's still beside the known look."""
    aim = c.Turn(page=c.Page.NAMES, subject="second:still-2:")
    return v.StillsView(
        head=head(long=long),
        hand=v.Hand(
            left=(BACK,),
            right=(
                key("compare.before", c.Turn(page=c.Page.STILLS, subject="1"), icon="arrow_left"),
                key("compare.after", c.Turn(page=c.Page.STILLS, subject="3"), icon="arrow_right"),
            )
            if long
            else (),
            aid=AID,
        ),
        title=say("compare.title"),
        help=f"{ITEM_48} · {LUMEN_24}" if long else "Suction tube 10 Fr · only lumen",
        today="today.png",
        today_say=say("compare.today", place=say("camera.no_place", n=12) if long else say("place.at", cm=13)),
        known=known,
        known_sha256=sha256,
        known_say=say(
            "compare.known_line" if long else "compare.known", who="Magdalena Vandenberghe", date="2031-03-04"
        )
        if known
        else say("compare.no_known"),
        aid=say("compare.aid"),
        show=say("compare.show"),
        hide=say("compare.hide"),
        working=say("compare.working"),
        no_fit=say("compare.no_fit"),
        not_read=say("compare.not_read"),
        nothing=say("compare.nothing"),
        not_here=say("compare.not_here"),
        not_accepted=say("compare.not_accepted"),
        accept=key("compare.accept", aim, name="second person accepts") if accept else None,
    )


def target(*, long: bool = False, read: bool = True) -> v.TargetView:
    """A scope's test target, read or not yet."""
    report = c.PrintReport(doc="scope_target")
    scope = "BS-2.7-LONG" if long else "BS-1.9"
    what = WORDS.say("target.and").join(WORDS.say(f"target.what.{each}") for each in ("sharp", "steps", "color"))
    lines = (
        say("target.at", time="2031-03-04 07:05", day="2030-11-28"),
        say("target.sharp", now=882, share=64),
        say("target.steps", now=8, first=10),
        say("target.color", shift="12.4"),
    )
    return v.TargetView(
        head=head(long=long),
        hand=v.Hand(left=(BACK,), right=(key("target.print", report, icon="printer", name="print target"),), aid=AID),
        title=say("target.title", scope=scope),
        help=say("target.help"),
        notice=say("notice.target.no_edge") if long else "",
        scope=scope,
        read=say("target.read"),
        reading=say("target.reading"),
        lines=lines if read else (say("target.none_yet"),),
        worse=say("target.worse", scope=scope, what=what) if read else "",
        decides=say("target.decides"),
        states=tuple((state, WORDS.texts[f"source.{state}"]) for state in SOURCES),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every view of pictures, by a name for its picture."""
    del small
    return {
        "camera": camera(),
        "test target": target(),
        "test target not read": target(read=False),
        "test target long": target(long=True),
        "camera_kept": camera(stills=3, notice="notice.still_too_dark"),
        "camera_long": camera(long=True, stills=5),
        "camera_none_long": camera(long=True),
        "compare": compare(),
        "compare_long": compare(long=True),
        "compare_alone": compare(known=""),
    }
