"""What is asked for when one look is not enough."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class SecondLook:
    """What the second person says, on their own badge."""

    by: str
    piece: str
    says: str


LookingCommand = SecondLook
