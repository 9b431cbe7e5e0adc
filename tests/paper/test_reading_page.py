"""The huddle's page of a set that was read: its pictures in gray, its words whole, no reader on it."""

import os
from collections.abc import Callable
from dataclasses import replace
from hashlib import sha256
from pathlib import Path

import pypdfium2 as pdfium  # type: ignore[import-untyped]
import pytest

from kiosk.core.composing import ReportOrder, compose_report
from kiosk.core.papers import Pictured, Report
from kiosk.paper.render import render
from tests.core.reading_sets import SET, all_read, pictures, with_set
from tests.core.test_references import TYPE, with_references
from tests.ui.screens.lumen_stills import lay_stills

ROWS = {"T1": ["yes", "no"] * 4, "T2": ["yes", "yes"] * 4, "R1": ["no", "unsure"] * 4}


def page(many: int = 8) -> Report:
    shift = with_set(many)
    all_read(shift, {who: row[:many] for who, row in ROWS.items()})
    order = ReportOrder(doc="reading_report", number="RD-10001", about=SET)
    return compose_report(shift.session.paper_glance(), order)


@pytest.fixture(scope="module")
def stills(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("pictures")
    lay_stills(folder, [one.file for one in pictures(8)])
    return folder


def drawn(pdf: bytes) -> list[pdfium.PdfImage]:
    kind = pdfium.raw.FPDF_PAGEOBJ_IMAGE
    return [each for sheet in pdfium.PdfDocument(pdf) for each in sheet.get_objects(filter=[kind])]


def lying(paper: Report, place: Callable[[str], Path]) -> Report:
    """The page as if what lies there had been kept so: invented pictures have invented sums."""

    def kept(one: Pictured) -> Pictured:
        file = place(one.file)
        return replace(one, sha256=sha256(file.read_bytes()).hexdigest()) if file.is_file() else one

    sections = (replace(each, pictures=tuple(map(kept, each.pictures))) for each in paper.sections)
    return replace(paper, sections=tuple(sections))


def printed(paper: Report, place: Callable[[str], Path]) -> bytes:
    """The page with the pictures that lie there."""
    return render(lying(paper, place), pictures=place)


def text(pdf: bytes) -> str:
    return " ".join(sheet.get_textpage().get_text_bounded() for sheet in pdfium.PdfDocument(pdf)).replace("\r\n", " ")


def test_six_pictures_that_split_most_stand_on_it_and_the_others_are_counted(stills: Path) -> None:
    pdf = printed(page(), stills.joinpath)
    assert len(drawn(pdf)) == 6
    said = text(pdf)
    assert "2 more pictures were not read alike" in said
    assert "Reading practice 2031-Q1" in said
    assert "CAN’T TELL 1" in said
    assert len(pdfium.PdfDocument(pdf)) == 2


def test_pictures_are_gray_and_keep_what_is_dark_and_bright(stills: Path) -> None:
    """Beside the file itself: the mean gray of the picture on paper is that of the file, within its rounding."""
    import numpy as np
    from PIL import Image

    paper = page()
    first = paper.sections[1].pictures[0]
    (shown, *_) = drawn(printed(paper, stills.joinpath))
    on_paper = np.asarray(shown.get_bitmap().to_pil().convert("L"), dtype=float)
    in_file = np.asarray(Image.open(stills / first.file).convert("L"), dtype=float)
    assert on_paper.mean() == pytest.approx(in_file.mean(), abs=1)
    assert on_paper.std() == pytest.approx(in_file.std(), rel=0.05)


def test_a_picture_that_lies_elsewhere_leaves_an_empty_frame_and_the_page_stands(tmp_path: Path) -> None:
    pdf = printed(page(), tmp_path.joinpath)
    assert drawn(pdf) == []
    assert "CAN’T TELL 1" in text(pdf)


def test_the_same_page_gives_the_same_bytes(stills: Path) -> None:
    assert printed(page(), stills.joinpath) == printed(page(), stills.joinpath)


def test_the_wall_page_holds_every_picture_that_counts_with_who_agreed_and_when(stills: Path) -> None:
    shift = with_references()
    order = ReportOrder(doc="reference_page", number="RP-10001", about=TYPE)
    paper = compose_report(shift.session.paper_glance(), order)
    pdf = printed(paper, lambda file: stills / file.replace("reference_", "reading_"))
    assert len(drawn(pdf)) == 2
    said = text(pdf)
    assert "Bone or grit. Version 2, agreed by Person S1 and Person E1, 2031-02-27." in said
    assert "It decides nothing" in said


def test_a_picture_that_is_a_pipe_or_too_large_or_of_another_kind_leaves_its_room_empty_and_the_page_is_made(
    stills: Path, tmp_path: Path
) -> None:
    from PIL import Image

    paper = page()
    first, second, third, *_ = (one.file for one in paper.sections[1].pictures)
    others = {first: tmp_path / "pipe.png", second: tmp_path / "large.png", third: tmp_path / "other.png"}
    os.mkfifo(others[first])
    Image.new("1", (10_000, 5_001)).save(others[second], "PNG")
    Image.new("L", (64, 48)).save(others[third], "GIF")
    pdf = printed(paper, lambda name: others.get(name, stills / name))
    assert len(drawn(pdf)) == 3


def test_whatever_a_decoder_raises_the_page_is_made(stills: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from PIL import Image

    def broken(*_: object, **_more: object) -> None:
        raise SyntaxError("broken")

    monkeypatch.setattr(Image, "open", broken)
    assert drawn(printed(page(), stills.joinpath)) == []


def test_a_picture_whose_bytes_are_not_those_that_were_kept_is_not_printed(stills: Path, tmp_path: Path) -> None:
    paper = lying(page(), stills.joinpath)
    first = paper.sections[1].pictures[0].file
    changed = tmp_path / first
    changed.write_bytes((stills / first).read_bytes() + b"one byte more, which no decoder minds")
    pdf = render(paper, pictures=lambda name: changed if name == first else stills / name)
    assert len(drawn(pdf)) == 5
    gone = "Not printed: the file is not here, or is not the picture that was kept."
    assert text(pdf).count(gone) == 1
    whole = render(paper, pictures=stills.joinpath)
    assert len(drawn(whole)) == 6
    assert gone not in text(whole)
