"""In decontam two touches in a row turn two pages, and no key leads to the page one is on."""

from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

from kiosk.core import commands as c
from kiosk.core.meaning import Kind
from kiosk.ui.parts.pages import Pager
from tests.core.department import PIN, scan
from tests.ui.screens.long_names import show, sides, stand


def test_a_second_touch_on_next_page_counts_as_soon_as_the_page_stands(qapp: QApplication) -> None:
    both = sides()
    shift = both.dirty
    both.at_decontam(c.EnterPin(person="D1", pin=PIN))
    both.at_decontam(*(scan(f"K-9000{n}", Kind.TICKET) for n in range(9)), c.Turn(page=c.Page.RETURNS))
    window, clock = stand(qapp, shift, "10.1 in", dirty=True)
    sent: list[c.Send] = []
    window.sent.connect(sent.append)
    for _ in range(2):  # the second touch comes 0.9 s after the first
        assert window.current is not None
        pager = next(each for each in window.current.findChildren(Pager) if each.isVisibleTo(window.current))
        key = pager.keys[1]
        QTest.mousePress(key, Qt.MouseButton.LeftButton, pos=key.rect().center())
        clock.now += 100
        QTest.mouseRelease(key, Qt.MouseButton.LeftButton, pos=key.rect().center())
        assert sent
        shift.must(sent[-1])
        show(window, shift, clock)
        clock.now -= 1_200
    assert [send.number for send in sent if isinstance(send, c.Turn)] == [1, 2]
    window.close()


def test_no_key_leads_to_typing_the_number_from_the_page_where_it_is_typed() -> None:
    both = sides()
    both.at_decontam(c.EnterPin(person="D1", pin=PIN))
    typed = c.Turn(page=c.Page.TYPE_NUMBER, subject="ticket")
    hand = both.dirty.session.view().hand
    assert typed in [key.send for key in (*hand.left, *hand.right)]
    both.at_decontam(typed)
    hand = both.dirty.session.view().hand
    assert typed not in [key.send for key in (*hand.left, *hand.right)]
