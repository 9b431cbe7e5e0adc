"""A row of the table of events: version, class, and what it means to a program too old to know it."""

from typing import NamedTuple


class Shipped(NamedTuple):
    """`cls`: hold (treat as held), clear (ignore) or info (show at most). Name and version never change meaning."""

    version: int
    kind: type
    cls: str
