"""What a supervisor lets go on against a rule: given, done, refused, signed for afterwards."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrideGiven:
    """A supervisor gave it; it stands only when the second person agrees. The stamp's person asked for it.

    `what` is policy's name of it, `subjects` the pieces, lines or kit; `reason` the one picked, `words` the giver's.
    """

    what: str
    subjects: tuple[str, ...]
    reason: str
    words: str
    by: str
    phone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrideDone:
    """It stands: what, why, who `asked`, who gave it (`by`), the `second` person.

    `phone`: the supervisor gave it on the phone. `alone`: a second person is asked for, and nobody else was there.
    Both are signed for afterwards.
    """

    n: int
    what: str
    subjects: tuple[str, ...]
    reason: str
    words: str
    asked: str
    by: str
    second: str = ""
    phone: bool = False
    alone: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrideRefused:
    """Tried and refused; nothing else changed.

    `why`: never, not_listed, own_work, not_supervisor, same_person, second_said_no.
    """

    what: str
    subjects: tuple[str, ...]
    by: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OverrideCosigned:
    """A supervisor answered, at the next sign-in, for an override given on the phone or without a second person."""

    n: int
    yes: bool


OverridesEvent = OverrideGiven | OverrideDone | OverrideRefused | OverrideCosigned

SHIPPED: dict[str, Shipped] = {
    "override_given": Shipped(1, OverrideGiven, "info"),
    "override_done": Shipped(1, OverrideDone, "clear"),
    "override_refused": Shipped(1, OverrideRefused, "info"),
    "override_cosigned": Shipped(1, OverrideCosigned, "info"),
}
