"""The catches in the counters' definitions, each on a log that a careless count would get wrong.

Source of each: "How counters count" of the written shifts; the sentence that is tested stands in the test's name.
"""

from dataclasses import replace

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.past.counters import Book, book_of, waiting_tickets
from kiosk.core.place import Place
from kiosk.core.shift import shift_of
from kiosk.core.stamp import Kept, local_time
from tests.core.department import EAR, PLAIN, Shift, at_work
from tests.core.short import GIVE, packed_short, reopened, short
from tests.core.test_counters import counted, found, of_one_load, soiled
from tests.core.test_second_looks import doubt, second

GRIT = Place(lumen="bore", at_mm=10)


def book(shift: Shift, at_ms: int) -> Book:
    """The book of the shift in which a moment lies, as its end knows it."""
    shifts = shift.desk.policy.shifts
    wanted = shift_of(local_time(at_ms, 0), shifts)
    last = max(n for n, kept in enumerate(shift.log) if shift_of(kept.stamp.local, shifts) == wanted)
    return book_of({"B1": shift.log[: last + 1]}, wanted, shift.desk.policy)


def told(shift: Shift, event: e.Event) -> None:
    """An event that a station told by itself."""
    shift.log.append(Kept(event=event, stamp=replace(shift.log[-1].stamp, trip=None)))


def test_a_trip_is_opened_in_one_shift_and_counted_as_packed_in_the_shift_in_which_it_ended() -> None:
    shift = at_work(EAR)
    began = shift.at_ms
    shift.yes_to_all()
    shift.must(c.StopHere(reason="break"))
    shift.minutes(7 * 60)
    if shift.bench.who is None:
        shift.sign_in("T1")
    shift.open(EAR)
    assert shift.session.turn is not None
    shift.must(c.Confirm(what="covered", subject=shift.session.turn.subject))
    shift.count()
    shift.yes_to_all()
    shift.pack()
    first, then = book(shift, began), book(shift, shift.at_ms)
    assert first.shift != then.shift
    assert (first["trays_opened"], first["trays_packed"], first["trays_open_at_end"]) == (1, 0, 1)
    assert (then["trays_opened"], then["trays_packed"]) == (0, 1)


def test_pieces_and_lumens_count_in_the_shift_of_the_last_answer_whoever_packs_later() -> None:
    shift = at_work(EAR)
    began = shift.at_ms
    shift.yes_to_all()
    shift.minutes(7 * 60)
    shift.pack()
    first, then = book(shift, began), book(shift, shift.at_ms)
    assert (first["pieces_checked"], first["lumens_checked"]) == (3, 3)
    assert (then["pieces_checked"], then["lumens_checked"], then["trays_packed"]) == (0, 0, 1)


def test_held_and_resumed_is_the_same_trip_and_what_comes_back_is_a_new_one() -> None:
    shift = at_work(PLAIN)
    shift.must(c.StopHere(reason="break"))
    shift.open(PLAIN)
    assert counted(shift)["trays_opened"] == 1
    assert counted(soiled(2))["trays_opened"] == 2


def test_groups_count_pieces_and_never_taps() -> None:
    """Wet twice and dried twice, then soiled: one wet piece, one soiled piece, none that passed after drying."""
    shift = at_work(EAR)
    shift.yes_until("A1.bore.dry")
    for _ in range(2):
        shift.no("clear_drops")
        shift.must(c.StepDone(step="put_right"))
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", GRIT)
    shift.confirm("item_back")
    figures = counted(shift)
    assert (figures["wet"], figures["soil"], figures["dried_again"]) == (1, 1, 0)
    assert (figures["tickets"], figures["items_back"], figures["pieces_checked"]) == (1, 1, 1)


def test_a_withdrawn_finding_counts_nowhere_but_as_a_correction() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", GRIT)
    shift.must(c.TakeBack())
    shift.yes_to_all()
    figures = counted(shift)
    assert (figures["soil"], figures["corrections"], figures["items_back"], figures["tickets"]) == (0, 1, 0, 0)


