"""What a bench knows of its own log: origins that nobody has read of yet, numbers passed over, the last backup."""

from dataclasses import dataclass

SKIPPED = 500
"""Numbers of papers, tags and trips that are passed over in a new incarnation: what was given out after the backup
stands on paper already, and is not here (a choice; more than a bench gives between two backups)."""


OLD_MS = 48 * 3_600_000
"""A backup older than this asks for the supervisor (a choice: one day was missed, and a second)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Began:
    """The log goes on under this origin, and no supervisor has read it yet. `why`: restored, copied, fork."""

    origin: str
    why: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Keeping:
    """`passed_over`: numbers of the desk's papers that are not given, of each kind."""

    began: tuple[Began, ...] = ()
    passed_over: int = 0
    backed_up_ms: int = 0  # when the last backup was written that holds
    newer: int = 0  # holds of a newer program that are of no tray
