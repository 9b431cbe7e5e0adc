"""What a tray asks of a person before it goes on: tasks, a finding to be named, and how it was left."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """Something to be done before the tray goes on. `kind`: decide, put_right, bench, gloves, print."""

    kind: str
    n: int = 0  # finding
    level: str = ""  # bench level
    step: int = 0
    doc: str = ""
    number: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Asking:
    """A check answered NO that waits for its finding."""

    piece: str
    key: str
    tool: str
    unsure: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Pause:
    """The trip is set aside: why, since when, by whom."""

    reason: str
    at_ms: int
    by: str
