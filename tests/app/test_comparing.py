"""Today's still beside the known look at the whole kiosk: after the answer only, turned on, outlines off at first."""

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QPointF
from PySide6.QtGui import QImage

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core import views as v
from kiosk.core.still import Outlined, Turned
from kiosk.sight.rendered import Scene, still
from kiosk.sight.rendered_wall import Soil
from kiosk.ui.screens.compare import CompareScreen, onto
from tests.app.seeing import Walk, drops, walk
from tests.core.department import PIN

__all__ = ["drops", "walk"]

KNOWN = Scene(seed=31, wall_seed=4, width=640, height=360)
TODAY = replace(KNOWN, seed=32, roll_deg=25.0, soil=(Soil(angle_deg=80.0, depth_mm=9.0, across_mm=1.2),))


def png(scene: Scene) -> bytes:
    held = io.BytesIO()
    Image.fromarray(still(scene).picture).save(held, "PNG")
    return held.getvalue()


def take(walk: Walk, drops: Path, name: str, scene: Scene) -> None:
    walk.open_camera()
    walk.drop(drops, name, png(scene))
    walk.touch("freeze")
    walk.touch("keep still")
    walk.settled()
    walk.touch("pictures done")


def another_station_has_it(walk: Walk) -> None:
    """The look that stands here was accepted at another station too: it stays there, whatever is said here."""
    walk.kiosk.session.hear_anew({"B2": walk.shift.bench})


def with_known_look(walk: Walk, drops: Path) -> None:
    """A look accepted by a second person by touches; then the check is asked again and another still is taken."""
    take(walk, drops, "a.png", KNOWN)
    walk.shift.yes()
    walk.touch("compare pictures")
    walk.touch("second person accepts")
    walk.shift.must(c.EnterPin(person="T2", pin=PIN, second="still-1"))
    walk.touch("accept look")
    assert next(iter(walk.shift.bench.looks.values())).by == "T2"
    another_station_has_it(walk)
    walk.shift.must(c.TakeBack())
    assert not walk.shift.bench.looks, "here it went with its YES"
    take(walk, drops, "b.png", TODAY)


def page(walk: Walk) -> CompareScreen:
    walk.qtbot.waitUntil(lambda: not walk.kiosk.stills.comparing.busy, timeout=30_000)
    walk.fingers.settle()
    assert isinstance(walk.kiosk.window.current, CompareScreen)
    return walk.kiosk.window.current


def outlines(page: CompareScreen) -> tuple[Outlined, ...]:
    assert page.today is not None
    return page.today._outlined


def test_before_the_answer_no_touch_and_no_turn_leads_to_the_known_look(walk: Walk, drops: Path) -> None:
    with_known_look(walk, drops)
    names = {key.objectName() for key in walk.fingers.buttons()}
    assert "picture page" in names
    assert "compare pictures" not in names
    for n in ("1", "2"):
        walk.shift.must(c.Turn(page=c.Page.STILLS, subject=n))
        assert isinstance(walk.kiosk.session.view(), v.AskView)


@pytest.mark.parametrize("yes", [True, False], ids=["YES", "NO"])
def test_after_the_answer_both_stand_side_by_side_and_outlines_are_off_until_touched(
    walk: Walk, drops: Path, yes: bool
) -> None:
    with_known_look(walk, drops)
    if not yes:
        walk.shift.no("red_mark")
        walk.shift.confirm("tray_back")
        walk.shift.must(c.Turn(page=c.Page.STILLS, subject="2"))
    else:
        walk.shift.must(c.Answer(piece="A1", key="bore.scope", yes=True, took_ms=90_000))
        walk.touch("compare pictures")
    shown = page(walk)
    view = walk.kiosk.session.view()
    assert isinstance(view, v.StillsView)
    assert (view.today, view.known) == tuple(each.file for each in reversed(walk.shift.trip.stills))
    assert view.aid == "An aid, not a test. You decide."
    assert "of this line, not of this piece" in view.known_say
    assert shown.known is not None
    assert shown.today is not None
    assert shown.known._turned is not None
    assert shown.known._turned.turn_deg == pytest.approx(25, abs=1)
    assert not shown.outlines_on
    assert len(outlines(shown)) == 0
    walk.touch("outlines")
    assert len(outlines(shown)) > 0, "the red mark is outlined, with its number"
    walk.touch("outlines")
    assert len(outlines(shown)) == 0


