"""Screens made of the parts alone, with invented contents, on the three panels."""

from dataclasses import replace
from decimal import Decimal
from typing import Literal

from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.place import Place
from kiosk.core.views import Band, Flag, Hand, Head, Key, Plate, Ring
from kiosk.core.vocabulary import Feature
from kiosk.ui.parts.answers import AnswerRow, ToGo
from kiosk.ui.parts.band import LumenBand
from kiosk.ui.parts.frame import ScreenFrame
from kiosk.ui.parts.glass import Glass, new_glass
from kiosk.ui.parts.keypad import KeyPad
from kiosk.ui.parts.keys import KeyButton
from kiosk.ui.parts.letters import LetterPad
from kiosk.ui.parts.pages import Pager
from kiosk.ui.parts.ring import RingMark
from kiosk.ui.parts.words import Panel, Words
from kiosk.ui.theme import BENCH, BOLD, EXTRA, T, Tokens

PANELS: dict[str, tuple[tuple[int, int], float]] = {
    "15.6 in": ((1920, 1080), 5.58),
    "10.1 in": ((1280, 800), 5.89),
    "24 in": ((1920, 1080), 3.61),
}
RINGS: tuple[Ring, ...] = ("clear", "clear", "found", "clear", "now", "todo", "todo", "todo", "todo")
SUCTION = Lumen(
    name="only lumen",
    inside_mm=Decimal("3.0"),
    length_mm=Decimal(250),
    features=frozenset({Feature.SIDE_HOLE}),
    landmarks=(Landmark(name="thumb hole", at_mm=Decimal(40)), Landmark(name="side holes", at_mm=Decimal(241))),
)
HEAD = Head(
    title="General tray 12",
    sub="Suction tube 10 Fr  ·  only lumen",
    short="Tray 12 · Suction tube 10 Fr",
    rings=RINGS,
    now="5",
    of="of 9",
    who="Rosa M.",
    bench="Bench 3",
)
BAND = Band(lumen=SUCTION, seen="light", entry="ENTRY", tip="TIP", entry_note="handle end", tip_note="patient end")
NO = Plate(word="NO", claim="I saw something", note="Mark what and where")
YES = Plate(word="YES", claim="clear end to end", note="Go to the next lumen")
UNSURE = Plate(word="CAN’T TELL", claim="", note="Look again or get a second look")
AID = "Hurt or splashed"
CHANGE = Key(label="Change last answer", icon="arrow_left", name="change")
STOP = Key(label="Stop here, keep my place", icon="stop", name="stop")
FINDINGS = (
    ("Red or red-brown mark", "smear"),
    ("Bone or grit", "grit"),
    ("Lint or fiber", "fiber"),
    ("Clear water, no color", "water"),
    ("Rust spot or pits", "rust"),
    ("Not sure", "question"),
)


class Clock:
    """Milliseconds that a test moves on."""

    def __init__(self) -> None:
        self.now = 10_000

    def __call__(self) -> int:
        return self.now


def glass_of(panel: str, tokens: Tokens = BENCH, clock: Clock | None = None) -> Glass:
    """A glass whose clock stands still unless it is moved."""
    size, density = PANELS[panel]
    return new_glass(size, density, tokens, clock or Clock())


def settle(frame: ScreenFrame, clock: Clock | None = None) -> ScreenFrame:
    """Show a screen and let its guard time pass."""
    frame.show()
    steady = clock or frame.glass.guard.clock
    assert isinstance(steady, Clock)
    steady.now += 1000
    return frame


