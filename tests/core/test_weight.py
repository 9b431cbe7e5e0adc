"""The row "Weight": both units, the unit asked, the limit with container, a set split in parts."""

from decimal import Decimal

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.past.counters import summary
from kiosk.core.shift import shift_of
from kiosk.core.stamp import local_time
from kiosk.core.views import MenuView, PackView
from kiosk.core.weight import in_both
from tests.core.department import BIG, Shift, at_work, names


def heavy(**policy: object) -> Shift:
    """At the pack page, over the limit, the unit said twice."""
    shift = at_work(BIG, **policy)
    shift.yes_to_all()
    shift.must(c.Weigh(value="12.1", unit="kg"), c.Weigh(value="12.1", unit="kg"))
    return shift


def counters(shift: Shift) -> dict[str, int]:
    shifts = shift.desk.policy.shifts
    return summary(shift.log, shift_of(local_time(shift.at_ms, 0), shifts), shift.desk.policy)


def test_both_units_are_shown_and_neither_is_converted_silently() -> None:
    """1 lb is 0.45359237 kg exactly: NIST SP 811, appendix B.8. 26.7 lb is 12.111 kg by it."""
    assert Decimal("26.7") * Decimal("0.45359237") == Decimal("12.110916279")
    assert in_both("26.7", "lb") == "26.7 lb (12.1 kg)"
    assert in_both("10.4", "kg") == "10.4 kg (22.9 lb)"


def test_a_reading_over_the_limit_asks_kilograms_or_pounds_before_anything_stops() -> None:
    shift = at_work(BIG)
    shift.yes_to_all()
    events = shift.must(c.Weigh(value="26.7", unit="kg"))
    assert names(events) == ["weighed"]
    view = shift.session.view()
    assert isinstance(view, MenuView)
    assert view.title == "26.7: kilograms or pounds?"
    assert not shift.trip.weight_over
    shift.send(c.PackAndPrint())
    assert shift.refused


def test_a_unit_mistaken_is_corrected_and_the_correction_is_counted() -> None:
    shift = at_work(BIG)
    shift.yes_to_all()
    shift.must(c.Weigh(value="24", unit="kg"))
    events = shift.must(c.Weigh(value="24", unit="lb"))
    assert names(events) == ["correction", "weighed"]
    assert shift.step.kind == "pack"
    assert counters(shift)["corrections"] == 1


def test_a_set_over_its_limit_is_held_until_the_supervisor_splits_it() -> None:
    shift = heavy()
    assert shift.step.kind == "too_heavy"
    assert [hold.waits_for for hold in shift.trip.holds] == [("@weight",)]
    for by in ("T1", "T2"):
        shift.send(c.RuleSplit(by=by, parts=2))
        assert shift.refused == "refused.not_supervisor"
    assert names(shift.must(c.RuleSplit(by="S1", parts=2))) == ["tray_split", "hold_released"]
    assert shift.step.kind == "pack"


def test_each_part_of_a_split_set_is_weighed_and_labeled_and_the_set_counts_once() -> None:
    shift = heavy()
    shift.must(c.RuleSplit(by="S1", parts=2), c.Weigh(value="7.0", unit="kg", part=1))
    shift.must(c.ChoosePackaging(kind="container"))
    shift.send(c.PackAndPrint())
    assert shift.refused == "refused.not_ready"  # no indicators yet
    shift.must(c.PlaceIndicators(count=2))
    view = shift.session.view()
    assert isinstance(view, PackView)
    assert view.main is None
    shift.send(c.PackAndPrint())
    assert shift.refused == "refused.weigh_first"
    shift.must(c.Weigh(value="6.1", unit="kg", part=2))
    events = shift.must(c.PackAndPrint())
    packed = next(event for event in events if isinstance(event, e.Packed))
    assert len(set(packed.parts)) == 2
    asked = [event.number for event in events if isinstance(event, e.PrintAsked) and event.doc == "package_label"]
    assert asked == list(packed.parts)
    assert counters(shift)["trays_packed"] == 1
    shift.print_all()
    shift.must(c.Readable(yes=True))
    shift.open(BIG)
    assert shift.bench.packages == 2


def test_a_part_that_is_too_heavy_stops_like_a_whole_set() -> None:
    shift = heavy()
    shift.must(c.RuleSplit(by="S1", parts=2))
    shift.must(c.Weigh(value="11.9", unit="kg", part=1), c.Weigh(value="11.9", unit="kg", part=1))
    assert shift.step.kind == "too_heavy"
    shift.must(c.Weigh(value="11.0", unit="kg", part=1))
    assert shift.step.kind == "pack"
    assert shift.trip.part_weights == (("11.0", "kg"),)


def test_a_label_of_a_part_that_can_not_be_read_gets_a_number_of_its_own() -> None:
    shift = heavy()
    shift.must(c.RuleSplit(by="S1", parts=2))
    shift.must(*(c.Weigh(value="6", unit="kg", part=n) for n in (1, 2)))
    shift.must(c.PlaceIndicators(count=2), c.ChoosePackaging(kind="container"), c.PackAndPrint())
    before = shift.trip.packages
    shift.print_all()
    shift.must(c.Readable(yes=False))
    assert len(set(shift.trip.packages) | set(before)) == 4


def test_where_policy_only_warns_the_weight_goes_on_and_stands_on_the_sheet() -> None:
    shift = heavy(set_weight_act="warn")
    assert shift.step.kind == "pack"
    assert shift.trip.over_lb == "25"
    view = shift.session.view()
    assert isinstance(view, PackView)
    assert "25 lb" in view.weight_warning


def test_a_tray_that_was_set_aside_is_weighed_again() -> None:
    shift = heavy()
    shift.must(c.RuleSplit(by="S1", parts=2), c.Weigh(value="7.0", unit="kg", part=1), c.StopHere(reason="break"))
    shift.minutes(90)
    shift.open(BIG)
    shift.must(c.Confirm(what="covered", subject=next(iter(shift.bench.trips))))
    assert shift.trip.part_weights == ()
    assert shift.trip.weight == ("12.1", "kg")
    shift.count()
    shift.yes_to_all()
    shift.must(*(c.Weigh(value="6", unit="kg", part=n) for n in (1, 2)))
    assert len(shift.must(c.PlaceIndicators(count=2), c.ChoosePackaging(kind="container"), c.PackAndPrint())) == 6


def test_the_limit_is_policys_and_stored_in_pounds() -> None:
    assert resources.policy({}).set_weight_max_lb == 25
