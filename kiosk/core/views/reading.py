"""Views of the reading practice: a picture that is asked, and a picture with words about it."""

from dataclasses import dataclass

from kiosk.core.views.shared import Key, Plate, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingView(Screen):
    """One picture of a set, asked blind. `picture` names a kept picture; `none`: said where it does not lie here.

    Where it does not lie here there are no answers: nobody answers what they did not see. `sha256`: of the picture as
    it was kept; bytes that are others are not shown.
    """

    picture: str
    sha256: str
    none: str
    no: Plate
    unsure: Plate
    yes: Plate


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureView(Screen):
    """A kept picture, large, with lines about it; a picture a page. `main`: what may be done with it.

    `none`: said where it does not lie here. `sha256`: of the picture as it was kept; where the file is another one now
    it is not shown, and `changed` is said.
    """

    picture: str
    sha256: str
    none: str
    changed: str
    lines: tuple[str, ...]
    page: int
    pages: int
    page_words: str
    previous: Key
    next: Key
    main: Key | None = None