def test_a_wall_that_does_not_fit_is_said_and_stands_as_it_was_taken(walk: Walk, drops: Path) -> None:
    take(walk, drops, "a.png", KNOWN)
    walk.shift.yes()
    walk.shift.must(c.EnterPin(person="T2", pin=PIN, second="still-1"), c.AcceptLook(by="T2", n=1))
    another_station_has_it(walk)
    walk.shift.must(c.TakeBack())
    take(walk, drops, "b.png", replace(TODAY, wall_seed=77))
    walk.shift.yes()
    walk.touch("compare pictures")
    shown = page(walk)
    assert shown.known is not None
    assert shown.known._turned is None
    assert "does not fit" in shown._said(shown._view)  # type: ignore[arg-type]


@pytest.mark.expect_log("two pictures could not be compared")
def test_a_fault_that_nobody_foresaw_leaves_the_page_not_waiting(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: object) -> None:
        raise MemoryError

    monkeypatch.setattr("kiosk.app.comparing._compared", fails)
    take(walk, drops, "a.png", KNOWN)
    walk.shift.yes()
    walk.touch("compare pictures")
    shown = page(walk)
    view = walk.kiosk.session.view()
    assert isinstance(view, v.StillsView)
    assert shown._said(view) == "The way down the tube was not found. Nothing was compared."


def test_nothing_of_a_comparison_is_kept(walk: Walk, drops: Path) -> None:
    with_known_look(walk, drops)
    walk.shift.yes()
    before = walk.kiosk.store.log.head().seq
    walk.touch("compare pictures")
    page(walk)
    walk.touch("outlines")
    assert walk.kiosk.store.log.head().seq == before
    assert not [k for _, k in walk.kiosk.store.records.kept("finding") if isinstance(k.event, e.Found)]


def test_the_known_look_is_laid_on_by_turning_and_scaling_about_its_axis() -> None:
    """By hand: a point 10 px right of the known axis, turned by 90 degrees toward the bottom and doubled, lies 20 px
    under today's axis."""
    laid = onto(Turned(turn_deg=90.0, scale=2.0, today=(50.0, 40.0), known=(30.0, 20.0)))
    at = laid.map(QPointF(40.0, 20.0))
    assert (at.x(), at.y()) == pytest.approx((50.0, 60.0))


def test_what_is_reckoned_as_the_turn_is_how_the_renderer_turned_the_wall() -> None:
    """Laid on each other the two walls are alike; left as they are they are not (Pearson's correlation of gray)."""
    from PySide6.QtGui import QPainter

    from kiosk.app.comparing import _turned
    from kiosk.app.still_pictures import array_of
    from kiosk.sight.registration import register

    now, before = (still(each).picture for each in (replace(TODAY, soil=()), KNOWN))
    turned = _turned(register(now, before))
    assert turned is not None
    source = QImage(before.tobytes(), 640, 360, 3 * 640, QImage.Format.Format_RGB888)
    laid = QImage(640, 360, QImage.Format.Format_RGB888)
    laid.fill(0)
    with QPainter(laid) as painter:
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        painter.setTransform(onto(turned))
        painter.drawImage(0, 0, source)
    middle = np.s_[60:300, 200:440, 1]
    fits, apart = (
        float(np.corrcoef(now[middle].ravel(), each[middle].ravel())[0, 1]) for each in (array_of(laid), before)
    )
    assert fits > apart + 0.02


def test_a_known_looks_file_that_is_not_what_was_accepted_is_said_and_not_compared(walk: Walk, drops: Path) -> None:
    with_known_look(walk, drops)
    known = walk.kiosk.still(walk.shift.trip.stills[0].file)
    known.write_bytes(png(replace(KNOWN, seed=33)))
    walk.shift.must(c.Answer(piece="A1", key="bore.scope", yes=True, took_ms=90_000))
    walk.touch("compare pictures")
    shown = page(walk)
    view = walk.kiosk.session.view()
    assert isinstance(view, v.StillsView)
    assert shown.known is None, "it is not shown"
    assert shown._said(view) == "The known look's file is not what was accepted: it is not compared."
    assert shown._compared is not None
    assert shown._compared.turned is None
