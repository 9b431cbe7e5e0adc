"""The reading practice through the real screens: from the first picture to the huddle, whole on every panel."""

from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication, QWidget

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.commands import Page
from kiosk.core.views import ReadingView
from kiosk.ui.audit import violations
from kiosk.ui.parts.answers import AnswerPlate
from kiosk.ui.screens import reading
from tests.core.department import PIN, Shift
from tests.core.reading_sets import SET, all_read, many_readers, pictures, sign_in, with_set
from tests.ui.samples import PANELS
from tests.ui.screens.lumen_stills import lay_stills, lies
from tests.ui.screens.test_cleaning_test_pages import Glass
from tests.ui.screens.test_desk_crawl import codes

ROWS = {"T1": ["yes", "no", "yes", "no", "no", "yes"], "T2": ["yes", "yes", "no", "no", "unsure", "yes"]}
LONG = "2031-Q1 knees and hips 2"


@pytest.fixture(autouse=True)
def invented_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "as_kept", lies)


@pytest.fixture(scope="module")
def stills(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    lay_stills(folder, [one.file for one in pictures(6)])
    return folder


def glass_of(shift: Shift, panel: str, lie: Callable[[str], Path]) -> Glass:
    glass = Glass(shift, panel)
    glass.window.set_kept(lie)
    return glass


def reader(name: str = "2031-Q1") -> Shift:
    shift = with_set(6, name=name)
    shift.session.tongues = resources.tongues()
    sign_in(shift, "T1")
    return shift


def wrong(glass: Glass, also: Iterable[str] = ()) -> list[str]:
    assert glass.window.current is not None
    return [*violations(glass.window.current, glass.glass), *codes(glass.window.current), *also]


def test_a_reader_touches_through_every_picture_and_each_answer_is_in_the_log_before_the_next_one(
    qapp: QApplication, stills: Path
) -> None:
    shift = reader()
    glass = glass_of(shift, "15.6 in", stills.joinpath)
    glass.follow(c.Turn(page=Page.HAPPENED))
    glass.touch("read pictures")
    for n in range(6):
        view = shift.session.view()
        assert isinstance(view, ReadingView)
        glass.touch(("yes", "no", "unsure")[n % 3])
        said = [kept.event for kept in shift.log if isinstance(kept.event, e.PictureRead)]
        assert (len(said), said[-1].says) == (n + 1, ("yes", "no", "unsure")[n % 3])
        assert view.picture.endswith(f"_{said[-1].picture}.png")
    assert "Your answers are kept without your name." in glass.words()
    glass.window.close()


def test_a_picture_that_does_not_lie_here_cannot_be_answered(qapp: QApplication, tmp_path: Path) -> None:
    shift = reader()
    glass = glass_of(shift, "10.1 in", tmp_path.joinpath)
    glass.follow(c.BeginReading(set=SET))
    assert "This picture is not at this station." in glass.words()
    assert not [w for w in glass.window.findChildren(AnswerPlate) if w.isVisible()]
    assert wrong(glass) == []
    glass.window.close()


def test_the_answers_stand_where_they_stand_in_the_work(qapp: QApplication, stills: Path) -> None:
    """Hands learn places: YES, CAN'T TELL and NO have one width and one order on both pages."""
    shift = reader()
    glass = glass_of(shift, "15.6 in", stills.joinpath)
    glass.follow(c.BeginReading(set=SET))
    plates = {w.objectName(): w for w in glass.window.findChildren(AnswerPlate) if w.isVisible()}
    assert sorted(plates, key=lambda name: plates[name].x()) == ["no", "unsure", "yes"]
    glass.follow(c.ChooseSetting(key="yes", value="left"))
    sign_in(shift, "T1")  # within a sign-in the answers never change their places
    glass.window.use(shift.session.settings())
    glass.follow(c.BeginReading(set=SET))
    plates = {w.objectName(): w for w in glass.window.findChildren(AnswerPlate) if w.isVisible()}
    assert sorted(plates, key=lambda name: plates[name].x()) == ["yes", "unsure", "no"]
    glass.window.close()


def every_page(glass: Glass, look: Callable[[str, Any], None]) -> None:
    """Each page of the practice in turn: asked, done, sets, open set, asked to end, figures, split pictures."""
    shift = glass.shift
    look("reading", c.BeginReading(set=SET))
    while isinstance(view := shift.session.view(), ReadingView):
        assert isinstance(view.yes.send, c.ReadPicture)
        glass.follow(replace(view.yes.send, says=ROWS["T1"][int(view.yes.send.picture) - 1]))
    look("done", c.Turn(page=Page.READING, subject=SET))
    sign_in(shift, "S1")
    look("open", c.Turn(page=Page.READING_SET, subject=SET))
    look("ask to end", c.Turn(page=Page.READING_SET, subject=f"end:{SET}"))
    all_read(shift, {"T2": ROWS["T2"]})
    look("sets", c.Turn(page=Page.READING_SETS))
    for n in range(2):
        look(f"figures {n}", c.Turn(page=Page.READING_SET, subject=SET, number=n))
        look(f"split {n}", c.Turn(page=Page.READING_SPLIT, subject=SET, number=n))


@pytest.mark.parametrize("lying", [True, False], ids=["pictures here", "pictures elsewhere"])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_of_the_practice_stands_whole(
    qapp: QApplication, stills: Path, tmp_path: Path, panel: str, language: str, lying: bool
) -> None:
    shift = reader(LONG)
    for who in ("S1", "T1"):
        sign_in(shift, who)
        shift.must(c.ChooseSetting(key="language", value=language))
    glass = glass_of(shift, panel, (stills if lying else tmp_path).joinpath)
    found: list[str] = []

    def look(name: str, send: Any) -> None:
        glass.follow(send)
        found.extend(f"{name}: {line}" for line in wrong(glass))

    every_page(glass, look)
    glass.window.close()
    assert found == []


def test_the_key_stands_under_something_happened_only_for_whoever_has_not_read(qapp: QApplication) -> None:
    shift = Shift(desk=many_readers())
    shift.must(c.EnterPin(person="T1", pin=PIN))
    glass = Glass(shift)
    glass.follow(c.Turn(page=Page.HAPPENED))
    assert not glass.window.findChildren(QWidget, "read pictures")
    glass.window.close()
