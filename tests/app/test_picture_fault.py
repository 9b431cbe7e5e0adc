"""Why a picture was not kept is told in the language of whoever stands there; the system's own words go to the log."""

import errno
import io
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageOps

from kiosk.app.picture_fault import why_words
from kiosk.app.still_pictures import array_of
from kiosk.core import commands as c
from kiosk.core import views as v
from kiosk.core.place import Place
from kiosk.store.bench_store import Outage
from tests.app.seeing import Walk, drops, kept, picture, walk

__all__ = ["drops", "walk"]

FAULTS = [
    (Outage("disk_full"), "El disco está lleno."),
    (Outage("read_only"), "El disco no deja escribir nada."),
    (OSError(errno.ENOENT, "No such file or directory"), "Su archivo no se puede leer ni escribir."),
    (ValueError("the frame could not be written as a PNG"), "No se puede guardar como imagen."),
]


@pytest.mark.parametrize(("fault", "said"), FAULTS, ids=["full", "read only", "gone", "no picture"])
def test_on_a_spanish_screen_the_reason_is_spanish(
    walk: Walk, drops: Path, monkeypatch: pytest.MonkeyPatch, fault: Exception, said: str
) -> None:
    walk.shift.must(c.ChooseSetting(key="language", value="es"))
    walk.shift.must(c.Turn())

    def fails(*_: object) -> str:
        raise fault

    walk.open_camera()
    walk.drop(drops, "a.png", picture(3))
    walk.touch("freeze")
    monkeypatch.setattr(walk.kiosk.store, "keep_picture", fails, raising=False)
    walk.touch("keep still")
    walk.settled()
    view = walk.kiosk.session.view()
    assert isinstance(view, v.CameraView)
    assert said in view.notice
    assert "such file" not in view.notice
    assert not kept(walk)


def test_a_chosen_picture_that_is_gone_is_told_in_words_of_ours(walk: Walk) -> None:
    walk.shift.must(
        c.Answer(piece="A1", key="bore.scope", yes=False),
        c.ReportFinding(code="red_mark", place=Place(lumen="bore", at_mm=50)),
        c.Turn(page=c.Page.PHOTO),
    )
    walk.kiosk.picture_chosen(str(walk.kiosk.shelves.incoming / "gone.png"))
    assert "Its file can not be read or written." in walk.kiosk.session.view().notice


def test_what_nobody_foresaw_is_a_sentence_too() -> None:
    assert why_words(None) == why_words(RuntimeError("?")) == "It can not be kept as a picture."


@pytest.mark.parametrize("turned", [1, 3, 6, 8])
def test_a_picture_stands_as_its_file_says_wherever_it_is_shown_and_its_bytes_stay(
    walk: Walk, drops: Path, turned: int
) -> None:
    """EXIF orientation (tag 0x0112: EXIF 2.32; from memory), against Pillow's own upright picture."""
    exif = Image.Exif()
    exif[0x0112] = turned
    data = picture(7, kind="JPEG", exif=exif, quality=95)
    upright = ImageOps.exif_transpose(Image.open(io.BytesIO(data)))
    assert upright is not None
    walk.open_camera()
    walk.drop(drops, "a.jpg", data)
    walk.touch("freeze")
    assert walk.page.lens is not None
    frozen = array_of(walk.page.lens.image)
    assert frozen.shape[:2] == (upright.height, upright.width)
    mine, theirs = (
        np.asarray(each.resize((32, 32)).convert("L"), dtype=int) for each in (Image.fromarray(frozen), upright)
    )
    assert np.abs(mine - theirs).max() < 8
    walk.touch("keep still")
    walk.settled()
    (event,) = kept(walk)
    assert (event.width, event.height) == upright.size
    assert walk.kiosk.still(event.file).read_bytes() == data, "the original is kept unchanged"
    small = walk.kiosk.stills.thumbs.find(event.file)
    assert small is not None
    with Image.open(small) as opened:
        assert (opened.width > opened.height) == (upright.width > upright.height)
