"""Examples of the events of decontam."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (e.TicketReceived(ticket="K-10007", by="scan"),)
