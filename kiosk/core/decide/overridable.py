"""What may be overridden: a row each, by policy's name. The parts of the work register theirs as `OVERRIDES`."""

from collections.abc import Callable
from dataclasses import dataclass

from kiosk.core.decide.pen import Pen
from kiosk.core.desk import Desk
from kiosk.core.events import OverrideDone
from kiosk.core.state.bench import Bench

Subjects = tuple[str, ...]
"""What one override is given for: pieces, count lines, holds, kit."""


def nothing_more(pen: Pen, done: OverrideDone) -> None:
    """The fold of `override_done` is all there is to it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Overridable:
    """One thing that a supervisor may let go on against a rule.

    `name`: as policy's `may_override` has it; its words stand under `override.what` and `override.key`.
    `asked`: what it may be given for now, a group for each key on the supervisor's page; () where it does not arise.
    `reasons`: codes of `override.reasons`; "other" wants words. "No time" is none of them.
    `seconds`: policy's names in `second_person` that ask for a second person. `follow`: what the rules write after it.
    `of_trip`: False where it is about the bench's kit, and stands in no tray's record.
    """

    name: str
    asked: Callable[[Bench, Desk], tuple[Subjects, ...]]
    reasons: tuple[str, ...]
    seconds: frozenset[str] = frozenset({"override"})
    follow: Callable[[Pen, OverrideDone], None] = nothing_more
    of_trip: bool = True
