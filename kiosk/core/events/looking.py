"""What looking at a piece brings besides a finding: a second person, a gauge pin, uses, a split set."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLookDone:
    """The second person looked, without seeing the first answer.

    `says`: clear, color_only, soil or not_sure.
    """

    n: int
    piece: str
    says: str


LookingEvent = SecondLookDone

SHIPPED: dict[str, Shipped] = {
    "second_look_done": Shipped(1, SecondLookDone, "info"),
}
