"""The pages of two records that cannot both be, as stations that were apart come to them: nothing cut, no codes."""

from collections.abc import Callable, Iterator
from functools import cache

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.core.place import Place
from kiosk.core.views import View
from kiosk.ui.audit import violations
from kiosk.ui.parts.glass import new_glass
from kiosk.ui.theme import BENCH
from kiosk.ui.window import Window
from tests.core.department import EAR, PIN, PLAIN, Shift
from tests.core.test_two_answers import answered
from tests.core.test_two_policies import at_the_desks, changed_apart, sign
from tests.core.two_benches import Stations, stations
from tests.ui.samples import PANELS, Clock
from tests.ui.screens.test_desk_crawl import codes, turns


def _three_open(*names: str) -> Stations:
    """One tray at these benches: packed at the first, something found and a piece missing at the others."""
    known = stations(*names)
    for name in names:
        known[name].sign_in("T1")
        known[name].open(EAR)
    known[names[0]].count()
    known[names[0]].yes_to_all()
    known[names[0]].pack()
    known[names[0]].tidy()
    for name in names[1:]:
        shift = known[name]
        shift.must(c.CountLine(line="Bent tube", have=1), c.CountLine(line="Paired tube", have=2))
        shift.must(c.CountLine(line="Forceps", have=3), c.CountDiffers())
        shift.yes_until("A1.bore.swab")
        shift.no("bone_grit", Place(lumen="bore", at_mm=40))
    known.meet()
    return known


def _policies() -> Stations:
    known = at_the_desks("B1", "B2")
    sign(known["B1"], fail_limit=2, max_dry_tries=1, second_person=["override", "pack_short", "unsure"])
    sign(known["B2"], verify_where="both", look_time="wait", tell_lead_at=1)
    known.meet()
    return known


MADE: dict[str, Callable[[], Stations]] = {
    "two_trips": cache(lambda: _three_open("B1", "B2")),
    "three_trips": cache(lambda: _three_open("B1", "B2", "B3")),
    "answers": cache(lambda: answered("cleaned", "cannot_shift")),
    "policy": cache(_policies),
    "record": cache(changed_apart),
}


def _pages(name: str, language: str) -> Iterator[tuple[str, Shift, View]]:
    """The conflict's page, the list that leads to it, and the record of a held tray."""
    known = MADE[name]()
    shift = known["B1"]
    shift.session.tongues = resources.tongues()
    if shift.bench.who != "S1":
        shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN)) if shift.bench.who else shift.must(
            c.EnterPin(person="S1", pin=PIN)
        )
    shift.must(c.ChooseSetting(key="language", value=language))
    todo = [c.Turn(page=Page.CONFLICT, subject=known.conflict()), c.Turn(page=Page.NEEDS)]
    for turn in todo:
        shift.must(turn)
        view = shift.session.view()
        todo += [each for each in turns(view) if each.page is Page.CONFLICT and each not in todo]
        yield f"{name}_{turn.subject.rpartition('|')[2] or turn.page}", shift, view


@cache
def _held() -> Stations:
    known = stations("B1", "B2")
    for name in ("B1", "B2"):
        known[name].sign_in("T1")
        known[name].open(PLAIN)
        known[name].count()
    known.meet()
    return known


def _at_the_bench(language: str) -> Iterator[tuple[str, Shift, View]]:
    """Where the tech stands: the check with the sentence in the rail, then the shelf."""
    shift = _held()["B1"]
    shift.session.tongues = resources.tongues()
    shift.must(c.ChooseSetting(key="language", value=language))
    yield "bench_check", shift, shift.session.view()
    shift.yes_to_all()
    yield "bench_shelf", shift, shift.session.view()


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
@pytest.mark.parametrize("name", [*MADE, "bench"])
def test_every_page_of_a_conflict_stands_whole(qapp: QApplication, name: str, panel: str, language: str) -> None:
    size, density = PANELS[panel]
    clock = Clock()
    glass = new_glass(size, density, BENCH, clock)
    window = Window(glass, wall_ms=lambda: 1_930_000_000_000, clock_text=lambda: "14:07")
    window.clock_timer.stop()
    window.show()
    wrong = []
    for page, shift, _ in _at_the_bench(language) if name == "bench" else _pages(name, language):
        shift.session.small = window.small
        window.use(shift.session.settings())
        window.show_view(shift.session.view())
        clock.now += 2_000
        assert window.current is not None
        wrong += [f"{page}: {line}" for line in violations(window.current, glass)]
        wrong += [f"{page}: a code, {text}" for text in codes(window.current)]
    window.close()
    assert wrong == []
