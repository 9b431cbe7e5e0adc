"""The supervisor's desk: what needs a ruling, what is handed over, looking back, spare forms, the audit draw."""

from collections import Counter
from dataclasses import replace
from itertools import combinations
from math import comb

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core import waiting
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.decide.desk import drawn_trips, ended_trips
from kiosk.core.evolve import evolve
from kiosk.core.meaning import Kind
from kiosk.core.papers import Report
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.together.conflicts import open_conflicts
from kiosk.core.viewing.pages import MENU_KEYS_SMALL
from kiosk.core.viewing.summaries import REST_LETTERS
from tests.core.department import EAR, PIN, PLAIN, Shift, at_work, names, scan, with_one_back_and_shelved
from tests.core.test_shift_summary import DAY, a_day, texts, to_desk


def desk_with(shift: Shift) -> Shift:
    shift.must(c.EnterPin(person="S1", pin=PIN))
    return shift


def paper(shift: Shift, doc: str, **more: str) -> Report:
    job = next(job for job in reversed(shift.bench.jobs) if job.doc == doc)
    order = ReportOrder(doc=doc, number=job.number, copy=job.copy, about=job.about)
    report = compose_report(shift.session.glance(), order)
    shift.session.send(c.PrintCame(doc=doc, number=job.number, copy=job.copy, where="queue"))
    return report


def found(shift: Shift, *kinds: str) -> list[waiting.Line]:
    return waiting.some(waiting.lines(shift.bench, shift.desk, shift.now()), kinds or waiting.RULED)


def rows(shift: Shift, page: Page, subject: str = "") -> list[v.ListRow]:
    out: list[v.ListRow] = []
    shift.session.send(c.Turn(page=page, subject=subject))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    for number in range(view.pages):
        shift.session.send(c.Turn(page=page, subject=subject, number=number))
        view = shift.session.view()
        assert isinstance(view, v.ListView)
        out += view.rows
    return out


# What needs a ruling now


def test_a_held_tray_stands_in_the_list_with_what_it_waits_for_and_leads_to_its_record() -> None:
    shift = to_desk(a_day())
    (line,) = found(shift, "hold")
    assert (line.state, line.names["what"]) == ("held_back", "Bent tube")
    row = next(row for row in rows(shift, Page.NEEDS) if row.name.startswith("hold"))
    assert row.value
    assert isinstance(row.send, c.Turn)
    assert "Bent tube" in row.title
    assert rows(shift, Page.TRIP, row.send.subject)


def test_a_line_leaves_only_when_the_thing_is_done_not_when_it_is_handed_over() -> None:
    shift = to_desk(a_day())
    before = {line.title for line in found(shift, *waiting.HANDED)}
    shift.must(c.TakeHandover())
    assert {line.title for line in found(shift, *waiting.HANDED)} == before
    shift.must(c.SignOut())
    shift.sign_in()
    shift.must(scan(EAR))
    assert shift.session.turn is not None
    shift.must(c.Confirm(what="covered", subject=shift.session.turn.subject))
    shift.must(c.RuleSubstitute(by="S1", piece="A1", spare="X1"))
    assert not found(shift, "hold")


def test_a_ticket_that_decontam_has_not_taken_in_stands_with_its_age() -> None:
    shift = to_desk(a_day())
    (line,) = found(shift, "ticket")
    assert line.title.startswith("K-1")
    assert line.since_ms < shift.at_ms
    stamp = shift.log[-1].stamp
    shift.log.append(Kept(event=e.TicketReceived(ticket=line.title, by="scan"), stamp=stamp))
    assert not found(shift, "ticket")


def test_corrections_and_typical_records_stand_in_the_one_list() -> None:
    shift = at_work(EAR)
    shift.yes()
    shift.must(c.TakeBack(), c.StopHere(reason="end_of_shift"))
    if shift.bench.who:
        shift.must(c.SignOut())
    desk_with(shift)
    kinds = {line.kind for line in found(shift)}
    assert {"correction", "typical"} <= kinds
    assert rows(shift, Page.TYPICAL)


