"""What the department's policy says of a lumen's size and of the air through it. Pure."""

from kiosk.core.catalogue import Lumen
from kiosk.core.policy import Policy


def air_kpa(lumen: Lumen, policy: Policy) -> int | None:
    """Greatest air pressure for a lumen, in kPa: its IFU's, never above a house figure. None: no number, so no air."""
    limits = [limit for limit in (lumen.air_kpa, policy.air_limit) if limit is not None]
    return min(limits, default=None)


def is_long(lumen: Lumen, policy: Policy) -> bool:
    """Is a lumen called long? A warning on its card; the plan goes by what reaches."""
    if lumen.length_mm is None:
        return False
    over = lumen.inside_mm is not None and lumen.length_mm > policy.long_ratio * lumen.inside_mm
    return over or lumen.length_mm > policy.long_over_mm
