"""The words of the house: what a screen or a paper may never say."""

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml

from kiosk import resources

ROOT = Path(__file__).resolve().parents[2]
RESOURCES = ROOT / "resources"

# A claim that the tool cannot make. What rinses an eye, and the department's own name are no claims.
CLAIM = re.compile(r"\bsteril(e|ity|ized)\b(?! (processing|water|irrigants|barrier))", re.IGNORECASE)
# Words that blame, ask twice, or speak of the machine instead of the tray.
# "failed check in a row" is what the tag for the repair bench has to say.
UNKIND = re.compile(
    r"\b(are you sure|invalid|errors?|fail(s|ed|ure)?(?! check in a row)|reject(s|ed)?|violation|users?|oops)\b"
    r"|\bsuccess\b",
    re.IGNORECASE,
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


def _code() -> Iterator[Path]:
    yield from sorted((ROOT / "kiosk").rglob("*.py"))


def _built(node: ast.expr) -> str:
    """The pattern of a key that code puts together: f"photo.reasons.{reason}"; what is filled in has no dot."""
    match node:
        case ast.JoinedStr():
            return "".join(_built(part) for part in node.values)
        case ast.BinOp(op=ast.Add()):
            return _built(node.left) + _built(node.right)
        case ast.Constant(value=str(text)):
            return re.escape(text)
    return "[^.]+"


def _keys_in_code() -> tuple[set[str], set[str]]:
    """Whole strings, and patterns that begin with a room of the words and a dot."""
    whole, built = set(), set()
    for path in _code():
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                whole.add(node.value)
            elif isinstance(node, ast.JoinedStr | ast.BinOp) and re.match(r"[a-z_]+\\\.", pattern := _built(node)):
                built.add(pattern)
    return whole, built


def test_every_word_is_used_somewhere() -> None:
    words = resources.words()
    whole, built = _keys_in_code()
    keys = (*words.texts, *words.lists)
    assert len(keys) > 300
    assert [key for key in keys if key not in whole and not any(re.fullmatch(p, key) for p in built)] == []


def test_every_policy_key_is_read_or_says_that_it_is_not_used_yet() -> None:
    code = "\n".join(
        path.read_text(encoding="utf-8") for path in _code() if path.name not in {"policy.py", "policy_choices.py"}
    )
    lines = (RESOURCES / "policy.yaml").read_text(encoding="utf-8").splitlines()
    rows = {line.partition(":")[0]: line for line in lines if re.match(r"[a-z_]+:", line)}
    assert set(rows) == set(resources.default_policy_values())
    idle = {key for key in rows if not re.search(rf"\b{key}\b", code)}
    assert {key for key, line in rows.items() if "not used yet" in line} == idle
