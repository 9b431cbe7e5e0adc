"""YAML read by its events, held against PyYAML's own safe loader: every file of the product, and odd documents."""

from pathlib import Path
from typing import Any

import pytest
import yaml

from kiosk.places import RESOURCES
from kiosk.yaml_events import load

ODD = (
    "", "# only a remark", "a: 1\na: 2", "- ~\n- null\n- yes\n- 0x1f\n- 1e3\n- 1.5\n- 2031-03-04\n- 07:30\n- '07:30'",
    "- |\n  block\n- >\n  folded\n  text\n", "x: &a 1\ny: *a", "base: &b {k: 1}\nd:\n  <<: *b", "!!str 5",
    "a: !!int '5'", "? [1, 2]\n: x", "a:", "=: 1", "- =", "--- 1\n--- 2", "{a: [1, {b: c}]}", "a: ''",
    "1: x\ntrue: y", "- .inf\n- -0\n- 0o7\n- 010", "a: [1", "\t- a", "a: b: c", "!!python/name:os.system x",
    "- 2031-13-45",
)  # fmt: skip


def _long_way(text: str) -> Any:
    return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))  # noqa: S506 - a safe loader


def _read(how: Any, text: str) -> Any:
    try:
        return how(text)
    except (yaml.YAMLError, ValueError) as fault:
        mark = getattr(fault, "problem_mark", None)
        return [type(fault).__name__, getattr(fault, "problem", str(fault)), mark.line if mark else None]


def _same(one: Any, other: Any) -> bool:
    """The same tree, of the same kinds, in the same order."""
    if type(one) is not type(other):
        return False
    if isinstance(one, dict):
        return list(one) == list(other) and all(_same(one[key], other[key]) for key in one)
    if isinstance(one, list):
        return len(one) == len(other) and all(map(_same, one, other))
    return bool(one == other)


@pytest.mark.parametrize("text", ODD)
def test_an_odd_document_is_read_as_the_safe_loader_reads_it(text: str) -> None:
    assert _same(_read(load, text), _read(_long_way, text))


def test_every_file_of_the_product_is_read_as_the_safe_loader_reads_it() -> None:
    files = [*RESOURCES.rglob("*.yaml"), *Path(__file__).parents[1].rglob("*.yaml")]
    assert len(files) > 100
    for file in files:
        text = file.read_text("utf-8")
        assert _same(load(text), _long_way(text)), file.name