def test_a_bench_without_anything_says_so_in_one_sentence() -> None:
    shift = Shift()
    shift.session.use(replace(shift.desk, catalogue=replace(shift.desk.catalogue, trays={})))
    desk_with(shift)
    shift.session.send(c.Turn(page=Page.HANDOVER))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    assert view.rows == ()
    assert view.nothing


def test_a_supervisor_reaches_the_desk_without_starting_the_bench_and_no_tray_that_ended_is_named_there() -> None:
    shift = a_day()
    shift.minutes(24 * 60)
    desk_with(shift)
    to_desk_page = c.Turn(page=Page.DESK)
    view = shift.session.view()
    assert shift.step.kind in {"startup", "scan"}
    assert to_desk_page in [key.send for key in view.hand.left]
    shift.session.send(to_desk_page)
    head = shift.session.view().head
    assert (head.title, head.rings) == (shift.desk.bench, ())


def test_a_hold_leads_to_its_record_to_its_tray_and_back_to_the_same_page_of_the_list() -> None:
    shift = to_desk(a_day())
    shift.session.send(c.Turn(page=Page.NEEDS))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    row = next(row for row in view.rows if row.name.startswith("hold"))
    assert row.send is not None
    shift.session.send(row.send)
    record = shift.session.view()
    assert isinstance(record, v.ListView)
    assert record.hand.left[0].send == c.Turn(page=Page.NEEDS)
    assert record.main is not None
    assert record.main.send == scan(EAR)  # though another tray was packed last
    shift.session.send(
        c.Turn(page=Page.TRIP, subject=row.send.subject if isinstance(row.send, c.Turn) else "", number=1)
    )
    further = shift.session.view()
    assert isinstance(further, v.ListView)
    assert (further.title, further.hand.left[0].send) == (record.title, c.Turn(page=Page.NEEDS))


def test_what_did_not_happen_is_named_in_rows_that_hold_it() -> None:
    shift = to_desk(a_day())
    rest = [row.sub for row in rows(shift, Page.SUMMARY, DAY) if row.title == "Nothing of these"]
    assert len(rest) > 1
    assert all(len(sub) <= REST_LETTERS for sub in rest)


def test_the_small_screen_turns_the_desk_and_no_key_of_it_is_lost() -> None:
    shift = to_desk(a_day())
    shift.session.send(c.Turn(page=Page.DESK))
    whole = shift.session.view()
    assert isinstance(whole, v.MenuView)
    shift.session.small = True
    seen: list[str] = []
    for turned in (1, 2, 0):
        view = shift.session.view()
        assert isinstance(view, v.MenuView)
        assert len(view.keys) <= MENU_KEYS_SMALL
        seen += [key.name for key in view.keys]
        shift.session.send(c.Turn(page=Page.DESK, number=turned))
    assert {key.name for key in whole.keys} <= set(seen)


# Conflicts


def two_benches() -> tuple[Shift, str]:
    """The same tray open here and at B2."""
    shift = at_work(PLAIN)
    other = Bench()
    for kept in shift.log:
        stamp = replace(kept.stamp, trip=kept.stamp.trip and f"2-{kept.stamp.trip[2:]}")
        other = evolve(other, Kept(event=kept.event, stamp=stamp))
    loaded = replace(shift.session.desk, others={"B2": other})
    shift.session.desk = loaded
    shift.session._loaded = loaded
    shift.must(c.StopHere(reason="break"))
    if shift.bench.who:
        shift.must(c.SignOut())
    return desk_with(shift), open_conflicts(shift.bench, shift.session.desk)[0].conflict


def test_one_tray_open_at_two_stations_is_noted_once_kept_twice_and_ruled_by_the_supervisor() -> None:
    shift, conflict = two_benches()
    noted = [kept.event for kept in shift.log if isinstance(kept.event, e.SyncConflict)]
    assert [one.conflict for one in noted] == [conflict]
    assert noted[0].stations == ("B1", "B2")
    lines = waiting.some(waiting.lines(shift.bench, shift.session.desk, shift.now()), ("conflict",))
    assert [line.about for line in lines] == [conflict]
    assert not shift.session.send(c.RuleConflict(conflict=conflict, ruling="nothing"))
    shift.must(c.RuleConflict(conflict=conflict, ruling="two_trays"))
    lines = waiting.some(waiting.lines(shift.bench, shift.session.desk, shift.now()), ("conflict",))
    assert not lines
    assert any(not trip.ended for trip in shift.bench.trips.values())


