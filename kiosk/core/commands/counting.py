"""What is asked for when the count or the tray is not as listed."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """These places were searched for a line that is short; `found`: where it was."""

    line: str
    places: tuple[str, ...]
    found: str = ""


CountingCommand = Search
