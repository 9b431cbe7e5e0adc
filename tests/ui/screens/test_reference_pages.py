"""Reference pictures on the glass: whole on every panel, agreed to by touch, first at "What soil looks like"."""

from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from kiosk import resources
from kiosk.core import commands as c
from kiosk.core.commands import Page
from kiosk.ui.audit import violations
from kiosk.ui.screens import reading
from tests.core.department import EAR
from tests.core.reading_sets import sign_in
from tests.core.test_references import agreed, counting, department, offer, with_references
from tests.ui.samples import PANELS
from tests.ui.screens.lumen_stills import lay_stills, lies
from tests.ui.screens.test_cleaning_test_pages import Glass
from tests.ui.screens.test_desk_crawl import codes


@pytest.fixture(autouse=True)
def invented_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reading, "as_kept", lies)


@pytest.fixture(scope="module")
def stills(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    lay_stills(folder, [f"reference_{n}.png" for n in range(1, 6)])
    return folder


def test_two_people_agree_by_touch(qapp: QApplication, stills: Path) -> None:
    shift = department()
    shift.must(offer(1))
    sign_in(shift, "S1")
    glass = Glass(shift)
    glass.window.set_kept(stills.joinpath)
    for who in ("S1", "E1"):
        sign_in(shift, who)
        glass.follow(c.Turn(page=Page.REFERENCES))
        glass.touch("reference RF-10001", "agree")
    assert counting(shift) == {"RF-10001": 1}
    assert "Version 1, agreed by Person S1 and Person E1" in glass.words()
    glass.window.close()


@pytest.mark.parametrize("lying", [True, False], ids=["pictures here", "pictures elsewhere"])
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("panel", PANELS)
def test_every_page_of_them_stands_whole(
    qapp: QApplication, stills: Path, tmp_path: Path, panel: str, language: str, lying: bool
) -> None:
    shift = with_references()
    shift.session.tongues = resources.tongues()
    shift.must(offer(5, "brown_film"))
    agreed(shift, "RF-10005", "E1")
    for who in ("T1", "S1"):
        sign_in(shift, who)
        shift.must(c.ChooseSetting(key="language", value=language))
    glass = Glass(shift, panel)
    glass.window.set_kept((stills if lying else tmp_path).joinpath)
    wrong: list[str] = []

    def look(name: str, send: Any) -> None:
        glass.follow(send)
        assert glass.window.current is not None
        said = [*violations(glass.window.current, glass.glass), *codes(glass.window.current)]
        wrong.extend(f"{name}: {line}" for line in said)

    every_page(glass, look)
    glass.window.close()
    assert wrong == []


def every_page(glass: Glass, look: Any) -> None:
    """The list, one that waits, the newest, an older one; and at the bench "What soil looks like"."""
    shift = glass.shift
    for n in range(2):
        look(f"references {n}", c.Turn(page=Page.REFERENCES, number=n))
    for number in ("RF-10005", "RF-10004", "RF-10001"):
        look(number, c.Turn(page=Page.REFERENCE, subject=number))
    shift.must(c.SignOut())
    shift.sign_in("T1")
    shift.open(EAR)
    shift.count()
    shift.yes_until("A1.bore.swab")
    for n in range(3):
        look(f"soil {n}", c.Turn(page=Page.SOIL, number=n))
