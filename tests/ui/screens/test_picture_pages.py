"""Pictures of a trip and of an item: listed in small with their answers, shown in large, named on the printed lookback;
one that was dropped says so and is no hole."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from hashlib import sha256
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.commands import Page
from kiosk.core.composing.lookback import paper_of
from kiosk.core.desk import PictureRoom
from kiosk.core.past import lookback
from kiosk.core.past.told_pictures import pictures_of
from kiosk.core.place import Place
from kiosk.core.stamp import local_time
from kiosk.core.together.returns import absent
from kiosk.ui.audit import violations
from tests.core.department import PIN, Shift
from tests.core.test_shift_summary import texts
from tests.core.test_stills import accept, at_scope, still
from tests.ui.samples import PANELS
from tests.ui.screens.long_names import in_spanish, show, stand
from tests.ui.screens.lumen_stills import lay_stills
from tests.ui.screens.test_cleaning_test_pages import Glass
from tests.ui.screens.test_desk_crawl import codes
from tests.ui.screens.test_rail_notice import at_the_inner_tube, in_the_rail

FILES = [f"still-{n}.png" for n in (1, 2, 3)]


@pytest.fixture(scope="module")
def stills(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    lay_stills(folder, FILES)
    return folder


@dataclass
class Looked:
    """A trip with three stills: one a known look, one dropped, one of a finding; a supervisor at the desk."""

    shift: Shift
    trip: str
    hashes: list[str]


@pytest.fixture
def looked(stills: Path) -> Looked:
    shift = at_scope()
    hashes = [sha256((stills / file).read_bytes()).hexdigest() for file in FILES]
    shift.must(still(shift, 1, 30, sha256=hashes[0]), still(shift, 2, None, sha256=hashes[1]))
    shift.yes()
    accept(shift, 1)
    while shift.step.check is None or not shift.step.check.key.endswith("scope"):
        shift.yes()
    here = shift.step
    assert here.check is not None
    other = still(shift, 3, 50, piece=here.piece, lumen=here.check.lumen, sha256=hashes[2])
    shift.must(other)
    shift.no("red_mark", Place(lumen=here.check.lumen, at_mm=50))
    trip = shift.trip.id
    last = shift.log[-1]
    dropped = e.PicturesDropped(files=(FILES[1],), why="days")
    shift.log.append(replace(last, event=dropped, stamp=replace(last.stamp, trip=None, who=None)))
    shift.must(c.SignOut(), c.EnterPin(person="S1", pin=PIN))
    return Looked(shift, trip, hashes)


def test_each_picture_stands_with_its_answer_what_was_found_and_whether_it_is_gone(looked: Looked) -> None:
    one, two, three = pictures_of(looked.shift.desk.records, [looked.trip])
    assert [each.sha256 for each in (one, two, three)] == looked.hashes
    assert (one.answer, one.accepted, one.found, one.gone) == ("yes", True, (), None)
    assert (two.answer, two.accepted) == ("yes", False)
    assert two.gone is not None
    assert two.gone.why == "days"
    assert (three.answer, three.found) == ("no", ("red_mark",))


def test_an_answer_that_was_taken_back_does_not_stand_beside_its_picture() -> None:
    shift = at_scope()
    shift.must(still(shift))
    shift.yes()
    shift.must(c.TakeBack())
    (one,) = pictures_of(shift.desk.records, [shift.trip.id])
    assert one.answer == ""


def glass_of(looked: Looked, panel: str, stills: Path, language: str = "en") -> Glass:
    looked.shift.session.tongues = resources.tongues()
    looked.shift.must(c.ChooseSetting(key="language", value=language))
    glass = Glass(looked.shift, panel)
    glass.window.set_kept(stills.joinpath)
    glass.window.set_source(None, stills.joinpath)
    return glass


@pytest.fixture
def glass(qapp: QApplication, looked: Looked, stills: Path) -> Iterator[Glass]:
    glass = glass_of(looked, "15.6 in", stills)
    yield glass
    glass.window.close()


def test_from_a_trips_record_to_its_pictures_to_one_in_large_and_back_by_touch(glass: Glass, looked: Looked) -> None:
    glass.follow(c.Turn(page=Page.TRIP, subject=looked.trip))
    glass.touch("pictures")
    words = glass.words()
    date = f"{local_time(looked.shift.log[0].stamp.at_ms, 0):%Y-%m-%d}"
    assert f"Picture dropped on {date}, as policy says: its days were over." in words
    assert "answered YES" in words
    assert "known look" in words
    assert "answered NO" in words
    glass.touch(f"picture {FILES[0]}")
    words = glass.words()
    assert f"SHA-256 {looked.hashes[0][:12]}" in words
    assert "3 cm from ENTRY" in words
    glass.follow(c.Turn(page=Page.KEPT_PICTURE, subject=looked.trip, number=1))
    assert "as policy says" in glass.words()


def test_a_file_that_is_not_what_was_kept_is_said_and_not_shown(
    glass: Glass, looked: Looked, stills: Path, tmp_path: Path
) -> None:
    (tmp_path / FILES[0]).write_bytes((stills / FILES[1]).read_bytes())
    glass.window.set_kept(tmp_path.joinpath)
    glass.follow(c.Turn(page=Page.KEPT_PICTURE, subject=looked.trip, number=0))
    assert "This file is not the picture that was kept. It is not shown." in glass.words()
    glass.follow(c.Turn(page=Page.KEPT_PICTURE, subject=looked.trip, number=2))
    assert "This picture does not lie at this station." in glass.words()


def test_an_item_lists_the_pictures_of_its_pieces_over_its_trips(glass: Glass, looked: Looked) -> None:
    glass.follow(c.Turn(page=Page.LOOKBACK, subject="item=A1"))
    glass.touch("pictures")
    view = looked.shift.session.view()
    assert isinstance(view, v.ListView)
    assert [row.name for row in view.rows] == [f"picture {file}" for file in FILES[:2]]


def test_the_printed_lookback_names_every_picture_by_date_answer_and_hash(looked: Looked) -> None:
    g = looked.shift.session.glance()
    question = lookback.Question(kind="tray", value=(looked.shift.log[0].stamp.trip and "TR-1") or "")
    found = lookback.trace(g.desk.records, [looked.trip], g.desk.policy)
    text = texts(paper_of(g, question, found, lookback.chained(g.desk.records, question)))
    for each in looked.hashes:
        assert f"SHA-256 {each[:12]}" in text
    assert "Picture dropped on" in text
    assert "Red or red-brown mark" in text


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_of_them_stands_whole(
    qapp: QApplication, looked: Looked, stills: Path, panel: str, language: str
) -> None:
    glass = glass_of(looked, panel, stills, language)
    wrong: list[str] = []
    turns = [c.Turn(page=Page.TRIP, subject=looked.trip), c.Turn(page=Page.LOOKBACK, subject="item=A1")]
    turns += [c.Turn(page=Page.PICTURES, subject=subject) for subject in (looked.trip, "item=A1", "nothing")]
    turns += [c.Turn(page=Page.KEPT_PICTURE, subject=looked.trip, number=n) for n in range(3)]
    for turn in turns:
        glass.follow(turn)
        assert glass.window.current is not None
        said = [*violations(glass.window.current, glass.glass), *codes(glass.window.current)]
        wrong.extend(f"{turn}: {line}" for line in said)
    glass.window.close()
    assert wrong == []


@pytest.mark.parametrize("state", ["nearly", "full"])
@pytest.mark.parametrize("spanish", [False, True], ids=["en", "es larger"])
@pytest.mark.parametrize("panel", PANELS)
def test_the_rail_says_that_pictures_take_their_room_where_nothing_else_is_to_be_said(
    qapp: QApplication, panel: str, spanish: bool, state: str
) -> None:
    both = at_the_inner_tube()
    if spanish:
        in_spanish(both.bench)
    both.bench.session.room(PictureRoom(used=85 if state == "nearly" else 100, given=100))
    window, clock = stand(qapp, both.bench, panel)
    said = "Fotos" if spanish else "Pictures"
    assert said not in in_the_rail(window), "a return that was not found goes before"
    lost = absent(both.bench.bench, both.bench.session.desk)
    both.bench.must(*(c.SeeAbsent(ticket=one.number) for one in lost))
    show(window, both.bench, clock)
    assert said in in_the_rail(window)
    assert window.current is not None
    assert violations(window.current, window.glass) == []
    window.close()
