"""What a return ticket tells decontam to do, as it is read."""

import pytest

from kiosk.core.composing import Order, compose
from kiosk.core.papers import ReturnTicket
from kiosk.core.place import Place
from tests.core.department import EAR, at_work


@pytest.mark.parametrize(
    ("code", "place", "told"),
    [
        ("bone_grit", Place(lumen="bore", at_mm=10), "Bone grit in the lumen, 1 cm from ENTRY."),
        ("bone_grit", Place(lumen="bore", at_mm=15), "Bone grit in the lumen, 15 mm from ENTRY."),
        ("bone_grit", Place(lumen="bore", all_along=True), "Bone grit in the lumen, all along it."),
        ("wont_pass", Place(lumen="bore", at_mm=30), "Something stops at 3 cm from ENTRY in the lumen."),
    ],
)
def test_the_place_is_told_in_a_sentence_that_reads(code: str, place: Place, told: str) -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no(code, place)
    shift.confirm("item_back")
    (made,) = shift.trip.tickets
    paper = compose(shift.session.paper_glance(), Order(trip=shift.trip, doc="return_ticket", number=made.number))
    assert isinstance(paper, ReturnTicket)
    assert paper.todo[0].startswith(told)