def test_when_a_whole_tray_goes_its_other_pieces_are_not_counted_as_back() -> None:
    figures = counted(found("red_mark", "A1.bore.swab", "tray_back"))
    assert (figures["items_back"], figures["tickets"], figures["trays_back"]) == (1, 1, 1)


def test_a_ticket_in_two_parts_is_one_and_a_print_that_was_not_readable_is_a_copy_and_no_ticket() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("bone_grit", GRIT)
    shift.confirm("item_back")
    while shift.step.kind in {"bench", "gloves"}:
        shift.must(c.StepDone(step=shift.step.kind))
    shift.print_all()
    assert (counted(shift)["tickets"], counted(shift)["copies"]) == (1, 0)
    shift.must(c.Readable(yes=False))
    shift.print_all()
    assert (counted(shift)["tickets"], counted(shift)["copies"]) == (1, 1)


def test_a_ticket_waits_until_decontam_acknowledged_it_at_another_station() -> None:
    shift = found("bone_grit", "A1.bore.swab", "item_back")
    (ticket,) = waiting_tickets({"B1": shift.log})
    other = Shift()
    other.log = [Kept(event=e.TicketReceived(ticket=ticket.what, by="scan"), stamp=shift.log[-1].stamp)]
    assert waiting_tickets({"B1": shift.log, "D1": other.log}) == []


def test_a_lumen_that_a_second_look_accepted_is_checked() -> None:
    shift = at_work(EAR)
    second(shift, doubt(shift), "color_only")
    shift.yes_to_all()
    figures = counted(shift)
    assert (figures["lumens_checked"], figures["second_looks"], figures["soil"]) == (3, 1, 0)


def test_one_missing_piece_counts_one_and_three_count_three() -> None:
    for have, many in ((3, 1), (1, 3)):
        shift = Shift()
        shift.sign_in()
        shift.open(PLAIN)
        shift.must(c.CountLine(line="Forceps", have=have), c.CountDiffers())
        assert counted(shift)["identity"] == many


def test_packed_short_is_no_packed_complete_and_its_override_counts_once() -> None:
    figures = counted(packed_short())
    assert (figures["trays_packed"], figures["trays_packed_short"], figures["overrides"]) == (0, 1, 1)
    assert figures["holds_open"] == 0


def test_an_override_that_was_tried_and_refused_is_none_that_was_done() -> None:
    shift = short()
    shift.send(replace(GIVE, by="T1"))
    figures = counted(shift)
    assert (figures["overrides"], figures["overrides_refused"]) == (0, 1)


def test_a_package_opened_again_is_not_packed_any_more() -> None:
    figures = counted(reopened())
    assert (figures["trays_reopened"], figures["trays_packed"], figures["trays_open_at_end"]) == (1, 0, 1)


def test_rush_and_conflicts_count_one_each() -> None:
    shift = at_work(PLAIN)
    told(shift, e.RushMarked(tray=PLAIN, by="16:30"))
    told(shift, e.SyncConflict(conflict="same_tray:TR-4:1:2", kind="same_tray", what="TR-4", stations=("B1", "B2")))
    figures = counted(shift)
    assert (figures["rush"], figures["sync_conflicts"]) == (1, 1)


def test_stations_are_summed_and_a_load_alert_shows_only_over_all_of_them() -> None:
    """Two soiled pieces of a load at one bench and one at the other: three in the shift, one alert."""
    shift = of_one_load(2)
    other = found("bone_grit", "A1.bore.swab", "tray_back")
    both = book_of({"B1": shift.log, "B2": other.log}, book(shift, shift.log[0].stamp.at_ms).shift, shift.desk.policy)
    assert (both["soil"], both["load_alerts"]) == (3, 1)
    assert counted(shift)["load_alerts"] == counted(other)["load_alerts"] == 0
