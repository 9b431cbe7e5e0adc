"""A page of rows cut from a list, with its keys: what every list on the screen shares."""

from collections.abc import Sequence

from kiosk.core.commands import Page, Turn
from kiosk.core.glance import Glance, back_hand, head
from kiosk.core.views import Hand, Head, Key, ListRow, ListView

ROWS, ROWS_SMALL = 4, 3
_FROM = "@"
LINE, LINE_SMALL = 150, 75
"""Letters that a line under a title holds."""


def in_a_line(g: Glance, names: Sequence[str]) -> str:
    """As many names as one line holds; the rest is counted."""
    few = list(names[:1])
    for name in names[1:]:
        if len(", ".join((*few, name))) > (LINE_SMALL if g.small else LINE):
            break
        few.append(name)
    told, left = ", ".join(few), len(names) - len(few)
    return g.words.say("page.and_more", names=told, n=left) if left else told


def record_of(g: Glance, trip: str) -> Turn:
    """To the record of a trip, and from there back to the very page of the list that is shown now."""
    here = g.turn
    if here is None or here.page is None:
        return Turn(page=Page.TRIP, subject=trip)
    return Turn(page=Page.TRIP, subject=_FROM.join((trip, here.page, str(here.number), here.subject)))


def whose_record(g: Glance) -> tuple[str, Turn]:
    """Which trip's record is shown, and where its way back leads."""
    trip, *came = (g.turn.subject if g.turn else "").split(_FROM, 3)
    if not came:
        return trip, Turn(page=Page.DESK)
    page, number, subject = came
    return trip, Turn(page=Page(page), number=int(number), subject=subject)


def shown(g: Glance, many: int) -> slice:
    """Which rows of so many stand on the page that the turn asks for: where a row is dear, the others are not made."""
    size, at, _ = _cut(g, many)
    return slice(at * size, (at + 1) * size)


def _cut(g: Glance, many: int) -> tuple[int, int, int]:
    """Rows of a page, the page from 0, how many pages."""
    size = ROWS_SMALL if g.small else ROWS
    pages = max(1, -(-many // size))
    return size, min(g.turn.number if g.turn else 0, pages - 1), pages


def listed(
    g: Glance,
    rows: Sequence[ListRow],
    *,
    many: int | None = None,
    page: Page | None,
    subject: str = "",
    title: str,
    help_: str = "",
    nothing: str,
    hand: Hand | None = None,
    main: Key | None = None,
    others: tuple[Key, ...] = (),
    kept: int = 0,
    back: Turn | None = None,
    about: Head | None = None,
) -> ListView:
    """The page of `rows` that the turn asks for. `page` and `subject`: the turn that leads to the next ones.

    `back`: where the way back leads; None: to the work. `many`: how many rows there are, where `rows` are already those
    of this page. `about`: the head rail, where the rows are not about this station alone.
    """
    size, at, pages = _cut(g, len(rows) if many is None else many)
    here = rows if many is not None else rows[at * size : (at + 1) * size]
    before, after = (Turn(page=page, subject=subject, number=n) for n in (max(0, at - 1), min(pages - 1, at + 1)))
    return ListView(
        head=about or head(g),
        hand=hand or back_hand(g, to=back),
        title=title,
        help=help_,
        notice=g.said(),
        rows=tuple(here),
        nothing=nothing,
        page=at,
        pages=pages,
        page_words=g.words.say("page.words", n=at + 1, of=pages),
        previous=g.key("page.previous", before, icon="arrow_left"),
        next=g.key("page.next", after, icon="arrow_right"),
        main=main,
        others=others,
        kept=kept,
    )
