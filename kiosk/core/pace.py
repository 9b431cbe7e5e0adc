"""How long a look through a lumen takes at least, by policy."""

from decimal import Decimal

from kiosk.core.policy import Policy


def pace_ms(policy: Policy, length_mm: Decimal | None) -> int:
    """The least time a look end to end takes, in ms: policy's seconds a centimeter, between its least and most."""
    seconds = policy.look_pace_s_per_cm * (length_mm or Decimal(0)) / 10
    return int(1000 * min(max(seconds, policy.look_least_s), policy.look_most_s))