def test_a_tech_rules_on_no_conflict() -> None:
    shift, conflict = two_benches()
    shift.must(c.SignOut())
    shift.must(c.EnterPin(person="T1", pin=PIN))
    assert names(shift.send(c.RuleConflict(conflict=conflict, ruling="two_trays"))) == ["try_refused"]


# Handover


def test_the_handover_list_says_what_comes_next_and_who_took_over() -> None:
    shift = to_desk(a_day())
    shift.must(c.TakeHandover(), c.PrintReport(doc="handover_list"))
    report = paper(shift, "handover_list")
    text = texts(report)
    assert "waits for Bent tube, which is in decontam" in text
    assert "Call decontam." in text
    assert "Taken over by Person S1" in text
    assert report.headline[0] == "1 tray is held."
    assert [kept.event for kept in shift.log if isinstance(kept.event, e.HandoverPrinted)]


def test_what_is_promised_comes_first_and_the_stop_list_is_told() -> None:
    """FORMS 5: case time first, then the oldest hold; recall news for safety."""
    shift = with_one_back_and_shelved()
    shift.open(PLAIN)
    shift.must(c.StopHere(reason="end_of_shift"))
    if shift.bench.who:
        shift.must(c.SignOut())
    desk_with(shift)
    assert [line.kind for line in found(shift, "hold", "open")] == ["hold", "open"]
    shift.must(c.MarkRush(tray=PLAIN, at=1630), c.StopList(notice="R-31", marks=("CA-0007",)), c.Turn())
    first = found(shift, *waiting.HANDED)[0]
    assert (first.kind, first.wanted) == ("open", "16:30")
    shift.must(c.PrintReport(doc="handover_list"))
    report = paper(shift, "handover_list")
    assert report.sections[0].title == "Promised first"
    assert "wanted by 16:30" in report.sections[0].lines[0].note
    assert "R-31" in texts(report)
    assert texts(report).count("Plain set") == 1


def test_an_open_tray_is_handed_over_with_its_piece_and_that_it_is_repeated() -> None:
    shift = at_work(EAR)
    shift.yes_until("A2#1.bore.swab")
    shift.must(c.StopHere(reason="end_of_shift"))
    if shift.bench.who:
        shift.must(c.SignOut())
    desk_with(shift)
    shift.must(c.PrintReport(doc="handover_list"))
    text = texts(paper(shift, "handover_list"))
    assert "open, at piece 2 of 3" in text
    assert "repeats this piece" in text


# Spare forms


def test_spare_forms_are_numbered_and_no_number_is_given_twice() -> None:
    shift = desk_with(Shift())
    shift.must(c.IssueForms(kind="return_ticket", many=50))
    first = paper(shift, "downtime_sheet")
    shift.must(c.IssueForms(kind="tray_sheet", many=20))
    second = paper(shift, "downtime_sheet")
    pages = [section for report in (first, second) for section in report.sections if section.new_page]
    assert [section.title.split()[-1] for section in pages] == [f"H-1{n:03d}" for n in range(1, 71)]


def test_a_spare_ticket_has_both_its_parts_and_stands_in_the_list_of_its_pad() -> None:
    shift = desk_with(Shift())
    shift.must(c.IssueForms(kind="return_ticket", many=3))
    pad = paper(shift, "downtime_sheet")
    listed = [part for line in pad.sections[1].lines for part in (line.label, line.value)]
    for number in ("H-1001", "H-1002", "H-1003"):
        titles = [section.title for section in pad.sections if number in section.title]
        assert [title.partition(":")[0] for title in titles[1:]] == ["Part D", "Part C"]
        assert any(text.startswith(number) for text in listed)
    assert all(section.room_mm for section in pad.sections[2:])


