"""The ticket as it is printed, read from the picture of its page, taken in by a station that knows the bench's key."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image

from kiosk.app.ticket_codes import TicketCodes
from kiosk.codes.read import read_text
from kiosk.codes.why import Why
from kiosk.core import commands as c
from kiosk.core.composing import Order, compose
from kiosk.core.desk import HubState
from kiosk.core.papers import ReturnTicket
from kiosk.core.views import IntakeView
from kiosk.paper.render import render
from kiosk.store.bench_store import BenchStore
from kiosk.sync.beside import Beside
from tests.core.test_ticket_card import NUMBER, apart
from tests.core.two_sides import Sides
from tests.paper.reading import pages_of
from tests.store.shift import yes


@dataclass
class Two:
    """The two sides' sessions, and the store of each."""

    sides: Sides
    bench: BenchStore
    dirty: BenchStore

    def ticket(self, rule: str = "every_ticket", **desk: object) -> ReturnTicket:
        """The ticket as the bench composes it, under this rule of the policy."""
        shift = self.sides.bench
        glance = shift.session.paper_glance()
        policy = replace(glance.desk.policy, ticket_data_code=rule)
        around = replace(glance.desk, policy=policy, seal=TicketCodes(self.bench).seal, **desk)  # type: ignore[arg-type]
        trip = shift.bench.sent[NUMBER].trip
        paper = compose(replace(glance, desk=around), Order(trip=trip, doc="return_ticket", number=NUMBER))
        assert isinstance(paper, ReturnTicket)
        return paper

    def acquaint(self) -> None:
        """Decontam's station hears of the bench once."""
        beside = Beside(self.bench.store.folder)
        told = beside.fetch({})
        assert told is not None
        self.dirty.heard.take(told.origin, told.rows, was=told.was, public_key=told.public_key)
        beside.close()

    def scan(self, text: str) -> IntakeView:
        """Decontam scans it, with the network down."""
        meaning = read_text(text, ticket_keys=self.dirty.heard.public_keys())
        self.sides.dirty.must(c.Scanned(meaning=meaning, typed=False))
        view = self.sides.dirty.session.view()
        assert isinstance(view, IntakeView)
        return view


@pytest.fixture
def two(tmp_path: Path) -> Iterator[Two]:
    bench, dirty = BenchStore(tmp_path / "b1", "B1"), BenchStore(tmp_path / "d1", "D1")
    bench.keep([yes(0)])
    yield Two(sides=apart()[0], bench=bench, dirty=dirty)
    bench.store.close()
    dirty.store.close()


def codes_on(page: Image.Image) -> set[str]:
    return {symbol.text for symbol in zxingcpp.read_barcodes(page)}


def test_the_printed_code_tells_decontam_what_was_found_with_the_network_down(two: Two) -> None:
    two.acquaint()
    paper = two.ticket()
    pages = pages_of(render(paper))
    assert codes_on(pages[0]) == {paper.code}
    assert codes_on(pages[1]) == {paper.code, paper.data}
    view = two.scan(paper.data)
    assert "Bone" in view.said
    assert "not known here" not in " ".join((view.notice, *view.lines))


def test_a_bench_that_decontam_never_heard_of_is_not_vouched_for(two: Two) -> None:
    view = two.scan(two.ticket().data)
    assert "not known here" in " ".join((view.notice, *view.lines))


def test_a_forged_code_of_a_known_bench_is_refused(two: Two) -> None:
    two.acquaint()
    text = two.ticket().data
    at = len(text) // 2
    forged = text[:at] + ("0" if text[at] != "0" else "1") + text[at + 1 :]
    meaning = read_text(forged, ticket_keys=two.dirty.heard.public_keys())
    assert (meaning.valid, meaning.why) == (False, Why.TICKET)


@pytest.mark.parametrize(
    ("rule", "hub", "printed"),
    [
        ("none", None, False),
        ("when_apart", None, False),
        ("when_apart", 10_000, False),
        ("when_apart", 120_000, True),
        ("every_ticket", None, True),
    ],
)
def test_the_code_is_printed_where_policy_says(two: Two, rule: str, hub: int | None, *, printed: bool) -> None:
    now = two.sides.bench.at_ms
    state = None if hub is None else HubState(ok_ms=now - hub, waiting=3, said="", verdict="")
    paper = two.ticket(rule, hub=state)
    assert bool(paper.data) == printed
    assert len(pages_of(render(paper))) == (3 if printed else 2)
