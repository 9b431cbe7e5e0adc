"""People hurt or splashed, things dropped, everything stopped at once."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class AllStopped:
    """Every open tray at this bench is marked exposed; a supervisor decides later.

    `why`: leak, pest, alarm, other.
    """

    why: str


SafetyEvent = AllStopped

SHIPPED: dict[str, Shipped] = {
    "all_stopped": Shipped(1, AllStopped, "hold"),
}
