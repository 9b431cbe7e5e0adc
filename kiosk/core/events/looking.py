"""What looking at a piece brings besides a finding: a second person, a gauge pin, uses, a split set."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLookDone:
    """The second person looked, without seeing the first answer.

    `says`: clear, color_only, scratch, soil or not_sure.
    """

    n: int
    piece: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DoubtSettled:
    """What was said of finding `n`, by two people where policy wants so. It counts as `code` of `group` from here.

    `how`: clear (nothing is there), accepted (it stands, the piece goes on), back or repair (to be decided so).
    """

    n: int
    piece: str
    how: str
    code: str
    group: str


LookingEvent = SecondLookDone | DoubtSettled

SHIPPED: dict[str, Shipped] = {
    "second_look_done": Shipped(1, SecondLookDone, "info"),
    "doubt_settled": Shipped(1, DoubtSettled, "hold"),
}
