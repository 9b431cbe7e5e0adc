"""YAML documents of the product, read by their events: the same trees as PyYAML's safe loader, in half the time."""

from typing import Any

import yaml
from yaml.events import MappingEndEvent, MappingStartEvent, ScalarEvent, SequenceEndEvent, SequenceStartEvent

LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


class _Unusual(Exception):
    """Anchors, tags, merges, several documents: PyYAML's own loader reads those."""


def load(text: str) -> Any:
    """The tree of one document: dicts, lists, and what the safe loader makes of a scalar. Raises yaml.YAMLError."""
    try:
        return _load(text)
    except _Unusual:
        return yaml.load(text, Loader=LOADER)  # noqa: S506 - a safe loader, in C where there is one


def _load(text: str) -> Any:
    loader = LOADER(text)
    try:
        loader.get_event()  # the stream begins
        if loader.check_event(yaml.StreamEndEvent):
            return None
        loader.get_event()  # the document begins
        tree = _node(loader, loader.get_event())
        loader.get_event()  # the document ends
        if not loader.check_event(yaml.StreamEndEvent):
            raise _Unusual
        return tree
    finally:
        loader.dispose()


def _node(loader: Any, event: Any) -> Any:
    kind = type(event)
    if kind is ScalarEvent:
        return _scalar(loader, event)
    if kind is yaml.AliasEvent or event.anchor or event.tag:
        raise _Unusual
    if kind is MappingStartEvent:
        tree: dict[Any, Any] = {}
        while type(event := loader.get_event()) is not MappingEndEvent:
            if type(event) is not ScalarEvent or event.value in ("<<", "="):
                raise _Unusual
            name = _scalar(loader, event)
            tree[name] = _node(loader, loader.get_event())
        return tree
    if kind is SequenceStartEvent:
        entries: list[Any] = []
        while type(event := loader.get_event()) is not SequenceEndEvent:
            entries.append(_node(loader, event))
        return entries
    raise _Unusual


def _scalar(loader: Any, event: Any) -> Any:
    if event.anchor or event.tag:
        raise _Unusual
    value = event.value
    if not event.implicit[0]:
        return value  # quoted, or a block of text
    for tag, form in loader.yaml_implicit_resolvers.get(value[:1], ()):
        if form.match(value):
            if tag not in loader.yaml_constructors:
                raise _Unusual
            node = yaml.ScalarNode(tag, value, event.start_mark, event.end_mark)
            return loader.yaml_constructors[tag](loader, node)
    return value
