"""What kit would change where the kit file names prices: the ranking by price on glass and paper, nothing cut."""

from dataclasses import replace
from decimal import Decimal
from functools import partial

import pytest
from pypdfium2 import PdfDocument  # type: ignore[import-untyped]
from PySide6.QtWidgets import QApplication

from kiosk.core.catalogue import Catalogue, Offer
from kiosk.core.commands import Page
from kiosk.core.composing import ReportOrder, compose_report
from kiosk.paper.render import render
from kiosk.quality.additions import offered
from kiosk.quality.kit_study import by_price, kit_study
from tests.core.department import Shift, desk
from tests.ui.samples import PANELS
from tests.ui.screens.audited import wrong_on
from tests.ui.screens.test_unseen_pages import at_desk, crowded, demo, listed, pages, speak, view

OFFERS = (
    Offer(id="Q-1", kind="scope", od_mm=Decimal("0.95"), reach_mm=Decimal(170), bends=True,
          price=Decimal("128500.00"), currency="MXN"),
    Offer(id="Q-2", kind="scope", od_mm=Decimal("1.6"), reach_mm=Decimal(300), bends=True,
          price=Decimal("46000.00"), currency="MXN"),
    Offer(id="Q-3", kind="head", head_mm=Decimal(20), price=Decimal("310.50"), currency="MXN"),
    Offer(id="Q-4", kind="head", head_mm=Decimal("1.0"), price=Decimal("290.00"), currency="MXN"),
)  # fmt: skip


def with_offers(catalogue: Catalogue) -> Catalogue:
    return replace(catalogue, kit=replace(catalogue.kit, offers=OFFERS))


def priced() -> Shift:
    return at_desk(with_offers(replace(crowded(), kit=demo().kit)))


@pytest.mark.slow
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", sorted(PANELS))
def test_no_page_with_prices_is_cut_or_crowded(qapp: QApplication, panel: str, language: str) -> None:
    shift = priced()
    speak(shift, language)
    assert wrong_on(partial(pages, shift), shift, panel) == ""


def test_no_price_stands_on_a_page_where_none_is_named() -> None:
    shift = at_desk(demo())
    page = view(shift, Page.KIT_CHANGES)
    assert [key.name for key in page.others] == ["two"]
    assert "price" not in " ".join(page.lines).lower()
    assert view(shift, Page.KIT_CHANGES, "price").panels == page.panels
    assert not [row for each in listed(shift, Page.KIT_RANKED) for row in each.rows if "for each" in row.sub]


def test_offers_are_ranked_by_the_wall_for_each_unit_of_price_one_alone_and_two_together() -> None:
    found = with_offers(demo())
    shift = at_desk(found)
    study = kit_study(found, desk().policy, found.kit, pairs=True, prices=offered(found.kit))
    wanted = by_price((*study.singles, *study.pairs))
    assert {len(gain.additions) for gain in wanted} == {1, 2}
    page = view(shift, Page.KIT_CHANGES, "price")
    assert [key.name for key in page.others] == ["one", "two"]
    bars = page.panels[0].drawing.bars
    assert [bar.n for bar in bars] == [pytest.approx(float(gain.per_price_mm2 or 0)) for gain in wanted[: len(bars)]]
    rows = [row for each in listed(shift, Page.KIT_RANKED, "price") for row in each.rows]
    assert len(rows) == len(wanted)
    for row, gain in zip(rows, wanted, strict=True):
        assert row.sub.startswith(f"{gain.price:,f} MXN: ")
        assert " for each MXN. " in row.sub
    by_area = [row.sub for each in listed(shift, Page.KIT_RANKED) for row in each.rows]
    assert sum("for each MXN" in sub for sub in by_area) == len(wanted)


def test_the_page_on_paper_has_the_price_and_the_wall_for_each_unit_of_it() -> None:
    shift = priced()
    report = compose_report(shift.session.glance(), ReportOrder(doc="unseen_report", number="NS-10001"))
    for language in ("en", "es"):
        speak(shift, language)
        paper = compose_report(shift.session.glance(), ReportOrder(doc="unseen_report", number="NS-10001"))
        assert len(PdfDocument(render(paper, language=language))) == 1
    (section,) = [each for each in report.sections if each.title == "Most wall a week for each MXN"]
    assert section.lines
    assert all(" MXN: " in line.note for line in section.lines)
