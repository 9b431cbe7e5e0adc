"""What is asked for the kit."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenSwabLot:
    """A new box of swabs: its lot."""

    lot: str


KitCommand = OpenSwabLot
