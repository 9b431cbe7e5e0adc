"""Views of the set-up that no other page has: a card to hold to the glass, dots to touch, a thing that is tried."""

from dataclasses import dataclass

from kiosk.core.views.shared import Key, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class CardView(Screen):
    """A badge card drawn so large as the panel is taken to be fine. `card_mm`: its size, wide and high.

    The screen makes it larger and smaller, and sends what `fits` says with pixels a millimeter put into its `value`.
    """

    card_mm: tuple[float, float]
    card: str  # words on the drawn card
    smaller: str
    larger: str
    fits: Key


@dataclass(frozen=True, slots=True, kw_only=True)
class DotsView(Screen):
    """Dots to be touched one after the other. `done`: sent with the offsets (mm right, mm down) in its `value`."""

    done: Key
    count: tuple[str, ...]  # "1 of 4" and so on


@dataclass(frozen=True, slots=True, kw_only=True)
class TrialView(Screen):
    """A part of the machine is tried: what it is about at the left, what can be said of it at the right.

    `code`: modules of a code to be scanned, rows from the top, True dark. Without one, the picture of the source
    stands there, or `words` where there is none.
    """

    code: tuple[tuple[bool, ...], ...] = ()
    code_text: str = ""
    words: str = ""
    lines: tuple[str, ...] = ()
    keys: tuple[Key, ...] = ()
