"""The shift summary: every figure with what it is a part of, what stands behind it, and never another first print."""

import re
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.composing.summary import _aloud
from kiosk.core.papers import Report
from kiosk.core.past.counters import COUNTERS
from kiosk.core.past.records import shift_named
from kiosk.core.past.summing import percent, summary_of
from kiosk.core.place import Place
from kiosk.core.stamp import Kept
from tests.core.department import EAR, PIN, PLAIN, Shift, at_work, names, people, with_one_back_and_shelved

DAY = "day/" + datetime.fromtimestamp(1_930_000_000, UTC).date().isoformat()


def a_day() -> Shift:
    """One piece soiled and back, one tray packed; then the supervisor at the desk."""
    shift = with_one_back_and_shelved()
    shift.open(PLAIN)
    shift.count()
    shift.yes_to_all()
    shift.pack()
    shift.print_all()
    shift.must(c.Readable(yes=True), c.SignOut())
    return shift


def to_desk(shift: Shift, *, hour: int = 15) -> Shift:
    midnight = shift.at_ms // 86_400_000 * 86_400_000
    shift.at_ms = midnight + hour * 3_600_000
    shift.must(c.EnterPin(person="S1", pin=PIN))
    return shift


def printed(shift: Shift) -> Report:
    """Print the day's summary; the paper as it is composed."""
    shift.must(c.PrintReport(doc="shift_summary", about=DAY))
    job = shift.bench.jobs[-1]
    order = ReportOrder(doc=job.doc, number=job.number, copy=job.copy, about=job.about)
    paper = compose_report(shift.session.glance(), order)
    shift.session.send(c.PrintCame(doc=job.doc, number=job.number, copy=job.copy, where="queue"))
    return paper


def texts(paper: Report) -> str:
    parts = [paper.title, paper.about, *paper.headline]
    for section in paper.sections:
        parts += [section.title, *section.paragraphs, section.note]
        parts += [part for line in section.lines for part in (line.label, line.value, line.note)]
    return " | ".join(parts)


def test_a_figure_stands_with_what_it_is_a_part_of() -> None:
    text = texts(printed(to_desk(a_day())))
    assert "1 piece with soil of 3 checked" in text
    assert "1 tray packed complete of 1 ended" in text
    assert "1 ticket not yet received, waiting" in text


@pytest.mark.parametrize("code", ["en", "es"])
def test_what_is_read_aloud_of_the_trays_says_one_of_each_in_the_singular(code: str) -> None:
    shift = to_desk(a_day())
    shift.session.words = resources.words(code)
    kept = printed(shift)
    assert kept.headline[0].startswith({"en": "2 tray trips opened: 1 packed", "es": "2 pasos de bandeja"}[code])
    names = ("trays_opened", "trays_packed", "trays_packed_short", "trays_back", "trays_open_at_end")
    one = summary_of(shift_named(DAY), shift.desk, shift.bench, shift.now())
    figures = {**one.figures, **dict.fromkeys(names, 1)}
    (said, *_) = _aloud(shift.session.glance(), replace(one, figures=figures))
    assert (
        said
        == {
            "en": "1 tray trip opened: 1 packed complete, 1 packed short, 1 whole tray back, 1 open.",
            "es": "1 paso de bandeja abierto: 1 completo, 1 incompleto, 1 devuelto entero, 1 abierto.",
        }[code]
    )


def test_under_fifty_no_percentage_is_shown_and_no_share_is_rounded_away() -> None:
    assert percent(1, 49) == ""
    assert percent(7, 96) == "7 %"
    assert percent(1, 1000) == "1 %"
    assert percent(999, 1000) == "99 %"
    assert percent(0, 60) == "0 %"
    assert percent(60, 60) == "100 %"
    assert percent(9, None) == ""
    assert "%" not in texts(printed(to_desk(a_day())))


def test_every_percentage_stands_behind_both_of_its_numbers() -> None:
    shift = to_desk(a_day())
    figures = {**dict.fromkeys((*COUNTERS, "trays_ended", "first_pass"), 60), "pieces_checked": 90, "soil": 7}
    shift.log.append(_counted(shift, figures))
    text = texts(printed(shift))
    shares = re.findall(r"[^|]*\d %[^|]*", text)
    assert shares
    for share in shares:
        assert len(re.findall(r"\d+", share)) >= 3, share


def _counted(shift: Shift, figures: dict[str, int]) -> Kept:
    stamp = shift.log[-1].stamp
    event = e.SummaryCounted(
        shift="day", date=DAY[4:], number="S-20001", until_ms=stamp.at_ms, over=True, figures=figures, rows=()
    )
    return Kept(event=event, stamp=stamp)


def test_no_name_of_anybody_stands_on_the_summary() -> None:
    shift = to_desk(a_day())
    text = texts(printed(shift))
    for person in people().values():
        assert person.name not in text
        assert not re.search(rf"\b{person.id}\b", text.replace("S-1", ""))