def check_screen(
    glass: Glass,
    *,
    looking: bool = False,
    notice: str = "",
    answered: str = "",
    swapped: bool = False,
    title: str = "Is the lumen clear of soil, end to end?",
) -> ScreenFrame:
    """A check with its answers, as the bench sees it most."""
    if swapped:
        glass = replace(glass, yes_left=True, left_hand=True)
    frame = ScreenFrame(glass)
    small = glass.metrics.small
    frame.show_head(replace(HEAD, notice=notice), "14:07")
    facts = () if small else ("Bore 3.0 mm", "Length 250 mm")
    frame.show_question(
        title, "" if small else "Soil is anything that does not belong: red, brown, wet, gritty, fluffy, flaky.", facts
    )
    left = (CHANGE,) if small else (CHANGE, STOP)
    right = (
        (Key(label="Stop here", icon="stop", name="stop"),)
        if small
        else (
            Key(label="What soil looks like", icon="camera", name="soil"),
            Key(label="Wipe screen", icon="wipe", name="wipe"),
        )
    )
    frame.show_hand(Hand(left=left, right=right, aid=AID))
    band = LumenBand(glass)
    band.show_band(BAND)
    frame.place_wide(band, 0, glass.metrics.band_mm)
    answers = AnswerRow(glass, NO, YES, UNSURE)
    top = glass.metrics.band_mm + (4 if small else 8)
    frame.place(answers, 0, top, glass.metrics.content_mm, glass.metrics.answers_mm)
    if looking:
        band.set_front(0.58, "The light shows a steady pace, not your scope.")
        answers.set_yes_asleep(
            ToGo(number="10", words="cm to go", share=0.58, claim="opens at the tip", note="Keep looking to the end")
        )
    answers.set_answered(answered)
    return frame


def finding_screen(glass: Glass) -> ScreenFrame:
    """What and where, with the sentence read back."""
    frame, small = ScreenFrame(glass), glass.metrics.small
    frame.show_head(HEAD, "14:09")
    frame.show_question("Where is it? Touch the lumen.", big=False)
    back, save = (
        Key(label="Back", icon="arrow_left", name="back"),
        Key(label="Save finding", icon="arrow_right", kind="main", name="save"),
    )
    remove, picture = (
        Key(label="Remove this mark", name="remove"),
        Key(label="Add a picture", icon="camera", name="picture"),
    )
    left, right = ((back,), (save,)) if small else ((back, remove), (picture, save))
    frame.show_hand(Hand(left=left, right=right, aid=AID))
    band = LumenBand(glass, stations=True)
    flag = Flag(number=1, place=Place(lumen="only lumen", at_mm=130), say="13 cm")
    high = 42.5 if small else 57.0
    frame.place_wide(band, 0, high)
    band.show_band(
        replace(BAND, flags=(flag,)),
        cm_from="cm from ENTRY",
        all_along="All along",
    )
    band.set_chosen(130)
    edge = glass.metrics.edge_mm
    if not small:
        frame.place(Words(glass, "What is it?", size=T.T5, weight=BOLD), edge, high + 4, 100, 10)
    columns, wide, tall, gap, top = (3, 46.0, 18.0, 5.0, high + 3.4) if small else (3, 77.0, 26.0, 6.0, high + 17.0)
    for n, (label, icon) in enumerate(FINDINGS):
        key = KeyButton(glass, label, icon=icon, action="what", payload=label, tone="found", chosen=n == 0)
        frame.place(
            key, edge + (n % columns) * (wide + gap), top + n // columns * (tall + (4 if small else 6)), wide, tall
        )
    left_mm = edge + columns * (wide + gap)
    panel_wide = glass.metrics.content_mm - edge - left_mm
    frame.place(
        Panel(glass, "found_tint"), left_mm, top if small else high + 6, panel_wide, 2 * tall + 4 if small else 72
    )
    if small:
        frame.place(
            Words(glass, "NOT clear", size=T.T3, weight=EXTRA, fg="found", bg="found_tint"),
            left_mm + 4,
            top + 3,
            panel_wide - 8,
            6,
        )
        frame.place(
            Words(
                glass,
                "Red or red-brown mark, 13 cm from ENTRY",
                size=((T.T2, 3), (T.T1, 4)),
                bg="found_tint",
                weight=BOLD,
                pitch=1.5,
            ),
            left_mm + 4,
            top + 11,
            panel_wide - 6,
            28,
        )
        return frame
    frame.place(RingMark(glass, "found", bg="found_tint"), left_mm + 4, high + 10, 13, 13)
    for text, size, weight, fg, y in (
        ("You are saying", T.T2, 400, "ink2", 10.5),
        ("NOT clear", T.T4, EXTRA, "found", 17),
    ):
        frame.place(
            Words(glass, text, size=size, weight=weight, fg=fg, bg="found_tint"),
            left_mm + 20,
            high + y,
            panel_wide - 22,
            7,
        )
    frame.place(
        Words(glass, "Red or red-brown mark", size=((T.T4, 1), (T.T3, 1), (T.T2, 2)), weight=BOLD, bg="found_tint"),
        left_mm + 4,
        high + 27,
        panel_wide - 8,
        10,
    )
    frame.place(
        Words(glass, "13 cm in from ENTRY", size=((T.T3, 1), (T.T2, 2)), weight=BOLD, bg="found_tint"),
        left_mm + 4,
        high + 38,
        panel_wide - 8,
        8,
    )
    frame.place(
        KeyButton(
            glass, "1 cm", icon="arrow_left", action="move", payload=-10, name="less", repeats=True, ground="found_tint"
        ),
        left_mm + 4,
        high + 53,
        32,
        20,
    )
    frame.place(
        KeyButton(
            glass,
            "1 cm",
            icon="arrow_right",
            icon_right=True,
            action="move",
            payload=10,
            name="more",
            repeats=True,
            ground="found_tint",
        ),
        left_mm + 41,
        high + 53,
        32,
        20,
    )
    return frame


