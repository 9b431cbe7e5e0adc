"""What we never see and what kit would change, on the glass and on paper: the figures of the study, nothing cut."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache, partial
from threading import Event
from typing import Any

import pytest
from pypdfium2 import PdfDocument  # type: ignore[import-untyped]
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.catalogue import Catalogue, Item, Tray
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.composing.unseen import part_share
from kiosk.core.papers import Report
from kiosk.core.vocabulary import Check, Feature, Learnt
from kiosk.paper.render import render
from kiosk.places import RESOURCES
from kiosk.quality import remembered
from kiosk.quality.kit_study import kit_study, longest_of_each
from kiosk.quality.never_seen import never_seen
from kiosk.quality.remembered import Remembered
from kiosk.store.catalogue_files import load_catalogue
from tests.core.department import UNREACHED, Shift, desk
from tests.lumen.bench import item, tube
from tests.paper.crowded import ITEM
from tests.ui.samples import PANELS
from tests.ui.screens.audited import wrong_on

DEMO = RESOURCES / "demo"
WIDEST = tuple(sorted(resources.item_types(), key=lambda code: -len(resources.item_types()[code].name))[:10])
"""The item types with the longest names."""


def demo() -> Catalogue:
    return load_catalogue(DEMO, "B1")


@cache
def crowded() -> Catalogue:
    """Long names, every reason, an item type more than a chart has bars; one lumen of unknown size."""
    tubes = (
        tube("2.0", "200", Feature.CURVED), tube("3.0", "1000"), tube("2.0", "30", forbid=[Check.SCOPE]),
        tube("0.8", "100", air=100), tube("0.7", "310"), tube("3.0", "300", Feature.FILLED, air=100),
        tube("0.6", "90", forbid=[Check.SWAB, Check.AIR]), tube(learnt=Learnt.TYPICAL), tube("14", "260"),
        tube("2.4", "640", Feature.CURVED),
    )  # fmt: skip
    items: list[Item] = [
        replace(item(replace(lumen, name="irrigation and suction way"), code=f"L{n}"), name=f"{ITEM} {n:02d}"[:48],
                type=WIDEST[n])
        for n, lumen in enumerate(tubes)
    ]  # fmt: skip
    return Catalogue(trays={"TR-2000": Tray(code="TR-2000", name="Reconstruction set", items=tuple(items))})


def at_desk(catalogue: Catalogue) -> Shift:
    """S1 at the desk of a department with these trays."""
    plain = desk()
    whole = replace(plain.catalogue, trays=catalogue.trays, spares=catalogue.spares, kit=catalogue.kit, loads={})
    shift = Shift(desk=replace(plain, catalogue=whole))
    shift.sign_in("S1")
    over = replace(shift.session.desk, unseen=Remembered())
    shift.session.desk = shift.session._loaded = over
    return shift


def crowded_shift() -> Shift:
    return at_desk(replace(crowded(), kit=demo().kit))


MAKE: dict[str, Callable[[], Shift]] = {
    "demo": lambda: at_desk(demo()),
    "crowded": crowded_shift,
    "empty": lambda: at_desk(Catalogue()),
}


@pytest.fixture
def shift() -> Shift:
    return at_desk(demo())


def view(shift: Shift, page: Page, subject: str = "", number: int = 0) -> Any:
    shift.send(c.Turn(page=page, subject=subject, number=number))
    return shift.session.view()


def listed(shift: Shift, page: Page, subject: str = "") -> Iterator[v.ListView]:
    """Every page of a list."""
    first = view(shift, page, subject)
    yield first
    for n in range(1, first.pages):
        yield view(shift, page, subject, n)


def pages(shift: Shift) -> Iterator[tuple[str, Any]]:
    """Every page of what we never see."""
    yield "numbers", view(shift, Page.NUMBERS)
    for page in (Page.UNSEEN, Page.KIT_CHANGES):
        yield page, view(shift, page)
        for other in ("touched",) if page is Page.UNSEEN else ("two", "price"):
            yield f"{other} {page}", view(shift, page, other)
        yield f"how {page}", view(shift, page, "?")
    for n, shown in enumerate(listed(shift, Page.UNSEEN_LIST)):
        yield f"list {n}", shown
        for row in shown.rows:
            assert isinstance(row.send, c.Turn)
            yield row.name, view(shift, Page.UNSEEN_LUMEN, row.send.subject, n)
    for which in ("one", "two", "price", ""):
        for n, shown in enumerate(listed(shift, Page.KIT_RANKED, which)):
            if n < 12:
                yield f"ranked {which} {n}", shown


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", sorted(PANELS))
@pytest.mark.parametrize("department", sorted(MAKE))
def test_no_page_of_what_we_never_see_is_cut_or_crowded(
    qapp: QApplication, department: str, panel: str, language: str
) -> None:
    shift = MAKE[department]()
    speak(shift, language)
    assert wrong_on(partial(pages, shift), shift, panel) == ""


def speak(shift: Shift, language: str) -> None:
    """The session in a language, as somebody who chose it sees it."""
    shift.session.tongues, shift.session.language = resources.tongues(), language
    tongue = shift.session.glance().tongue
    assert tongue is not None
    assert tongue.code == language


def percent(part: Decimal, whole: Decimal) -> str:
    """As the pages write it, reckoned here by itself: whole from ten on, else one decimal."""
    value = 100 * float(part) / float(whole)
    return f"{value:.0f} %" if value >= 10 else f"{value:.1f} %"


def test_the_answer_has_the_shares_of_the_study_and_its_areas_and_says_what_is_not_in_it(shift: Shift) -> None:
    found = demo()
    whole = never_seen(found, desk().policy, found.kit).whole
    page = view(shift, Page.UNSEEN)
    unseen, untouched = whole.wall_mm2 - whole.seen_mm2, whole.wall_mm2 - whole.touched_mm2
    assert page.title == (
        f"Of the inner wall packed in a week {percent(unseen, whole.wall_mm2)} is never seen, "
        f"{percent(untouched, whole.wall_mm2)} never touched."
    )
    assert page.help == (
        f"Of {whole.wall_mm2 / 100:.0f} cm², {unseen / 100:.0f} cm² are not seen and {untouched / 100:.0f} cm² not "
        f"touched. {whole.unknown} lumens of unknown size are not in it."
    )
    assert whole.unknown == 2


@pytest.mark.parametrize(("subject", "of"), [("", "seen_mm2"), ("touched", "touched_mm2")])
def test_the_bars_are_shares_of_each_wall_and_together_they_are_the_whole(shift: Shift, subject: str, of: str) -> None:
    found = demo()
    study = never_seen(found, desk().policy, found.kit)
    names = {kind.name: code for code, kind in resources.item_types().items()}
    rows = {row.type: row for row in study.by_type}
    drawing = view(shift, Page.UNSEEN, subject).panels[0].drawing
    *bars, rest = drawing.bars
    assert drawing.full == 100
    lacks = {code: row.wall_mm2 - getattr(row, of) for code, row in rows.items()}
    named = [names[bar.words] for bar in bars]
    assert named == sorted(lacks, key=lambda code: -lacks[code])[: len(bars)]
    for bar, code in zip(bars, named, strict=True):
        assert bar.n == pytest.approx(float(100 * lacks[code] / rows[code].wall_mm2))
        assert bar.told.startswith(percent(lacks[code], rows[code].wall_mm2))
    others = [code for code in rows if code not in named and rows[code].wall_mm2]
    assert rest.words == f"{len(others)} other types"
    wall = sum((rows[code].wall_mm2 for code in others), Decimal(0))
    assert rest.n == pytest.approx(float(100 * sum(lacks[code] for code in others) / wall))


def test_every_lumen_not_seen_stands_in_the_list_with_its_reason_the_most_wall_first(shift: Shift) -> None:
    found = demo()
    study = never_seen(found, desk().policy, found.kit)
    rows = [row for page in listed(shift, Page.UNSEEN_LIST) for row in page.rows]
    assert [row.title for row in rows] == [f"{row.name} · {row.lumen} · {row.tray}" for row in study.not_seen]
    assert [row.sub.lower() for row in rows] == [
        f"{row.because[0][0]}: {row.because[0][1]}".lower() for row in study.not_seen
    ]
    assert [row.value for row in rows[-2:]] == ["size not known", "size not known"]


def test_a_lumen_that_nobody_can_see_stands_with_its_reason_and_leads_to_its_record() -> None:
    """0.4 mm x 20 mm: nothing but air reaches, and its record gives no pressure."""
    shift = at_desk(Catalogue(trays={"TR-3": Tray(code="TR-3", name="Set", items=(UNREACHED,))}, kit=demo().kit))
    (row,) = view(shift, Page.UNSEEN_LIST).rows
    assert (row.title, row.value) == ("Fine tip · bore · TR-3", "all 20 mm")
    page = view(shift, row.send.page, row.send.subject)
    assert page.lines[-2:] == (
        "Not seen: 25 of 25 mm² of the wall of one piece, 100 %. Packed a week: 1.",
        "It holds its tray until somebody rules.",
    )
    assert row.sub == page.lines[0]
    assert page.lines[0] == "Air: left out: the item record gives no IFU pressure"
    shift.send(page.keys[0].send)
    assert "Fine tip" in shift.session.view().title


def test_reasons_stand_in_the_language_of_whoever_reads_them() -> None:
    """The plan keeps English sentences; none of its "left out" is left where the page is Spanish."""
    shift = crowded_shift()
    speak(shift, "es")
    rows = [row.sub for page in listed(shift, Page.UNSEEN_LIST) for row in page.rows]
    assert "Boroscopio: no se pide: las IFU lo prohíben" in rows
    assert not [sub for sub in rows if "left out" in sub or "scope" in sub.lower().replace("boroscopio", "")]


@pytest.mark.parametrize(("which", "many"), [("one", "singles"), ("two", "pairs")])
def test_the_ranked_list_is_that_of_the_kit_study(shift: Shift, which: str, many: str) -> None:
    found = demo()
    study = kit_study(found, desk().policy, found.kit, pairs=True)
    wanted = longest_of_each(getattr(study, many))
    rows = [row for page in listed(shift, Page.KIT_RANKED, which) for row in page.rows]
    assert [row.title.replace("’", "'") for row in rows] == [
        gain.words[:1].upper() + gain.words[1:] for gain, _ in wanted
    ]
    for row, (gain, shorter) in zip(rows, wanted, strict=True):
        assert f"{gain.lumens} lumen" in row.sub
        assert ("of less reach" in row.sub) == bool(shorter)
        assert ("lets go" in row.sub) == bool(gain.frees)
        assert ("holds" in row.sub) == bool(gain.holds)
    bars = view(shift, Page.KIT_CHANGES, which).panels[0].drawing.bars
    assert [bar.n for bar in bars] == [pytest.approx(float(gain.area_mm2)) for gain, _ in wanted[: len(bars)]]
    assert len(bars) == 6


def test_what_holds_or_frees_a_tray_is_said_and_the_caution_stands_over_every_list() -> None:
    shift = crowded_shift()
    study = kit_study(replace(crowded(), kit=demo().kit), desk().policy, demo().kit)
    assert any(gain.frees for gain in study.singles)
    rows = [row for page in listed(shift, Page.KIT_RANKED, "one") for row in page.rows]
    freed = [row.sub for row in rows if "lets go 1 that holds now" in row.sub]
    assert len(freed) == sum(gain.frees == 1 for gain, _ in longest_of_each(study.singles))
    for page in (Page.KIT_CHANGES, Page.KIT_RANKED):
        assert view(shift, page).help == "The device IFU decides what may go into a lumen, whatever fits."


def test_the_weights_are_the_packages_that_the_stations_know(shift: Shift) -> None:
    """A tray packed twice a week weighs twice as much; the lines under the bars say what the weights rest on."""
    unseen = shift.session.desk.unseen
    assert unseen is not None
    assert view(shift, Page.UNSEEN).lines[0].startswith("No station knows a whole week yet")
    found = demo()
    a_week = {code: Decimal(2) if code == "TR-0757" else Decimal(1) for code in found.trays}

    class Weighed(Remembered):
        def packed_a_week(self, *_: object) -> dict[str, Decimal]:
            return a_week

    over = replace(shift.session.desk, unseen=Weighed())
    shift.session.desk = shift.session._loaded = over
    whole = never_seen(found, desk().policy, found.kit, times_a_week=a_week).whole
    page = view(shift, Page.UNSEEN)
    assert f"Of {whole.wall_mm2 / 100:.0f} cm²" in page.help
    assert page.lines[0].startswith("Weighted by how often each tray was packed in the last 8 weeks")


def test_it_is_reckoned_once_for_a_catalogue_a_policy_and_packing_figures_and_anew_for_others() -> None:
    kept, found, policy = Remembered(), demo(), desk().policy
    first = kept.walls(found, policy, None)
    assert kept.walls(replace(found, loads={}), policy, None) is first
    changes = kept.changes(found, policy, None)
    assert kept.changes(found, policy, None) is changes
    for other in (
        (found, policy, {code: Decimal(3) for code in found.trays}),
        (found, replace(policy, scope_fit_ratio=Decimal("0.5")), None),
        (replace(found, kit=replace(found.kit, scopes=())), policy, None),
        (replace(found, trays=dict(list(found.trays.items())[:3])), policy, None),
    ):
        assert kept.walls(*other) == never_seen(other[0], other[1], other[0].kit, times_a_week=other[2])
        assert kept.changes(*other) is not changes
        assert kept.walls(*other).whole != first.whole


def test_a_page_does_not_wait_for_a_long_reckoning_and_shows_it_when_it_is_told(
    shift: Shift, monkeypatch: pytest.MonkeyPatch
) -> None:
    go_on, told = Event(), Event()

    class Slow(Remembered):
        def changes(self, *given: Any) -> Any:
            assert go_on.wait(20)
            return super().changes(*given)

    monkeypatch.setattr(remembered, "PATIENCE_S", 0.01)
    over = replace(shift.session.desk, unseen=Slow(told.set))
    shift.session.desk = shift.session._loaded = over
    for page in (view(shift, Page.KIT_CHANGES), view(shift, Page.KIT_RANKED, "one")):
        words = page.lines[0] if isinstance(page, v.MenuView) else page.nothing
        assert words.startswith("Being reckoned")
    go_on.set()
    assert told.wait(20)
    found = demo()
    best, *_ = kit_study(found, desk().policy, found.kit).singles
    assert view(shift, Page.KIT_CHANGES).panels[0].drawing.bars[0].n == pytest.approx(float(best.area_mm2))


@pytest.mark.expect_log("what kit would change could not be reckoned")
def test_a_reckoning_that_breaks_is_told_to_the_log_and_nothing_is_shown_in_its_place(
    shift: Shift, monkeypatch: pytest.MonkeyPatch
) -> None:
    told = Event()

    def broken(*_: object, **__: object) -> None:
        raise RuntimeError("not today")

    monkeypatch.setattr(remembered, "kit_study", broken)
    over = replace(shift.session.desk, unseen=Remembered(told.set))
    shift.session.desk = shift.session._loaded = over
    page = view(shift, Page.KIT_CHANGES)
    assert told.wait(20)
    assert page.lines[0].startswith("Being reckoned")


def test_a_share_that_is_not_all_is_never_told_as_all_and_one_that_is_not_nothing_never_as_nothing(
    shift: Shift,
) -> None:
    g = shift.session.glance()
    whole = Decimal(100_000)
    told = [part_share(g, part, whole) for part in (Decimal(0), Decimal(1), Decimal(4321), whole - 1, whole)]
    assert told == ["0 %", "under 0.1 %", "4.3 %", "over 99 %", "100 %"]


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("department", sorted(MAKE))
def test_the_report_is_one_page_with_the_bars_the_list_and_the_ranking(department: str, language: str) -> None:
    shift = MAKE[department]()
    speak(shift, language)
    report = compose_report(shift.session.glance(), ReportOrder(doc="unseen_report", number="NS-10001"))
    pdf = render(report, language=language)
    assert len(PdfDocument(pdf)) == 1
    assert not [line for line in report.headline if "sterile" in line.lower() or "clean" in line.lower()]
    if department != "empty":
        titles = [section.title for section in report.sections]
        assert titles == [
            resources.words(language).say(f"unseen.report.{key}") for key in ("bars", "list", "one", "two", "how")
        ]
        assert report.sections[0].drawing is not None


def test_lumens_that_the_page_has_no_room_for_are_counted_with_their_wall(shift: Shift) -> None:
    report: Report = compose_report(shift.session.glance(), ReportOrder(doc="unseen_report", number="NS-10001"))
    found = demo()
    study = never_seen(found, desk().policy, found.kit)
    shown = report.sections[1]
    rest = study.not_seen[len(shown.lines) :]
    area = sum((row.unseen_a_week_mm2 for row in rest), Decimal(0)) / 100
    assert shown.note == f"{len(rest)} more lumens stand in the list at the desk, {area:.0f} cm² a week."
    assert len(rest) > 0


def test_the_desk_prints_it_under_its_own_number(shift: Shift) -> None:
    key = view(shift, Page.UNSEEN_LIST).main
    assert key is not None
    (event,) = shift.must(key.send)
    assert isinstance(event, e.PrintAsked)
    assert (event.doc, event.number) == ("unseen_report", "NS-10001")


def test_where_nobody_reckons_there_is_no_key() -> None:
    shift = Shift()
    shift.sign_in("S1")
    assert [key.name for key in view(shift, Page.NUMBERS).others] == ["other charts", "time and people"]
    assert view(shift, Page.UNSEEN).lines == ("Nothing was reckoned at this station.",)
    assert view(shift, Page.KIT_CHANGES).lines == ("Nothing was reckoned at this station.",)
