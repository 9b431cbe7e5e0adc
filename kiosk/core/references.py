"""The department's own reference pictures, by item type and finding: what two people agreed to call it, and when."""

from dataclasses import dataclass, field

PEOPLE = 2
"""So many different people agree before a picture counts."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reference:
    """A picture that was offered: its number, item type, finding's code, kept file with SHA-256, when (Unix ms)."""

    number: str
    type: str
    finding: str
    file: str
    sha256: str
    offered_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class References:
    """What one station kept: pictures offered here; who agreed here to which, and who took which back, and when."""

    offered: dict[str, Reference] = field(default_factory=dict)
    agreed: dict[str, dict[str, int]] = field(default_factory=dict)
    taken_back: dict[str, dict[str, int]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreed:
    """A picture with those who agreed to it, the first ones first: (person, Unix ms).

    `version`: from 1, by item type and finding in the order in which they came to count; 0: it does not count yet.
    `newest`: it is the one that counts now. The older ones stay readable. `back`: who took it back so far, as `by`.
    """

    picture: Reference
    by: tuple[tuple[str, int], ...]
    version: int
    newest: bool
    back: tuple[tuple[str, int], ...] = ()
