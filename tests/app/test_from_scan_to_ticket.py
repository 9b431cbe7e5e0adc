"""One walk with a film of a tube, from the scan of the tray to the ticket: real windows, the real player, the real
pipeline, touches only. First a look is accepted; then the same line comes again with soil in it."""

import hashlib
import os
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PIL import Image
from PySide6.QtCore import QPoint
from PySide6.QtGui import QImage
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from kiosk.app.kiosk import Kiosk, Shelves
from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.app.still_pictures import array_of
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.devices.clock import HandClock
from kiosk.paper.printer import FolderPrinter
from kiosk.sight.rendered import Scene
from kiosk.sight.rendered_wall import Soil
from kiosk.store.bench_store import BenchStore
from tests.app.filmed import FilmedBench, film_of
from tests.core.department import EAR, MORNING, desk
from tests.faults.glass import SIZE
from tests.paper.reading import words_of

PICTURES = os.environ.get("THROUGHLIGHT_WALK_PICTURES", "")
"""A folder for pictures of the second walk's screens, to be looked at."""
KNOWN = Scene(seed=31, wall_seed=4, width=640, height=360)
TODAY = replace(KNOWN, seed=62, roll_deg=25.0, soil=(Soil(angle_deg=80.0, depth_mm=9.0, across_mm=1.2),))


def take(bench: FilmedBench, cm: int) -> None:
    """Live, freeze, how deep, keep. The film goes round: a frame that was kept before is refused, and another taken."""
    before = bench.shift.trip.stills
    bench.live()
    shown = frozen_and_kept(bench, cm)
    while bench.shift.trip.stills == before:
        assert bench.kiosk.session.notice == ("refused.still_kept", {}), "nothing else keeps a picture from being kept"
        bench.touch("try again")
        shown = frozen_and_kept(bench, cm)
    with Image.open(bench.kiosk.still(bench.shift.trip.stills[-1].file)) as kept:
        assert kept.size == (shown.width(), shown.height())
        assert np.array_equal(np.asarray(kept.convert("RGB")), array_of(shown)), "kept is what was shown, not another"


def frozen_and_kept(bench: FilmedBench, cm: int) -> QImage:
    """The frame that was before the lens, as Keep was touched."""
    bench.touch("freeze")
    shown: QImage = bench.screen.lens.image
    bench.touch("how deep")
    bench.touch("type the depth")
    bench.fingers.type(str(cm))
    bench.fingers.named("done")
    bench.seen("frozen")
    bench.touch("keep still")
    bench.settled()
    return shown


def decontam(folder: Path) -> Kiosk:
    """The station on the other side, beside the bench's store."""
    clock = HandClock(at_ms=MORNING + 86_400_000)
    made = Kiosk(
        store=BenchStore(folder / "decontam", "D1"),
        desk=replace(desk(), side="decontam"),
        clock=clock,
        window=make_window(SIZE, guess_px_per_mm(SIZE), clock, side="decontam"),
        printer=FolderPrinter(folder / "papers"),
        shelves=Shelves(incoming=folder / "incoming"),
        beside=(folder / "store",),
    )
    made.window.show()
    made.start(looks_for_quiet=False)
    return made


def say_what(bench: FilmedBench, code: str, *, at_mm: int) -> None:
    """What it is, by its key; where, by a touch on the drawn tube."""
    bench.view()
    bench.touch(f"finding {code}")
    band = bench.screen.where.band
    x = band.glass.mm(band.room_mm()[0] + band.drawing.x_of(at_mm))
    bench.fingers.tap(band, QPoint(round(x), round(band.tap_area().center().y())))


def test_from_the_scan_to_the_ticket_with_the_picture_of_what_was_seen(
    qapp: QApplication, qtbot: QtBot, tmp_path: Path
) -> None:
    first = FilmedBench(qtbot, tmp_path, film_of(tmp_path / "known.mp4", KNOWN))
    first.sign_in("T1")
    first.open(EAR)
    first.yes_until("A1.bore.scope")
    take(first, 9)
    first.touch("pictures done")
    first.yes()
    first.touch("compare pictures")
    first.touch("second person accepts")
    first.scan("T2")
    first.pin()
    first.touch("accept look")
    assert [look.by for look in first.shift.bench.looks.values()] == ["T2"]
    first.shift.must(c.Turn())
    first.shift.yes_to_all()
    first.shift.pack()
    first.settled()
    first.close()

    bench = FilmedBench(qtbot, tmp_path, film_of(tmp_path / "today.mp4", TODAY))
    bench.shift.wash(EAR)
    if PICTURES:
        bench.pictures = Path(PICTURES)
    bench.sign_in("T1")
    bench.open(EAR)
    bench.yes_until("A1.bore.scope")
    take(bench, 9)
    bench.touch("pictures done")
    assert isinstance(bench.view(), v.AskView)
    assert "compare pictures" not in {key.objectName() for key in bench.fingers.buttons()}, "it would lead the answer"
    bench.fingers.send(bench.view().no.send)
    say_what(bench, "brown_film", at_mm=90)
    assert isinstance(bench.view(), v.DecisionView)
    bench.seen("decision")
    bench.fingers.send(c.Turn(page=c.Page.PHOTO))
    take(bench, 9)
    bench.fingers.send(c.Turn())
    bench.fingers.send(bench.view().main.send)
    bench.to_the_ticket()
    (paper,) = (tmp_path / "papers").glob("return_ticket*.pdf")
    found = bench.shift.trip.findings[-1]
    number = paper.stem.removeprefix("return_ticket-")
    words = words_of(paper.read_bytes())
    for said in ("NOT CLEAR", "Dry brown or yellow film", "9 cm from ENTRY", "Bent tube", number):
        assert said in words, said

    bench.touch("compare pictures")
    qtbot.waitUntil(lambda: bench.screen.today is not None and bench.screen._compared is not None, timeout=30_000)
    compared = bench.screen._compared
    assert compared.turned is not None, "the known look of this line fits"
    assert compared.turned.turn_deg == pytest.approx(25, abs=1.5), "as the renderer turned the wall"
    assert not bench.screen.outlines_on
    bench.touch("outlines")
    assert bench.screen.today._outlined
    bench.seen("compare")

    kept = {each.file: each for each in bench.shift.trip.stills}
    assert [each.at_mm for each in kept.values()] == [90, 90]
    for each in kept.values():
        assert hashlib.sha256(bench.kiosk.still(each.file).read_bytes()).hexdigest() == each.sha256
    assert found.photo in kept
    bench.fingers.send(c.Turn())
    bench.close()

    dirty = decontam(tmp_path)
    dirty.scanned(number)
    view = dirty.session.view()
    assert isinstance(view, v.IntakeView)
    assert view.photo == found.photo, "the paper carries the drawn tube; the picture stands on the other side's screen"
    assert dirty.still(view.photo).read_bytes() == (tmp_path / "store" / "pictures" / found.photo).read_bytes()
    dirty.stop()
    dirty.window.close()
