"""What views on test are made of: clock, glass, names at their longest, rails, keys and tubes."""

from decimal import Decimal

from kiosk.core import views
from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.commands import (
    Page,
    TakeBack,
    Turn,
)
from kiosk.core.vocabulary import Feature, Opening
from kiosk.resources import words
from kiosk.ui.parts.glass import Glass, new_glass
from kiosk.ui.theme import BENCH, Tokens

SIZES: dict[str, tuple[tuple[int, int], float]] = {
    "15.6 in": ((1920, 1080), 5.58),
    "10.1 in": ((1280, 800), 5.89),
    "24 in": ((1920, 1080), 3.61),
}
say = words().say

LONG_TRAY = "Thoracoscopic lobectomy and decortication tray 12"[:48]
LONG_ITEM = "Suction irrigator with trumpet valve, long, left"
LONG_LUMEN = "irrigation channel, left"
LONG_LINE = "Towel clamp, perforating, curved, 13 cm, backhaus"[:40] + " no. 214"
LONG_PERSON = "Maximiliana-Rosa de la Villanueva y Montealegre"[:48]
assert {len(LONG_TRAY), len(LONG_ITEM), len(LONG_LINE)} == {48}
assert len(LONG_LUMEN) == 24


class Clock:
    """A clock that a test moves, in ms."""

    def __init__(self) -> None:
        self.ms = 1_000

    def __call__(self) -> int:
        return self.ms


def glass_of(size: str, clock: Clock | None = None, tokens: Tokens = BENCH) -> Glass:
    """The glass of one of the three screens."""
    pixels, per_mm = SIZES[size]
    return new_glass(pixels, per_mm, tokens, clock=clock or Clock())


def key(word: str, send: object = None, *, icon: str = "", kind: views.KeyKind = "plain", **names: object) -> views.Key:
    return views.Key(label=say(word, **names), send=send, icon=icon, kind=kind, name=word)  # type: ignore[arg-type]


def head(long: bool, *, rings: bool = True) -> views.Head:
    tray, piece = ("General tray 12", "Suction tube 10 Fr · only lumen")
    if long:
        tray, piece = LONG_TRAY, f"{LONG_ITEM} · {LONG_LUMEN}"
    row: tuple[views.Ring, ...] = ("clear", "clear", "found", "clear", "now", "todo", "todo", "todo", "todo")
    return views.Head(
        title=tray,
        sub=piece if rings else "",
        short=f"{tray} · {piece}" if rings else tray,
        rings=row if rings else (),
        now="5" if rings else "",
        of=say("rail.of", n=9) if rings else "",
        who=LONG_PERSON[:28] if long else "Rosa M.",
        bench="Bench 3",
        notice=say("rail.printer_down") if long else "",
    )


def work_hand(small: bool) -> views.Hand:
    change = key("rail.change", TakeBack(), icon="arrow_left")
    soil = key("rail.soil", Turn(page=Page.SOIL), icon="camera")
    if small:
        stop = key("rail.stop_short", Turn(page=Page.STOP), icon="stop_here")
        return views.Hand(left=(change,), right=(stop,), aid=say("rail.aid"))
    stop = key("rail.stop", Turn(page=Page.STOP), icon="stop_here")
    wipe = key("rail.wipe", Turn(page=Page.WIPE), icon="wipe")
    return views.Hand(left=(change, stop), right=(soil, wipe), aid=say("rail.aid"))


def back_hand(word: str = "rail.back", send: object | None = None) -> views.Hand:
    return views.Hand(left=(key(word, send or Turn(), icon="arrow_left"),), aid=say("rail.aid"))


def tube(name: str = "lumen", inside: str = "3.0", length: int | None = 250, **more: object) -> Lumen:
    mm = None if length is None else Decimal(length)
    return Lumen(name=name, inside_mm=Decimal(inside), length_mm=mm, **more)  # type: ignore[arg-type]


SUCTION = tube(features=frozenset({Feature.SIDE_HOLE}), landmarks=(Landmark(name="thumb hole", at_mm=Decimal(40)),))
SHAVER = tube(
    "inner tube", "2.9", 140, features=frozenset({Feature.TOOTHED, Feature.FENESTRATED}), open=Opening.ONE,
    landmarks=(Landmark(name="window teeth, inner tube", at_mm=Decimal(138)),),
)  # fmt: skip


def band(lumen: Lumen, *, seen: str = "dark", enter: str = "entry") -> views.Band:
    return views.Band(
        lumen=lumen,
        seen=seen,  # type: ignore[arg-type]
        enter_from=enter,  # type: ignore[arg-type]
        entry=say("band.entry"),
        tip=say("band.tip") if lumen.open is Opening.BOTH else say("band.closed"),
        entry_note=say("band.entry_note"),
        tip_note=say("band.tip_note"),
    )
