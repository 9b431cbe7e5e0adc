"""What is asked for when something happened to people or to everything at once."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StopAll:
    """Stop everything at this bench."""

    why: str


SafetyCommand = StopAll
