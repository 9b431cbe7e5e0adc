"""Lists as they come and at their longest."""

from kiosk.core import commands as c
from kiosk.core import views as v
from tests.ui.screens.rails import BACK_HAND, ITEM_48, head, key, say


def listing(*, small: bool, rows: int = 4, pages: int = 2, long: bool = False, keys: bool = True) -> v.ListView:
    """A page of rows: every second one opens something."""
    size = min(rows, 3 if small else 4)
    made = tuple(
        v.ListRow(
            title=ITEM_48 if long else f"General tray {n + 1}",
            sub="TR-0741 · waits for Shaver blade reusable 4.5 · since 09:12 (5 h 41 min)" if long else "since 09:12",
            value="2 of 118 lumens" if long else "3 h 20",
            icon="arrow_right" if n % 2 == 0 else "",
            send=c.Turn(page=c.Page.DESK, number=n) if n % 2 == 0 else None,
            name=f"row {n}",
        )
        for n in range(size)
    )
    return v.ListView(
        head=head(),
        hand=BACK_HAND,
        title="On the hold shelf, oldest first",
        help="Touch a tray to see what it waits for.",
        rows=made,
        nothing="Nothing waits. What is held will stand here.",
        page=0,
        pages=pages,
        page_words=say("page.words", n=1, of=pages),
        previous=key("page.previous", c.Turn(page=c.Page.DESK), icon="arrow_left"),
        next=key("page.next", c.Turn(page=c.Page.DESK, number=1), icon="arrow_right"),
        main=key("decision.main.item_back", c.Turn(), main=True) if keys else None,
        others=(key("decision.other.tray_back", c.Turn()),) if keys and not small else (),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every list, by a name for its picture."""
    return {
        "list": listing(small=small),
        "list_long": listing(small=small, long=True),
        "list_plain": listing(small=small, keys=False),
        "list_one_page": listing(small=small, rows=2, pages=1),
        "list_empty": listing(small=small, rows=0, pages=1),
    }