def test_a_later_print_says_so_and_never_has_other_figures() -> None:
    shift = to_desk(a_day())
    first = printed(shift)
    late = [kept for kept in shift.log if isinstance(kept.event, e.BenchCleaned)]
    at = next(n for n, kept in enumerate(shift.log) if isinstance(kept.event, e.SignedOut))
    shift.log[at:at] = late[:1]  # another station's wipe of that day is heard now
    shift.minutes(40)
    again = printed(shift)
    assert "first print, data to 15:00" in first.about
    assert "printed again 15:4" in again.about
    assert "data to 15:00" in again.about
    assert again.number == first.number
    assert again.headline == first.headline
    assert [s for s in again.sections if not s.title.startswith("Heard since")] == list(first.sections)
    heard = next(section for section in again.sections if section.title.startswith("Heard since"))
    assert [line.value for line in heard.lines] == ["+1"]


def test_the_print_of_a_shift_that_still_runs_is_no_last_word() -> None:
    shift = to_desk(a_day(), hour=14)
    assert "the shift still runs, data to 14:00" in printed(shift).about
    shift.must(c.SignOut())
    final = printed(to_desk(shift))
    assert "first print, data to 15:00" in final.about
    kinds = [kept.event for kept in shift.log if isinstance(kept.event, e.SummaryPrinted)]
    assert [kind.again for kind in kinds] == [False, True]


def test_only_the_desk_prints_the_summary() -> None:
    shift = at_work(PLAIN)
    assert names(shift.send(c.PrintReport(doc="shift_summary", about=DAY))) == ["try_refused"]
    assert shift.refused == "refused.not_at_desk"


@pytest.mark.parametrize("about", ["", "day", "no_shift/2031-03-04", "day/2031-33-04"])
def test_a_shift_that_is_none_is_not_printed(about: str) -> None:
    shift = to_desk(a_day())
    assert not shift.session.send(c.PrintReport(doc="shift_summary", about=about))


def page(shift: Shift, which: Page, subject: str = "", number: int = 0) -> v.ListView:
    shift.session.send(c.Turn(page=which, subject=subject, number=number))
    view = shift.session.view()
    assert isinstance(view, v.ListView)
    return view


def every_row(shift: Shift, which: Page, subject: str = "") -> list[v.ListRow]:
    first = page(shift, which, subject)
    return [row for n in range(first.pages) for row in page(shift, which, subject, n).rows]


def test_every_figure_on_the_screen_opens_as_many_trips_as_it_says() -> None:
    shift = to_desk(a_day())
    opened = 0
    for row in every_row(shift, Page.SUMMARY, DAY):
        if row.send is None:
            continue
        assert isinstance(row.send, c.Turn)
        name = row.name.removeprefix("figure ")
        behind = every_row(shift, Page.FIGURE, row.send.subject)
        said = int(re.findall(r"\d+", row.title)[0])
        assert len(behind) == said, name
        opened += 1
    assert opened > 8


def test_a_row_behind_a_figure_opens_the_record_of_its_trip() -> None:
    shift = to_desk(a_day())
    (row,) = every_row(shift, Page.FIGURE, f"{DAY}/soil")
    assert isinstance(row.send, c.Turn)
    assert row.send.page is Page.TRIP
    text = " ".join(f"{line.title} {line.sub}" for line in every_row(shift, Page.TRIP, row.send.subject))
    assert "Bone" in text
    assert "Return ticket K-1" in text
    assert "seen" in text


def test_exposures_are_a_number_and_nothing_else() -> None:
    shift = to_desk(a_day())
    shift.must(c.FirstAid(), c.FirstAidDone())
    view = page(shift, Page.FIGURE, f"{DAY.replace('day', 'late')}/exposures")
    assert view.rows == ()
    assert "1" in view.title


def test_the_first_page_is_read_aloud_in_three_minutes() -> None:
    """150 words a minute are read aloud (common practice, from memory)."""
    paper = printed(to_desk(a_day()))
    first = []
    for section in paper.sections:
        if section.title == "Most findings by item type and place":
            break
        first.append(section)
    count = sum(len(part.split()) for part in (texts(paper).split(" | ")[: 2 + len(paper.headline)]))
    count += sum(len(f"{line.label} {line.value} {line.note}".split()) for s in first for line in s.lines)
    assert count <= 450


def test_the_back_page_tells_how_every_counter_is_counted() -> None:
    back = printed(to_desk(a_day())).sections[-1]
    assert "how counted" in back.title
    assert len(back.lines) == len(COUNTERS) + 1
    assert all(": " in line.label for line in back.lines)


def test_the_shifts_on_offer_are_the_last_nine() -> None:
    rows = every_row(to_desk(a_day()), Page.SHIFTS)
    assert len(rows) == 9
    assert rows[0].value == "runs now"
    assert date.fromisoformat(rows[1].name.split("/")[1]) <= date.fromisoformat(rows[0].name.split("/")[1])


def test_a_ticket_names_its_tray_though_that_trip_ended_long_ago() -> None:
    shift = at_work(EAR)
    shift.yes_until("A1.bore.swab")
    shift.no("red_mark", Place(lumen="bore", at_mm=10))
    shift.confirm("tray_back")
    shift.tidy()
    (ticket,) = shift.trip.tickets
    for _ in range(12):
        shift.open(PLAIN)
        shift.count()
        shift.yes_to_all()
        shift.pack()
        shift.print_all()
        shift.must(c.Readable(yes=True))
    assert ticket.number not in {t.number for trip in shift.bench.trips.values() for t in trip.tickets}
    shift.must(c.SignOut())
    said = texts(printed(to_desk(shift)))
    assert f"{ticket.number} | " in said
    assert "Ear set · TR-1" in said
