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


def panels(*, small: bool, alone: bool = False, empty: bool = False) -> v.PanelsView:
    """Charts on plates, or one alone with its words."""
    dots = tuple(
        v.Dot(value=n % 5, middle=2, lower=0, upper=4.5, label=f"{n + 1} Mar" if n % 7 == 0 else "", out=n == 9)
        for n in range(28)
    )
    ticks = tuple((float(n), f"{n} %") for n in range(6))
    chart = v.ChartDrawing(dots=dots, ticks=ticks, usual="usual 2 %", limit="usual limit")
    bars = v.BarsDrawing(bars=tuple(v.DrawnBar(words=f"Finding number {n}", n=9 - n) for n in range(4)))
    marks = v.MarksDrawing(shares=(0.1, 0.12, 0.5, 0.95), entry="ENTRY", tip="TIP", end="end", words="2 of 4", heap=0.1)
    turn = c.Turn(page=c.Page.NUMBERS)
    drawings: tuple[v.Drawing, ...] = (chart, bars, marks, bars)
    made = tuple(
        v.Panel(
            title="" if alone else f"Panel {n + 1}", drawing=None if empty else drawing, note="12 more without a place",
            nothing="Nothing was found in these days. Good.", send=turn, name=f"panel {n}",
        )
        for n, drawing in enumerate(drawings)
    )  # fmt: skip
    return v.PanelsView(
        head=head(),
        hand=BACK_HAND,
        title="212 lumens looked at. 9 were not clear.",
        help="Nothing stands out.",
        panels=made[:1] if alone else made[: 2 if small else 4],
        lines=("Usual is 23 of 2312, over all points shown.",) if alone and not small else (),
        main=key("decision.main.item_back", c.Turn(), main=True),
        others=(key("decision.other.tray_back", c.Turn()),),
    )


def every(*, small: bool) -> dict[str, v.View]:
    """Every list, by a name for its picture."""
    return {
        "list": listing(small=small),
        "list_long": listing(small=small, long=True),
        "list_plain": listing(small=small, keys=False),
        "list_one_page": listing(small=small, rows=2, pages=1),
        "panels": panels(small=small),
        "panels_alone": panels(small=small, alone=True),
        "panels_empty": panels(small=small, empty=True),
        "list_empty": listing(small=small, rows=0, pages=1),
    }
