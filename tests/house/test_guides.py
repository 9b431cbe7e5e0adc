"""The pages for users: every setting and every figure is told, each picture is there, a guide fits one page."""

import re
from pathlib import Path

import pytest
import yaml

from kiosk.core.figures import REMEMBERING, By
from kiosk.places import RESOURCES

DOCS = Path(__file__).resolve().parents[2] / "docs"
PAGES = sorted(DOCS.glob("*.md"))
GUIDES = sorted(DOCS.glob("guide_*.md"))
MOST_WORDS = 400
"""What stands on one printed page beside its two pictures (a choice)."""


def text(name: str) -> str:
    return (DOCS / name).read_text(encoding="utf-8")


def test_the_policy_page_tells_every_setting_and_no_other() -> None:
    told = re.findall(r"^\| `(\w+)` \|", text("policy.md"), re.MULTILINE)
    assert told == list(yaml.safe_load((RESOURCES / "policy.yaml").read_text(encoding="utf-8")))


def test_the_page_of_figures_tells_every_figure_of_the_month_report() -> None:
    told = set(re.findall(r"`(\w+)`", text("counted.md")))
    figures = {f"by_{by}" for by in By if by not in REMEMBERING}
    assert told == {*figures, "by_group", "by_code", "findings_by_type", "place"}


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_what_a_page_leads_to_is_there(page: Path) -> None:
    links = re.findall(r"\]\(([^)#]+)\)", page.read_text(encoding="utf-8"))
    assert not [link for link in links if ":" not in link and not (page.parent / link).exists()]


@pytest.mark.parametrize("guide", GUIDES, ids=lambda guide: guide.name)
def test_a_guide_fits_one_page_and_says_who_decides(guide: Path) -> None:
    words = re.sub(r"!?\[([^]]*)\]\([^)]*\)", r"\1", guide.read_text(encoding="utf-8")).split()
    assert len(words) <= MOST_WORDS
    assert "facility" in " ".join(words)
    assert "policy" in " ".join(words)
    assert guide.read_text(encoding="utf-8").count("![") in {1, 2}


def test_the_readme_leads_to_every_page() -> None:
    readme = (DOCS.parent / "README.md").read_text(encoding="utf-8")
    assert not [page.name for page in PAGES if f"docs/{page.name}" not in readme]
