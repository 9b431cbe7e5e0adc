"""What is asked for people, settings, catalogue and policy."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseSetting:
    """The person signed in chooses a setting of their own."""

    key: str
    value: str


StaffCommand = ChooseSetting
