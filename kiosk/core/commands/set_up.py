"""What the pages of the set-up send. They stand before the bench is up: no bench is there yet to decide anything."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SetUp:
    """The answer to a page of the set-up: which page (`kiosk.core.set_up.Ask`), and what was given."""

    ask: str
    value: str = ""
