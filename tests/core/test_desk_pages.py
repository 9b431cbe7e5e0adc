"""More than one page of anything: every row is on one page and one page only, and the way back leads there."""

import pytest

from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.past.counters import Book
from kiosk.core.past.counters import Shift as CountedShift
from kiosk.core.past.records import LogRecords
from kiosk.core.policy import Policy
from kiosk.core.stamp import local_time
from kiosk.core.viewing.rows import ROWS, ROWS_SMALL, listed
from tests.core.department import PIN, Shift
from tests.core.test_desk import rows
from tests.paper.crowded import MANY, crowded


@pytest.fixture(autouse=True)
def counted_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """The crowded shift stands still here: each of its books is folded once and not for every page."""
    books: dict[tuple[CountedShift, int], Book] = {}
    count = LogRecords.book

    def book(self: LogRecords, shift: CountedShift, policy: Policy, until_ms: int) -> Book:
        key = (shift, len(list(self.kept("tray_opened"))))
        if key not in books:
            books[key] = count(self, shift, policy, until_ms)
        return books[key]

    monkeypatch.setattr(LogRecords, "book", book)


def test_two_hundred_trips_behind_a_figure_stand_on_fifty_pages_each_once() -> None:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin=PIN))
    every = [v.ListRow(title=f"Trip {n}", name=f"trip {n}") for n in range(200)]
    for small, size in ((False, ROWS), (True, ROWS_SMALL)):
        shift.session.small = small
        seen: list[v.ListRow] = []
        turn = c.Turn(page=Page.FIGURE, subject="x")
        while True:
            shift.session.turn = turn
            view = listed(shift.session.glance(), every, page=Page.FIGURE, subject="x", title="", nothing="")
            assert len(view.rows) <= size
            seen += view.rows
            if view.page == view.pages - 1:
                break
            assert isinstance(view.next.send, c.Turn)
            turn = view.next.send
        assert seen == every


def test_forty_holds_and_forty_tickets_all_stand_in_the_lists_of_the_desk() -> None:
    shift = crowded()
    for page in (Page.NEEDS, Page.HANDOVER):
        told = rows(shift, page)
        for n in range(MANY):
            assert sum(f"TR-{1000 + n}" in row.title and row.name.startswith("hold") for row in told) == 1
        assert sum(row.name.startswith("ticket") for row in told) == MANY


def test_a_row_of_the_ninth_page_leads_back_to_the_ninth_page() -> None:
    shift = crowded()
    shift.session.send(c.Turn(page=Page.NEEDS, number=8))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert view.page == 8
    assert isinstance(view.rows[0].send, c.Turn)
    shift.session.send(view.rows[0].send)
    assert shift.session.view().hand.left[0].send == c.Turn(page=Page.NEEDS, number=8)


def test_every_trip_behind_a_figure_of_a_full_shift_is_there() -> None:
    shift = crowded()
    day = f"day/{local_time(shift.at_ms, 0).date().isoformat()}"
    assert len(rows(shift, Page.FIGURE, f"{day}/soil")) == MANY
    assert len(rows(shift, Page.FIGURE, f"{day}/trays_opened")) == MANY + 2
