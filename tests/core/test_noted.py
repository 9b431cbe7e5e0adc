"""A bench can be noted down at any moment: every field of it has its kind, whatever came before."""

from kiosk.core.place import Place
from kiosk.core.state.bench import Bench
from kiosk.store.codec import from_bytes, to_bytes
from tests.core.department import EAR, at_work


def test_a_bench_is_noted_after_a_piece_went_back() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", Place(lumen="bore", at_mm=10))
    shift.confirm("item_back")
    assert from_bytes(Bench, to_bytes(shift.bench)) == shift.bench
