"""Weight, papers, labels: what stops a tray at the end and what a printer that is down changes."""

import json
from pathlib import Path

import pytest

from kiosk.core import commands as c
from kiosk.core import events as e
from tests.core.department import BIG, EAR, PIN, PLAIN, Shift, at_work, names

WEIGHTS = json.loads((Path(__file__).parents[1] / "reference" / "set_weights.json").read_text(encoding="utf-8"))[
    "cases"
]


def ready(tray: str = PLAIN, **policy: object) -> Shift:
    shift = at_work(tray, **policy)
    shift.yes_to_all()
    assert shift.step.kind == "pack"
    return shift


@pytest.mark.parametrize("case", WEIGHTS, ids=lambda case: case["kilograms"])
def test_a_set_over_its_limit_stops(case: dict[str, str]) -> None:
    """25 lb, container included: ANSI/AAMI ST77 and ST79 (read second-hand); exact pound: NIST SP 811."""
    limit = {"set_weight_max_kg": case["limit_kg"]} if "limit_kg" in case else {}
    shift = ready(BIG, **limit)
    events = shift.must(c.Weigh(value=case["kilograms"], unit="kg"))
    assert names(events) == ["weighed"]
    if case["expected"]:
        assert shift.step.kind == "unit"
        assert "weight_stopped" in names(shift.must(c.Weigh(value=case["kilograms"], unit="kg")))
        shift.send(c.PackAndPrint())
        assert shift.refused == "refused.not_ready"
        return
    shift.must(c.PlaceIndicators(count=2), c.ChoosePackaging(kind="container"))
    shift.send(c.PackAndPrint())
    assert shift.refused == ""


def test_twenty_five_pounds_stay_twenty_five_pounds() -> None:
    """ANSI/AAMI ST77 and ST79 (read second-hand): the limit is kept in pounds and never rounded to kilograms."""
    shift = ready(BIG)
    assert shift.must(c.Weigh(value="25", unit="lb")) == [e.Weighed(value="25", unit="lb")]
    over = shift.must(c.Weigh(value="25.1", unit="lb"), c.Weigh(value="25.1", unit="lb"))
    assert e.WeightStopped(value="25.1", unit="lb", limit_lb="25") in over


def test_a_weight_that_is_lighter_on_the_second_scale_passes() -> None:
    shift = ready(BIG)
    shift.must(c.Weigh(value="12", unit="kg"), c.Weigh(value="12", unit="kg"))
    assert shift.step.kind == "too_heavy"
    shift.must(c.Weigh(value="11", unit="kg"))
    assert not shift.trip.weight_over
    assert not shift.trip.holds
    assert shift.step.kind == "pack"


@pytest.mark.parametrize(
    ("value", "unit"), [("", "kg"), ("x", "kg"), ("0", "kg"), ("-1", "lb"), ("NaN", "lb"), ("5", "st")]
)
def test_what_is_no_weight_is_refused(value: str, unit: str) -> None:
    shift = ready(BIG)
    shift.send(c.Weigh(value=value, unit=unit))
    assert shift.refused == "refused.weight"


def test_too_few_indicators_and_a_packaging_the_set_record_does_not_allow_are_refused() -> None:
    shift = ready(BIG)
    shift.send(c.PlaceIndicators(count=1))
    assert shift.refused == "refused.indicators"
    shift.send(c.ChoosePackaging(kind="pouch"))
    assert shift.refused == "refused.packaging"


def test_a_printer_that_is_down_does_not_stop_the_work() -> None:
    shift = ready()
    shift.pack()
    lost = shift.print_all(why="no answer")
    assert names(lost) == ["printer_lost", "printer_lost"]
    assert shift.step.kind == "print_failed"
    by_hand = shift.must(c.WriteByHand())
    assert names(by_hand) == ["ticket_handwritten", "ticket_handwritten"]
    assert shift.step.kind == "scan"
    shift.open(EAR)
    assert shift.step.kind == "count"


def test_nothing_written_by_hand_prints_later() -> None:
    shift = ready()
    shift.pack()
    shift.print_all(why="no answer")
    shift.must(c.WriteByHand())
    trip = shift.trip
    asked = len([kept for kept in shift.log if isinstance(kept.event, e.PrintAsked)])
    late = c.PrintCame(doc="tray_sheet", number=trip.id, copy=0, where="tray")
    assert shift.must(late) == []
    shift.must(c.SignOut(), c.Started(last_alive_ms=None))
    shift.sign_in("T2")
    assert len([kept for kept in shift.log if isinstance(kept.event, e.PrintAsked)]) == asked


def test_a_paper_that_failed_prints_at_the_second_try() -> None:
    shift = ready()
    shift.pack()
    shift.print_all(why="no answer")
    assert names(shift.must(c.PrintAgain())) == ["print_asked", "print_asked"]
    assert names(shift.print_all()) == ["printer_restored", "sheet_printed", "label_printed"]
    assert shift.step.kind == "readable"
    shift.must(c.Readable(yes=True))
    assert shift.step.kind == "scan"


def test_a_label_that_can_not_be_read_is_void_and_gets_a_new_number() -> None:
    shift = ready()
    shift.pack()
    old = shift.trip.package
    shift.print_all()
    events = shift.must(c.Readable(yes=False))
    assert names(events) == ["paper_read", "paper_read", "print_asked", "label_voided", "print_asked"]
    assert shift.trip.package != old
    assert e.LabelVoided(number=old, why="unreadable", new=shift.trip.package) in events
    shift.print_all()
    shift.must(c.Readable(yes=True))
    assert shift.step.kind == "scan"


def test_a_package_number_is_never_given_twice() -> None:
    shift = Shift()
    shift.sign_in()
    numbers = []
    for _ in range(3):
        shift.open(PLAIN)
        shift.count()
        shift.yes_to_all()
        shift.pack()
        numbers.append(shift.trip.package)
        shift.print_all()
        shift.must(c.Readable(yes=False))
        numbers.append(shift.trip.package)
        shift.print_all()
        shift.must(c.Readable(yes=True))
    assert len(set(numbers)) == len(numbers) == 6


def test_two_tags_on_their_way_are_told_apart() -> None:
    shift = at_work(EAR)
    for piece in ("A1", "A2#1"):
        shift.yes_until(f"{piece}.bore.swab")
        shift.no("swab_left")
        shift.confirm("quarantine")
        shift.tidy()
    shift.yes_to_all()
    for piece in ("A1", "A2#1"):
        shift.must(c.RuleQuarantine(by="S1", piece=piece, note="to the repair bench"))
    shift.tidy()
    assert shift.step.kind == "shelf"
    assert all(job.readable for job in shift.trip.jobs)


def test_papers_that_were_on_their_way_when_the_program_stopped_are_known_to_be_lost() -> None:
    shift = ready()
    shift.pack()
    shift.must(c.SignOut())
    assert names(shift.must(c.Started(last_alive_ms=None))) == ["printer_lost", "printer_lost"]
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert shift.step.kind == "print_failed"
