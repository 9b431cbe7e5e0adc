"""What the sample views share: the words of the bench, invented names at their usual and longest, rails, a tube."""

from dataclasses import replace
from decimal import Decimal

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.place import Place

WORDS = resources.words()
say, lines = WORDS.say, WORDS.lines
TRAY_48 = "Arthroscopy hand instruments and cannulas, set 7"
LANDMARK_48 = "Small side holes near the bulb, second row, left"
ITEM_48 = "Shaver handpiece with long suction channel 4.5 m"
LUMEN_24 = "suction channel, up left"
NOTE_120 = (
    "Gray streak near the window teeth, does not lift off. To the repair shelf. Swab lot 4471, seen twice. " * 2
)[:120]
assert len(TRAY_48) == len(ITEM_48) == len(LANDMARK_48) == 48
assert len(NOTE_120) == 120


def key(
    words: str, send: c.Send | None, *, icon: str = "", main: bool = False, name: str = "", **names: object
) -> v.Key:
    """A key with words by their key, as the viewing makes it."""
    return v.Key(label=say(words, **names), send=send, icon=icon, kind="main" if main else "plain", name=name or words)


AID = say("rail.aid")
SINCE = 1_000_000  # ms, when something began
RINGS: tuple[v.Ring, ...] = ("clear", "clear", "found", "clear", "now", "todo", "todo", "unsure", "todo")
CHANGE = key("rail.change", c.TakeBack(), icon="arrow_left")
BACK = key("rail.back", c.Turn(), icon="arrow_left")
STOP = key("rail.stop", c.Turn(page=c.Page.STOP), icon="stop_here")
STOP_SHORT = key("rail.stop_short", c.Turn(page=c.Page.STOP), icon="stop_here")
WIPE = key("rail.wipe", c.Turn(page=c.Page.WIPE), icon="wipe")
SUPERVISOR = key("rail.supervisor", c.Turn(page=c.Page.NAMES, subject="ruling:"), icon="lock")


def head(*, long: bool = False, notice: str = "") -> v.Head:
    """The head rail of a tray."""
    title, sub = (
        (TRAY_48, f"{ITEM_48} · {LUMEN_24}") if long else ("General tray 12", "Suction tube 10 Fr · only lumen")
    )
    return v.Head(
        title=title,
        sub=sub,
        short=f"{title} · {sub}",
        rings=RINGS,
        now="5",
        of="of 9",
        who="Rosa M.",
        bench="Bench 3",
        notice=notice,
    )


def work(*, small: bool, change: bool = True) -> v.Hand:
    """The hand rail of the work."""
    left = (CHANGE,) if change else ()
    if small:
        return v.Hand(left=left, right=(STOP_SHORT,), aid=AID)
    return v.Hand(left=(*left, STOP), right=(WIPE,), aid=AID)


BACK_HAND = v.Hand(left=(BACK,), aid=AID)
TUBE = Lumen(
    name="only lumen",
    inside_mm=Decimal("3.0"),
    length_mm=Decimal(250),
    landmarks=(Landmark(name="thumb hole", at_mm=Decimal(40)),),
)
CHANNEL = Lumen(name=LUMEN_24, inside_mm=Decimal("2.8"), length_mm=Decimal(445))


def band(*, long: bool = False, at_mm: int = 130) -> v.Band:
    """A tube with its mark."""
    lumen = CHANNEL if long else TUBE
    flag = v.Flag(number=1, place=Place(lumen=lumen.name, at_mm=at_mm), say=say("place.at", cm=at_mm // 10))
    return v.Band(
        lumen=lumen,
        flags=(flag,),
        entry=say("band.entry"),
        tip=say("band.tip"),
        entry_note=say("band.entry_note"),
        tip_note=say("band.tip_note"),
    )


def band_named(*, at_mm: int) -> v.Band:
    """A tube with a mark at a landmark with the longest of names."""
    lumen = replace(TUBE, landmarks=(Landmark(name=LANDMARK_48, at_mm=Decimal(at_mm)),))
    flag = v.Flag(number=1, place=Place(lumen=lumen.name, landmark=LANDMARK_48), say=LANDMARK_48)
    return replace(band(), lumen=lumen, flags=(flag,))


class Wall:
    """The wall clock in ms, as a test sets it."""

    def __init__(self, now: int) -> None:
        self.now = now

    def __call__(self) -> int:
        return self.now
