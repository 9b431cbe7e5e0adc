"""A paper of the desk: its number, its way to the printer, a further try, a marked copy."""

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.state.jobs import OF_DESK
from kiosk.core.views import PrintView
from tests.core.department import PLAIN, Shift, at_work


def at_desk() -> Shift:
    shift = Shift()
    shift.must(c.EnterPin(person="S1", pin="2580"))
    return shift


def came(shift: Shift, *, why: str = "") -> None:
    job = shift.bench.jobs[-1]
    shift.session.send(
        c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="" if why else "queue", why=why)
    )


def test_every_paper_of_a_kind_has_the_next_number() -> None:
    shift = at_desk()
    for number in ("HL-10001", "HL-10002", "HL-10003"):
        shift.must(c.PrintReport(doc="handover_list"))
        assert shift.bench.jobs[-1].number == number
        came(shift)
    shift.must(c.PrintReport(doc="lookback_report", about="load=W-1"))
    assert (shift.bench.jobs[-1].number, shift.bench.jobs[-1].about) == ("LB-10001", "load=W-1")


def test_the_page_says_how_the_paper_stands_and_a_further_try_keeps_its_number() -> None:
    shift = at_desk()
    shift.must(c.PrintReport(doc="handover_list"))
    view = shift.session.view()
    assert isinstance(view, PrintView)
    assert view.main is None
    came(shift, why="no paper")
    view = shift.session.view()
    assert isinstance(view, PrintView)
    assert view.main is not None
    assert view.main.send == c.TryReport(doc="handover_list", number="HL-10001")
    shift.must(c.TryReport(doc="handover_list", number="HL-10001"))
    came(shift)
    assert [job.number for job in shift.bench.jobs] == ["HL-10001"]
    assert shift.bench.jobs[0].settled
    shift.must(c.PrintReport(doc="handover_list"))
    assert shift.bench.jobs[-1].number == "HL-10002"


def test_a_copy_has_the_number_of_the_first_print_and_is_counted_as_a_copy() -> None:
    shift = at_desk()
    shift.must(c.PrintReport(doc="handover_list", about="x"))
    came(shift)
    shift.must(c.PrintReport(doc="handover_list", number="HL-10001"))
    job = shift.bench.jobs[-1]
    assert (job.number, job.copy, job.about) == ("HL-10001", 1, "x")
    came(shift)
    assert any(isinstance(kept.event, e.Reprinted) and kept.event.copy == 1 for kept in shift.log)
    shift.must(c.PrintReport(doc="handover_list"))
    assert shift.bench.jobs[-1].number == "HL-10002"


def test_a_paper_that_was_not_printed_yet_is_not_copied() -> None:
    shift = at_desk()
    shift.must(c.PrintReport(doc="handover_list"))
    assert not shift.session.send(c.PrintReport(doc="handover_list", number="HL-10001"))
    assert not shift.session.send(c.PrintReport(doc="no_such_paper"))


def test_a_paper_of_the_desk_is_no_part_of_the_tray_on_the_bench() -> None:
    shift = at_work(PLAIN)
    shift.must(c.PrintReport(doc="handover_list"))
    came(shift)
    assert shift.log[-1].stamp.trip is None
    assert not shift.trip.jobs


def test_old_papers_of_the_desk_are_forgotten_but_not_one_that_was_never_printed() -> None:
    shift = at_desk()
    shift.must(c.PrintReport(doc="lookback_report"))
    came(shift, why="no paper")
    for _ in range(OF_DESK + 3):
        shift.must(c.PrintReport(doc="handover_list"))
        came(shift)
    assert [job.number for job in shift.bench.jobs if not job.settled] == ["LB-10001"]
    assert len(shift.bench.jobs) <= OF_DESK + 1
