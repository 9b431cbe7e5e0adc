"""What a supervisor ruled, of a tray or between two records, and when a tray was last seen whole: the bench's state."""

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class Override:
    """What a supervisor let go on against a rule. `n` 0: given, and waits for the second person.

    `trip` "" where it is about the bench's kit. `phone`, `alone`: to be signed for afterwards.
    """

    n: int
    what: str
    subjects: tuple[str, ...]
    reason: str
    words: str
    asked: str
    by: str
    trip: str
    tray: str
    at_ms: int
    second: str = ""
    phone: bool = False
    alone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Mixed:
    """Another tray that this one was mixed with, which lines, who ruled so, and whether they were exchanged since."""

    tray: str
    trip: str
    station: str
    lines: tuple[str, ...]
    by: str
    exchanged: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """The last time a tray was packed here: when (Unix ms), on which trip. `before`: where a line was short then."""

    at_ms: int
    trip: str
    before: dict[str, tuple[int, str]] = field(default_factory=dict)  # line -> when it was last there, (0, "") never

    def of(self, line: str) -> tuple[int, str]:
        """When and on which trip a line was last there in full."""
        return self.before.get(line, (self.at_ms, self.trip))


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted:
    """A conflict as it was noted: two records say what cannot both be. `at_ms`: when it was learnt."""

    conflict: str
    kind: str
    what: str
    stations: tuple[str, ...]
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Ruling:
    """A supervisor's word on a conflict. `over`: the rulings on it that were known then."""

    conflict: str
    ruling: str
    by: str
    at_ms: int
    mark: str
    over: tuple[str, ...] = ()
