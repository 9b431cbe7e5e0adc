"""What is asked for when a supervisor lets something go on against a rule."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class GiveOverride:
    """Let it go on. `by`: the supervisor, signed in for this ruling; with `phone` named only, and on the phone.

    `what` is policy's name of it, `subjects` what it is given for, `reason` one of its list, `words` optional.
    """

    by: str
    what: str
    subjects: tuple[str, ...]
    reason: str
    words: str = ""
    phone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondOnOverride:
    """The second person's answer to the override that waits. `by` signed in for this answer."""

    by: str
    yes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class NoSecondHere:
    """Nobody else is in the building to be the second person."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cosign:
    """Sign for the override number `n` that was given on the phone, or without a second person."""

    n: int
    yes: bool


OverridesCommand = GiveOverride | SecondOnOverride | NoSecondHere | Cosign