def pin_screen(glass: Glass, entry: Literal["rings", "digits"] = "rings") -> ScreenFrame:
    """A number pad."""
    frame = ScreenFrame(glass)
    frame.show_head(Head(title="Bench 3", bench="Bench 3"), "06:58")
    frame.show_question("Rosa M., touch your number", big=False)
    frame.show_hand(Hand(left=(Key(label="Back", icon="arrow_left", name="back"),), aid=AID))
    pad = KeyPad(
        glass, entry=entry, least=4, most=6, erase="Erase", done="Go on", prefix="" if entry == "rings" else "TR-"
    )
    wide, high = pad.size_mm()
    frame.place(pad, (glass.metrics.content_mm - wide) / 2, (frame.slot_mm[1] - high) / 2, wide, high)
    for digit in "0417":
        pad.press(digit)
    return frame


def note_screen(glass: Glass) -> ScreenFrame:
    """Letters."""
    frame = ScreenFrame(glass)
    frame.show_head(HEAD, "14:20")
    frame.show_question("Why is it held? A few words.", big=False)
    frame.show_hand(Hand(left=(Key(label="Back", icon="arrow_left", name="back"),), aid=AID))
    pad = LetterPad(glass, most=60, space="Space", erase="Erase", done="Go on")
    edge = glass.metrics.edge_mm
    frame.place(pad, edge, 0, glass.metrics.content_mm - 2 * edge, frame.slot_mm[1] - (1 if glass.metrics.small else 4))
    for letter in "Spare is at the washer":
        pad.press(letter)
    return frame


def list_screen(glass: Glass) -> ScreenFrame:
    """Rows and a pager."""
    frame = ScreenFrame(glass)
    frame.show_head(HEAD, "14:21")
    frame.show_question("Scan the next tray", "Hold the scanner 10 to 20 cm from the label.", big=False)
    frame.show_hand(
        Hand(left=(STOP,), right=(Key(label="Go on: lumen 5", icon="arrow_right", kind="main", name="go"),), aid=AID),
        words="" if glass.metrics.small else "Tray sheet prints after lumen 9",
    )
    edge = glass.metrics.edge_mm
    for n, label in enumerate(("General tray 12, lumen 5 of 9", "Eye tray 3, lumen 2 of 4")):
        key = KeyButton(glass, label, icon="arrow_right", icon_right=True, action="kept", payload=n, name=f"kept {n}")
        key.role = "row"
        frame.place(key, edge, 4 + n * 24, glass.metrics.content_mm - 2 * edge, 20)
    pager = Pager(glass)
    pager.show_page(
        "Page 2 of 3",
        Key(label="Before", icon="arrow_left", name="before"),
        Key(label="After", icon="arrow_right", name="after"),
        first=False,
        last=False,
    )
    frame.place(pager, edge, frame.slot_mm[1] - 22, glass.metrics.content_mm - 2 * edge, 18)
    return frame
