"""The guides, the policy page and "how it is counted": nothing left out, no key that is not on the glass, one page."""

import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date
from pathlib import Path
from typing import Any, cast

import pytest
import yaml
from PIL import Image, ImageChops
from PySide6.QtCore import QSizeF, Qt, QUrl
from PySide6.QtGui import QFont, QImage, QPageSize, QTextDocument
from pytestqt.qtbot import QtBot

from kiosk.core.past.counters import COUNTERS
from kiosk.core.past.figures import REMEMBERING, Asked, Bar, By, Figures, Marks, Numbers, Spot
from kiosk.core.policy_choices import GROUPS, group_of
from kiosk.quality.month_tables import month_rows

ROOT = Path(__file__).resolve().parents[2]
DOCS = ROOT / "docs"
GUIDES = ("guide_tech.md", "guide_decontam.md", "guide_supervisor.md")
PICTURE = re.compile(r"!\[[^\]]*\]\(([^)]+)\)")
LINK = re.compile(r"(?<!!)\[[^\]]*\]\(([^)#]+)[^)]*\)")
KEY = re.compile(r"\*([^*\n]+)\*")
SHOWN = [ROOT / "README.md", *(DOCS / name for name in GUIDES)]


def text_of(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


def rows(text: str) -> list[list[str]]:
    """The rows of all tables whose first cell is a key between backticks."""
    lines = [line for line in text.splitlines() if line.startswith("| `")]
    return [[cell.strip() for cell in line.strip().removeprefix("|").removesuffix("|").split(" | ")] for line in lines]


def said(node: Any) -> Iterator[str]:
    if isinstance(node, str):
        yield " ".join(node.split())
    elif isinstance(node, dict):
        for each in node.values():
            yield from said(each)
    elif isinstance(node, list):
        for each in node:
            yield from said(each)


def test_each_setting_of_the_policy_has_its_row_and_no_other_has() -> None:
    delivered = yaml.safe_load((ROOT / "resources" / "policy.yaml").read_text(encoding="utf-8"))
    told = {row[0].strip("`"): row[1] for row in rows(text_of("policy.md"))}
    assert len(rows(text_of("policy.md"))) == len(told)
    assert set(told) == set(delivered)
    plain = {key: value for key, value in delivered.items() if not isinstance(value, dict | list)}
    assert {key: told[key] for key in plain} == {
        key: str(value).lower() if isinstance(value, bool) else str(value) for key, value in plain.items()
    }
    assert {told[key] for key, value in delivered.items() if isinstance(value, dict | list)} == {"a list", "none"}


def test_each_setting_says_what_it_does_and_whose_knowledge_it_wants() -> None:
    who = {"M", "IP", "IFU", "OH", "ED", "R", "IT"}
    for key, _, does, _, decides in rows(text_of("policy.md")):
        assert does, key
        assert set(decides.split(", ")) <= who, key


def test_the_settings_stand_in_the_groups_of_the_glass() -> None:
    parts = re.split(r"^## ", text_of("policy.md"), flags=re.MULTILINE)[1:]
    assert len(parts) == len(GROUPS)
    for group, part in zip(GROUPS, parts, strict=True):
        keys = {row[0].strip("`") for row in rows(part)}
        elsewhere = {key for key in keys if group_of(key) != group}
        assert elsewhere <= {"air_gauge_kpa"}, group  # by file alone; it stands with the kit that it is about


def section(name: str) -> dict[str, list[str]]:
    part = text_of("counted.md").partition(f"## {name}\n")[2].partition("\n## ")[0]
    return {row[0].strip("`"): row[1:] for row in rows(part)}


def test_each_figure_of_the_summary_is_told_in_the_words_of_its_back_page() -> None:
    words = yaml.safe_load((ROOT / "resources/words/en/summary.yaml").read_text(encoding="utf-8"))["summary"]
    told = section("Shift summary")
    assert set(told) == {*COUNTERS, "first_pass"} == set(words["how"])
    assert told == {key: [words["name"][key], words["how"][key]] for key in told}


class OneOfEach:
    """A past in which every figure has one point."""

    def figures(self, asked: Asked, *_: object) -> Figures:
        return Figures(asked=asked, spots=(Spot(label="x", found=1, of=2, lower=0.0, upper=1.0),), center=0.5)

    def codes(self, *_: object) -> tuple[Bar, ...]:
        return (Bar(what="x", n=1),)

    types = codes

    def marks(self, *_: object) -> Marks:
        return Marks(shares=(0.5,), unplaced=0)


def test_each_figure_of_the_month_report_is_told_and_those_of_the_desk_alone() -> None:
    past, day = cast("Numbers", OneOfEach()), date(2031, 3, 4)
    written = {row.figure for row in month_rows(past, {}, day, day, lambda _: None)}
    told = set(section("The desk's charts and the month report"))
    assert told == written | {str(by) for by in REMEMBERING}
    assert {f"by_{by}" for by in By if by not in REMEMBERING} <= written


@pytest.mark.parametrize("name", GUIDES)
def test_every_key_that_a_guide_names_stands_on_the_glass(name: str) -> None:
    words = {
        text for path in (ROOT / "resources/words/en").glob("*.yaml") for text in said(yaml.safe_load(path.read_text()))
    }
    named = KEY.findall(text_of(name).replace("**", ""))
    assert len(named) > 5
    assert not [key for key in named if key not in words]


@pytest.mark.parametrize("name", GUIDES)
def test_every_guide_bears_the_cautions(name: str) -> None:
    text = text_of(name)
    assert "IFU, local code, facility policy and licensed practice decide" in text
    assert 'never says "sterile", and never "clean" on its own account' in text
    assert len(re.findall(r"\bsterile\b", text)) == 1


class Printed(QTextDocument):
    """A guide as plain Markdown on a page: letters of 11 points, pictures 48 mm wide, margins 12 mm. Units: points."""

    def __init__(self, name: str, page: QSizeF) -> None:
        super().__init__()
        font = QFont()
        font.setPixelSize(11)
        self.setDefaultFont(font)
        self.setDocumentMargin(12 / 25.4 * 72)
        self.setMarkdown(text_of(name))
        self.setPageSize(page)

    def loadResource(self, kind: int, name: QUrl | str) -> object:
        del kind
        image = QImage(str(DOCS / (name if isinstance(name, str) else name.toString())))
        assert not image.isNull(), name
        return image.scaledToWidth(round(48 / 25.4 * 72), Qt.TransformationMode.SmoothTransformation)


@pytest.mark.parametrize("paper", [QPageSize.PageSizeId.Letter, QPageSize.PageSizeId.A4])
@pytest.mark.parametrize("name", GUIDES)
def test_every_guide_prints_on_one_page(name: str, paper: QPageSize.PageSizeId, qtbot: QtBot) -> None:
    assert Printed(name, QSizeF(QPageSize(paper).size(QPageSize.Unit.Point))).pageCount() == 1


def test_a_guide_that_is_too_long_is_told(qtbot: QtBot) -> None:
    assert Printed(GUIDES[0], QSizeF(612, 396)).pageCount() > 1  # half a page of letter paper


def test_every_page_that_is_linked_and_every_picture_is_there() -> None:
    gone = [
        f"{path.name}: {target}"
        for path in [ROOT / "README.md", *DOCS.glob("*.md")]
        for target in [*LINK.findall(path.read_text("utf-8")), *PICTURE.findall(path.read_text("utf-8"))]
        if not target.startswith("http") and not (path.parent / target).exists()
    ]
    assert not gone


def test_the_readme_leads_to_every_page_of_docs() -> None:
    linked = set(LINK.findall((ROOT / "README.md").read_text(encoding="utf-8")))
    assert {f"docs/{path.name}" for path in DOCS.glob("*.md")} <= linked


def made() -> set[str]:
    """The names that packaging/pictures.py writes: of its plays, of its papers, and the chart's."""
    script = (ROOT / "packaging" / "pictures.py").read_text(encoding="utf-8")
    plays = re.findall(r'"(\w+)": "[\w/]+"', script)
    (papers,) = re.findall(r"PAPERS = \(([^)]+)\)", script)
    return {*plays, *re.findall(r'"(\w+)"', papers), *re.findall(r'"(\w+)\.png"', script)}


def test_every_picture_that_lies_there_is_made_and_every_one_shown_too() -> None:
    assert {path.stem for path in (DOCS / "pictures").iterdir()} == made()
    shown = {Path(name).stem for path in SHOWN for name in PICTURE.findall(path.read_text(encoding="utf-8"))}
    assert shown <= made()


@pytest.mark.slow
def test_the_pictures_are_what_the_screens_show_today(tmp_path: Path) -> None:
    subprocess.run([sys.executable, "packaging/pictures.py", str(tmp_path)], cwd=ROOT, check=True, timeout=290)
    stale = [path.name for path in sorted(tmp_path.iterdir()) if differs(path, DOCS / "pictures" / path.name)]
    assert not stale, "make them anew: bash packaging/pictures"


def differs(one: Path, other: Path) -> bool:
    """Another size, or more than 1 in 500 pixels off by an eighth of the range (a choice: fonts' edges may move)."""
    with Image.open(one) as first, Image.open(other) as second:
        if first.size != second.size:
            return True
        gray = ImageChops.difference(first.convert("L"), second.convert("L"))
        off = sum(gray.histogram()[32:])
        return off * 500 > first.width * first.height


def test_a_picture_of_another_screen_is_told_from_this_one() -> None:
    pictures = DOCS / "pictures"
    assert differs(pictures / "check.png", pictures / "finding.png")
    assert not differs(pictures / "check.png", pictures / "check.png")
