"""Views of decontam's station: the number alone, and one return in letters to be read through a face shield."""

from dataclasses import dataclass

from kiosk.core.views.shared import Band, Key, Ring, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class IdleView(Screen):
    """What is next, readable from across the room: its number alone, or one sentence where nothing waits."""

    number: str
    said: str  # what it is about, under the number
    more: str  # how many more wait
    nothing: str  # instead of the number
    open: Key | None  # the number is one key


@dataclass(frozen=True, slots=True, kw_only=True)
class IntakeView(Screen):
    """One return: what, where, how it was found, what to do; taken in, then answered.

    `title` is what came, a piece or a whole tray, `help` the tray or the piece.
    `keys` in one row at the foot; the answer given is `chosen`, by its name.
    """

    number: str
    ring: Ring
    word: str  # NOT CLEAR
    scope: str  # THIS PIECE or WHOLE TRAY
    said: str
    band: Band | None
    todo: tuple[str, ...]  # what to do, most important first
    lines: tuple[str, ...]  # smaller: how found, load, warnings
    photo: str  # file name of the picture, "" without one
    photo_sha256: str  # of its bytes as they were kept: a file that is another one now is not shown
    photo_words: str
    next_title: str
    next: tuple[Key, ...]
    keys: tuple[Key, ...]  # I have it, it is not here; or the answers
    chosen: str = ""
