"""Views of the reading practice: a picture that is asked, and a picture with words about it."""

from dataclasses import dataclass

from kiosk.core.views.shared import Key, Plate, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView(Screen):
    """One picture of a set, asked blind. `picture` names a kept picture; `none`: said where it does not lie here.

    Where it does not lie here there are no answers: nobody answers what they did not see.
    """

    picture: str
    none: str
    no: Plate
    unsure: Plate
    yes: Plate


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureView(Screen):
    """A kept picture, large, with lines about it; a picture a page. `main`: what may be done with it."""

    picture: str
    none: str
    lines: tuple[str, ...]
    page: int
    pages: int
    page_words: str
    previous: Key
    next: Key
    main: Key | None = None