def test_a_form_is_entered_afterwards_with_the_time_of_doing_and_the_time_of_entering() -> None:
    shift = desk_with(Shift())
    shift.must(c.IssueForms(kind="return_ticket", many=3))
    whole = c.EnterForm(paper="H-1002", tray=PLAIN, done="0610", said="bone at the tip")
    for step in (c.EnterForm(paper="1002"), c.EnterForm(paper="1002", tray=PLAIN), whole):
        shift.must(step)
    (kept,) = [kept for kept in shift.log if isinstance(kept.event, e.FormEntered)]
    assert isinstance(kept.event, e.FormEntered)
    assert (kept.event.paper, kept.event.kind) == ("H-1002", "return_ticket")
    assert kept.event.done_ms % 86_400_000 == (6 * 60 + 10) * 60_000
    assert kept.event.done_ms < kept.stamp.at_ms
    assert kept.stamp.who == "S1"
    assert not shift.session.send(whole)
    assert shift.refused == "refused.form_entered"
    for done in ("2", "2570", "noon"):
        assert not shift.session.send(c.EnterForm(paper="1001", tray=PLAIN, done=done))
        assert shift.refused == "refused.no_time"
    assert not shift.session.send(c.EnterForm(paper="1099"))
    assert not shift.session.send(replace(whole, paper="1003", done="2599"))


def test_a_form_and_its_tray_may_be_scanned_where_they_are_asked_for() -> None:
    shift = desk_with(Shift())
    shift.must(c.IssueForms(kind="return_ticket", many=3), c.Turn(page=Page.FORMS))
    shift.must(scan("H-1002", Kind.SPARE_FORM), scan(PLAIN))
    assert shift.session.turn == c.Turn(page=Page.FORM_FILLED, subject=f"1002/{PLAIN}")
    assert not shift.bench.trip


# The audit draw


def test_the_same_seed_draws_the_same_trips_and_the_draw_is_kept() -> None:
    shift = to_desk(a_day())
    shift.must(c.DrawAudit(many=1, seed=7))
    (drawn,) = [kept.event for kept in shift.log if isinstance(kept.event, e.AuditDrawn)]
    ended = ended_trips(shift.desk.records, 0)
    assert drawn.of == len(ended)
    assert drawn.trips == drawn_trips(ended, 1, 7)
    report = paper(shift, "audit_pack")
    drawn_pages = [section for section in report.sections if section.new_page]
    assert [section.title.rpartition(" · ")[2] for section in drawn_pages] == list(drawn.trips)
    assert "seed 7" in report.about


def test_the_audit_pack_reads_the_policy_in_the_words_of_its_page() -> None:
    shift = to_desk(a_day())
    shift.must(c.DrawAudit(many=1, seed=7))
    said = {text for section in paper(shift, "audit_pack").sections for text in section.paragraphs}
    shift.must(c.PrintReport(doc="policy_page"))
    for section in paper(shift, "policy_page").sections:
        assert set(section.paragraphs) <= said


def test_every_trip_and_every_pair_is_drawn_as_often_as_chance_says() -> None:
    """Of N trips n are drawn: each with n/N, each pair with C(N-2, n-2)/C(N, n) (hypergeometric). 4 000 seeds."""
    ended, many, seeds = tuple(f"1-{n:06d}" for n in range(10)), 4, 4_000
    single: Counter[str] = Counter()
    pair: Counter[tuple[str, str]] = Counter()
    for seed in range(1, seeds + 1):
        drawn = sorted(drawn_trips(ended, many, seed))
        single.update(drawn)
        pair.update(combinations(drawn, 2))
    for p, counts, cells in (
        (many / len(ended), list(single.values()), len(ended)),
        (comb(8, 2) / comb(10, 4), list(pair.values()), comb(10, 2)),
    ):
        assert len(counts) == cells
        spread = (seeds * p * (1 - p)) ** 0.5
        assert max(abs(n - seeds * p) for n in counts) < 4.5 * spread


def test_a_draw_is_never_larger_than_what_there_is() -> None:
    assert sorted(drawn_trips(("a", "b"), 20, 3)) == ["a", "b"]
