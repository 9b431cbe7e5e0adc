"""What the supervisor rules, prints and signs."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryPrinted:
    """The summary of a shift was printed. `again`: it had been printed before."""

    shift: str
    date: str
    again: bool = False


DeskEvent = SummaryPrinted

SHIPPED: dict[str, Shipped] = {
    "summary_printed": Shipped(1, SummaryPrinted, "info"),
}
