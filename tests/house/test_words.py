"""The words of the house: what a screen or a paper may never say."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

RESOURCES = Path(__file__).resolve().parents[2] / "resources"

# A claim that the tool cannot make. What rinses an eye, and the department's own name are no claims.
CLAIM = re.compile(r"\bsteril(e|ity|ized)\b(?! (processing|water|irrigants|barrier))", re.IGNORECASE)
# Words that blame, ask twice, or speak of the machine instead of the tray.
UNKIND = re.compile(
    r"\b(are you sure|invalid|errors?|fail(s|ed|ure)?|reject(s|ed)?|violation|users?|oops|success)\b", re.IGNORECASE
)


def _strings(node: object) -> Iterator[str]:
    if isinstance(node, str):
        yield node
    elif isinstance(node, dict):
        for value in node.values():
            yield from _strings(value)
    elif isinstance(node, list):
        for value in node:
            yield from _strings(value)


def _said(pattern: re.Pattern[str], files: list[Path]) -> list[str]:
    """Strings of two words or more that hold the pattern; single words are codes."""
    return [
        f"{path.name}: {text}"
        for path in files
        for text in _strings(yaml.safe_load(path.read_text(encoding="utf-8")))
        if " " in text.strip() and pattern.search(text)
    ]


def test_no_resource_claims_sterility() -> None:
    files = sorted(RESOURCES.rglob("*.yaml"))
    assert files
    assert not _said(CLAIM, files)


def test_the_words_on_screens_and_papers_never_blame_and_never_ask_twice() -> None:
    files = sorted({*RESOURCES.glob("words*.yaml"), *RESOURCES.glob("words*/**/*.yaml")})
    if not files:
        pytest.skip("no words file yet")
    assert not _said(UNKIND, files)


@pytest.mark.parametrize(
    ("text", "claims"),
    [
        ("This tray is sterile", True),
        ("Sterile until opened", True),
        ("sterile processing department", False),
        ("rinse with sterile water", False),
        ("Cart to sterilizer", False),
    ],
)
def test_the_search_for_claims_tells_them_apart(text: str, claims: bool) -> None:
    assert bool(CLAIM.search(text)) is claims
