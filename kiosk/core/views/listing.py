"""A view of rows: what waits, what is open, figures with what lies behind them. A page at a time, never scrolled."""

from dataclasses import dataclass

from kiosk.core.commands import Send
from kiosk.core.views.shared import Key, Screen


@dataclass(frozen=True, slots=True, kw_only=True)
class ListRow:
    """One row: what it is, a second line about it, a short value at its right. `send` None: nothing to open."""

    title: str
    sub: str = ""
    value: str = ""
    icon: str = ""
    picture: str = ""  # a kept picture, shown in small
    send: Send | None = None
    name: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ListView(Screen):
    """The rows of a page (`page` of `pages`, from 0), or one sentence where there are none; keys at the foot."""

    rows: tuple[ListRow, ...]
    nothing: str
    page: int
    pages: int
    page_words: str
    previous: Key
    next: Key
    main: Key | None = None
    others: tuple[Key, ...] = ()
    kept: int = 0  # places at the foot that stay free for keys that come later: the pager never moves into them
