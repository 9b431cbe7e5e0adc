"""Every blank of a word on screens and papers is filled where the word is said."""

import ast
import string
from collections.abc import Iterator
from pathlib import Path

from kiosk import resources

CODE = Path(__file__).resolve().parents[2] / "kiosk"
SAYS = {"say", "key", "lines", "some"}
"""Ways to take a word by its name, with what fills its blanks as keywords."""


def blanks(text: str) -> set[str]:
    return {name for _, name, _, _ in string.Formatter().parse(text) if name}


def calls() -> Iterator[tuple[str, str, set[str]]]:
    """(where, the word's name, what is filled in) of every call that names its word and its blanks outright."""
    for path in sorted(CODE.rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text("utf-8"))):
            if not isinstance(node, ast.Call) or not node.args or not isinstance(node.args[0], ast.Constant):
                continue
            name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
            whole = all(keyword.arg for keyword in node.keywords)
            if name in SAYS and whole and isinstance(node.args[0].value, str):
                filled = {keyword.arg for keyword in node.keywords if keyword.arg}
                yield f"{path.name}:{node.lineno}", node.args[0].value, filled


def test_every_blank_of_a_word_is_filled_where_it_is_said() -> None:
    texts = resources.words().texts
    said = [(where, key, filled) for where, key, filled in calls() if key in texts]
    assert len(said) > 300
    assert [f"{where}: {key}" for where, key, filled in said if not blanks(texts[key]) <= filled] == []
