"""What is asked for about the log itself, and about the program that writes it."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SeeIncarnation:
    """The supervisor has read that the log goes on under this origin."""

    origin: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TellBackup:
    """A backup was written and holds."""

    file: str
    seq: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LeaveStation:
    """A supervisor leaves the bench. `to`: `close` the program, or `set_up` the station again."""

    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DropPictures:
    """Stills without a finding are due: `why` days or room. Nobody stands behind it but policy."""

    files: tuple[str, ...]
    why: str


KeepingCommand = SeeIncarnation | TellBackup | LeaveStation | DropPictures
