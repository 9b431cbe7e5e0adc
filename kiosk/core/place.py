"""Where on a piece something was found."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """A station on a lumen (`at_mm` from the entry), a named landmark, or all along the lumen."""

    lumen: str = ""
    at_mm: int | None = None
    landmark: str = ""
    all_along: bool = False
