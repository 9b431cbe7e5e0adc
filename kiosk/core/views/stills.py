"""Views of pictures of a lumen: the live page where a still is frozen and kept; still beside known look."""

from dataclasses import dataclass

from kiosk.core.commands import KeepStill
from kiosk.core.views.shared import Band, Key, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class StillShown:
    """A kept still: its file in the picture folder, and its place in words."""

    file: str
    say: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraView(Screen):
    """The scope's picture as it comes. The screen freezes it, asks for its place, and has it kept.

    `of`: what a still frozen here is of; the file is filled in where it is kept. `at` has `cm`; `at_none` stands where
    nobody said; `too_far` is the pad's title where more centimeters are typed than the lumen has (`longest_cm`, 0
    where nobody knows). `band`: the tube whose marks may be touched instead, without a lumen where its length is not
    known; `cm_from` names what they count from, `type_cm` is the key to the pad. `states`: what is said of each state
    of the source, with `name` for a foreign file's.
    """

    of: KeepStill
    freeze: str
    keep: str
    again: str
    keeping: str
    at: str
    at_none: str
    tube_title: str
    band: Band
    cm_from: str
    type_cm: str
    pad_title: str
    too_far: str
    longest_cm: int
    pad_erase: str
    pad_done: str
    stills: tuple[StillShown, ...]
    none_yet: str
    none: Key
    states: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetView(Screen):
    """A scope's test target: the picture as it comes; `lines` what was read last, `worse` one sentence or "".

    `states`: as of CameraView.
    """

    scope: str
    read: str
    reading: str
    lines: tuple[str, ...]
    worse: str
    decides: str
    states: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StillsView(Screen):
    """After the answer: today's still beside the known look, turned onto each other; outlines off at first.

    `today`, `known`: files in the picture folder, `known` "" where there is none. `aid` stands on the page always.
    `working`, `no_fit`, `not_read`: what is said of the comparing. `nothing`: outlines are on, and there is none.
    `known_sha256`: of the picture that was accepted. Where the known look's file is another one now (`not_accepted`) or
    not at this station (`not_here`), it is not shown and nothing is compared with it.
    """

    today: str
    today_say: str
    known: str
    known_sha256: str
    known_say: str
    aid: str
    show: str
    hide: str
    working: str
    no_fit: str
    not_read: str
    nothing: str
    not_here: str
    not_accepted: str
    accept: Key | None
