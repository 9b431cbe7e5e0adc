"""What decontam does with what came back: received, answered, handed over, checked on the dirty side."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketReceived:
    """Decontam has it: the return with this ticket was taken in, by scan or by the typed number."""

    ticket: str
    by: str


DecontamEvent = TicketReceived

SHIPPED: dict[str, Shipped] = {
    "ticket_received": Shipped(1, TicketReceived, "info"),
}
