"""The bench's directory, as the codes room asks it: a function from a code's exact text to what it names."""

from collections.abc import Callable
from typing import NamedTuple

from kiosk.core.meaning import Kind


class Known(NamedTuple):
    """What a code names. `text` is the record's own code: a badge's text leads to the person's id."""

    kind: Kind
    text: str


Directory = Callable[[str], Known | None]
"""GS1 keys are asked as "(8003)value", "(8004)value", "(01)value(21)value", "(01)value", then as the bare values."""


def nobody(_: str) -> Known | None:
    """The directory of a bench without a catalogue."""
    return None
