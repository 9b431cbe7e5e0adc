"""Views that ask: sign-in, scan, count, check, finding."""

from dataclasses import dataclass
from typing import Literal

from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.commands import Send
from kiosk.core.views.shared import Band, Flag, Key, Plate, Ring, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInView(Screen):
    """Scan your badge; or touch your name."""

    people: tuple[Key, ...]
    line: str
    warning: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PinView(Screen):
    """Big keys for the PIN of one person. Sends EnterPin made from `person`, `ruling` and `second`.

    With `again` it is a new PIN: typed a second time under that title, then SetPin is sent; `differs` says that the
    two were not alike, and the first is asked again. `send`: what is sent in SetPin's place, with the PIN put in.
    """

    person: str
    ruling: bool
    second: str = ""
    again: str = ""
    differs: str = ""
    send: Send | None = None
    least: int
    most: int
    erase: str
    done: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AskView(Screen):
    """One question with YES on the good side: a check of a tray, the start-up, "covered?", "came out readable?".

    `yes_opens_ms`: YES sleeps so long after the view appears (look_time: wait). `sends_pace`: the answer wants the
    time on screen (`Answer.took_ms`), which the screen fills in.
    """

    no: Plate
    yes: Plate
    unsure: Plate | None = None
    band: Band | None = None
    yes_opens_ms: int = 0
    to_go: str = ""  # "cm to go"
    opens: str = ""  # what a sleeping YES claims and says meanwhile
    keep_looking: str = ""
    pace_words: str = ""
    length_cm: int = 0
    sends_pace: bool = False
    steps: tuple[str, ...] = ()  # short lines under the question where there is no tube


@dataclass(frozen=True, slots=True, kw_only=True)
class ScanView(Screen):
    """Scan the next tray; the trays kept for later."""

    kept_title: str
    kept: tuple[Key, ...]
    nothing: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NumberView(Screen):
    """Big digits for a number. `purpose`: tray, weight, minutes. `units`: keys of units to choose (kg, lb).

    `other`: `send` is sent with the number put into its `field` (text where `decimals`, else a whole number).
    """

    purpose: Literal["tray", "weight", "minutes", "other"]
    send: Send | None = None
    field: str = ""
    prefixes: tuple[str, ...] = ()  # TR-, W-, K-: what the number begins with
    units: tuple[str, ...] = ()
    decimals: bool = False
    as_text: bool = False  # figures without a point that are sent as they are typed: a time of day
    most: int = 8
    done: str
    erase: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OverviewLumen:
    """One lumen of an overview row. `found_words` and `flags` where it is not clear."""

    lumen: Lumen
    name: str
    ring: Ring
    state: str
    detail: str = ""
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class OverviewRow:
    """One piece. `send` None: nothing to open there any more."""

    number: int
    name: str
    sub: str
    lumens: tuple[OverviewLumen, ...]
    state: str
    ring: Ring
    next: bool
    send: Send | None


@dataclass(frozen=True, slots=True, kw_only=True)
class OverviewView(Screen):
    """The tray at one common scale, six rows a page (`page` of `pages`, from 0)."""

    warning: str
    rows: tuple[OverviewRow, ...]
    page: int
    pages: int
    page_words: str
    longest_mm: int
    previous: Key
    next: Key


@dataclass(frozen=True, slots=True, kw_only=True)
class CountRow:
    """A line of the count sheet. `have` None: not counted yet."""

    line: str
    name: str
    want: int
    have: int | None
    state: str  # "", "as listed", "short 1", "1 too many"
    pad: Send | None = None  # its number opens a pad: many alike pieces are never counted by tapping


@dataclass(frozen=True, slots=True, kw_only=True)
class CountView(Screen):
    """The count, a page of lines. Minus and plus send CountLine; `all` sends CountAll for the page's lines.

    `by`: the second person, who counts here without seeing the first one's numbers.
    """

    rows: tuple[CountRow, ...]
    page: int
    pages: int
    page_words: str
    all: str
    wanted: str  # column head
    there: str
    previous: Key
    next: Key
    differs: Key | None  # shown when every line has its number and one differs
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A finding to choose: its code, words, icon, and whether a place is asked."""

    code: str
    label: str
    icon: str
    wants_place: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingView(Screen):
    """What is it, and where. The screen holds the two choices and sends ReportFinding when both are made."""

    what: str
    where: str
    band: Band | None
    lumen: str
    landmarks: tuple[Landmark, ...]
    landmark_words: tuple[str, ...]  # as they are read, in the same order
    choices: tuple[Choice, ...]  # at most six, "not sure" last
    more: tuple[Choice, ...]  # everything else, behind `more_word`
    more_word: str
    fewer_word: str
    all_along: str
    cm_from: str
    saying: str
    saying_word: str
    touch_first: str
    choose_first: str
    previous_word: str
    next_word: str
