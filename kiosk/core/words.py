"""The words of the product: looked up by key, filled with names. They stand in resources/words, never in code."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True, slots=True)
class Words:
    """One language's words. A missing key is a bug and raises KeyError."""

    texts: Mapping[str, str]
    lists: Mapping[str, tuple[str, ...]]

    def say(self, key: str, **names: Any) -> str:
        """The text of `key`, filled with `names`."""
        return self.texts[key].format(**names) if names else self.texts[key]

    def some(self, key: str, **names: Any) -> str:
        """Like `say`, or "" where the language has no such key."""
        return self.say(key, **names) if key in self.texts else ""

    def lines(self, key: str, **names: Any) -> tuple[str, ...]:
        """The lines of `key`, each filled with `names`."""
        return tuple(line.format(**names) if names else line for line in self.lists[key])


def capital(text: str) -> str:
    """With a capital at its beginning."""
    return text[:1].upper() + text[1:]


def words_from_tree(tree: Mapping[str, Any]) -> Words:
    """Flatten a tree of words (as read from YAML) to dotted keys. Lists become lines."""
    texts: dict[str, str] = {}
    lists: dict[str, tuple[str, ...]] = {}

    def walk(prefix: str, node: Any) -> None:
        if isinstance(node, Mapping):
            for key, value in node.items():
                walk(f"{prefix}.{key}" if prefix else str(key), value)
        elif isinstance(node, list):
            lists[prefix] = tuple(str(line) for line in node)
        else:
            texts[prefix] = str(node)

    walk("", tree)
    return Words(texts, lists)
