"""Trays kept for later: the one that a person was on comes first, and the keys beside them stay."""

from dataclasses import replace

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.evolve import evolve
from kiosk.core.stamp import Kept, Stamp
from kiosk.core.views import ScanView
from tests.core.department import BIG, EAR, HOLD, PIN, PLAIN, Shift, at_work, scan


def kept(shift: Shift) -> list[str]:
    view = shift.session.view()
    assert isinstance(view, ScanView)
    return [key.name for key in view.kept]


def rail(shift: Shift) -> tuple[list[str], list[str]]:
    hand = shift.session.view().hand
    return [key.name for key in hand.left], [key.name for key in hand.right]


def lose_power(shift: Shift) -> None:
    """The station stops in the middle of a tray, and is started again; the same person signs in."""
    stamp = Stamp(at_ms=shift.at_ms, offset_min=0, trusted=True, who="T1", trip=None, policy=1, record=1)
    lost = Kept(event=e.PowerLost(at_ms=shift.at_ms), stamp=stamp)
    shift.session.bench = evolve(shift.bench, lost)
    shift.log.append(lost)
    shift.must(c.EnterPin(person="T1", pin=PIN))


def test_after_a_loss_of_power_the_tray_in_work_comes_first_however_many_are_kept() -> None:
    shift = at_work(EAR)
    for code in (BIG, HOLD, PLAIN):
        shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T1", pin=PIN), scan(code))
    lose_power(shift)
    assert kept(shift)[0] == f"kept {PLAIN}"


def test_another_persons_tray_is_not_put_first() -> None:
    shift = at_work(EAR)
    shift.must(c.StopHere(reason="called_away"), scan(BIG), c.StopHere(reason="called_away"), c.SignOut())
    shift.sign_in("T2")
    assert kept(shift) == [f"kept {EAR}", f"kept {BIG}"]


@pytest.mark.parametrize("small", [False, True])
def test_with_many_kept_the_last_row_leads_on_and_every_key_keeps_its_place(small: bool) -> None:
    shift = at_work(EAR)
    shift.session.small = small
    shift.must(c.StopHere(reason="end_of_shift"), c.EnterPin(person="T1", pin=PIN))
    few = rail(shift)
    for code in (BIG, HOLD, PLAIN):
        shift.must(scan(code), c.StopHere(reason="end_of_shift"), c.EnterPin(person="T1", pin=PIN))
    seen = []
    for _ in range(2):
        assert rail(shift) == few
        view = shift.session.view()
        assert isinstance(view, ScanView)
        seen.append([key.label.split("\n")[0].split(" · ")[0] for key in view.kept])
        last = view.kept[-1]
        assert last.name == "more kept"
        assert last.send is not None
        shift.must(last.send)
    assert seen == [["Ear set", "Big set", "More kept: 2"], ["Set on hold", "Plain set", "From the first again"]]
    assert kept(shift)[0] == f"kept {EAR}"


def test_a_tray_on_the_hold_shelf_is_not_the_one_somebody_was_on() -> None:
    shift = at_work(EAR)
    shift.must(c.StopHere(reason="called_away"))
    trip = shift.bench.trips["1-000001"]
    assert trip.pause is not None
    on_hold = replace(trip, pause=replace(trip.pause, reason="hold_shelf"))
    shift.must(scan(BIG), c.StopHere(reason="called_away"))
    shift.session.bench = replace(shift.bench, trips={**shift.bench.trips, trip.id: on_hold})
    assert kept(shift)[0] == f"kept {BIG}"
