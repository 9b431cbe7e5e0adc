"""The parts that views are made of: keys, rails, rings, the lumen band, answer plates."""

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

from kiosk.core.catalogue import Lumen
from kiosk.core.commands import Send
from kiosk.core.place import Place

Ring = Literal["clear", "found", "unsure", "now", "todo"]
"""State of a lumen as a ring: open, with a lump, broken and hatched, the one being looked at, not yet looked at."""

KeyKind = Literal["plain", "main", "quiet"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Key:
    """A key: one or two words a line, an icon name, and what it sends. `send` None: the screen fills it in."""

    label: str
    send: Send | None = None
    icon: str = ""
    kind: KeyKind = "plain"
    name: str = ""  # what the key is to tests and the screen reader, when the label is not enough


@dataclass(frozen=True, slots=True, kw_only=True)
class Head:
    """The head rail: no touch but on its notice, which may lead to what it is about. `rings` a lumen each."""

    title: str
    sub: str = ""
    short: str = ""  # the one line of the 10-inch screen
    least: str = ""  # what of it must always stand: the piece and the lumen
    rings: tuple[Ring, ...] = ()
    now: str = ""  # number inside the ring being looked at
    of: str = ""
    who: str = ""
    bench: str = ""
    notice: str = ""  # printer, network: drawn with a triangle
    notice_short: str = ""  # the same where there is no room
    about: Send | None = None  # where a touch on the notice leads


@dataclass(frozen=True, slots=True, kw_only=True)
class Hand:
    """The hand rail's keys left and right of the aid key, which is always there."""

    left: tuple[Key, ...] = ()
    right: tuple[Key, ...] = ()
    aid: str = ""  # the aid key's words


@dataclass(frozen=True, slots=True, kw_only=True)
class Flag:
    """A finding's mark on a tube. `say` is its place in words ("13 cm", "window teeth")."""

    number: int
    place: Place
    say: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """The lumen band: one tube in section, or none (a check of the whole piece): then `words` stand on the line."""

    lumen: Lumen | None = None
    seen: Literal["dark", "light", "part"] = "dark"
    flags: tuple[Flag, ...] = ()
    enter_from: Literal["entry", "tip"] = "entry"  # which end the tool goes in
    entry: str = ""  # ENTRY
    tip: str = ""  # TIP, or CLOSED END
    entry_note: str = ""
    tip_note: str = ""
    words: str = ""
    told: Callable[[str], str] = field(default=str, compare=False, repr=False)  # says the words of the drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One of the answer plates: the big word, its claim, its small line, and what it sends."""

    word: str
    claim: str
    note: str = ""
    send: Send | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """What every view has. `notice` is one quiet sentence about the last act ("That was 2 seconds. ...")."""

    head: Head
    hand: Hand
    title: str
    help: str = ""
    facts: tuple[str, ...] = ()
    notice: str = ""
    scan_hint: str = ""
