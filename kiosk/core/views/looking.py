"""Views of looking again: what a second person is asked."""

from dataclasses import dataclass

from kiosk.core.views.shared import Band, Key, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLookView(Screen):
    """What the second person sees: the question, the piece, the place, the picture. Nothing of the first answer.

    `picture` names a kept picture, "" where none was taken; `none` says so. `keys` stand in one row, the good one at
    the side of YES.
    """

    band: Band
    place: str
    picture: str
    none: str
    keys: tuple[Key, ...]
