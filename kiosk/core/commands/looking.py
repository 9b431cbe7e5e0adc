"""What is asked for when one look is not enough."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeSecondLook:
    """What the second person says of finding `n`, on their own badge. `says`: clear, color_only, scratch, soil,
    not_sure."""

    by: str
    n: int
    says: str


LookingCommand = TakeSecondLook
