"""Examples of the events of whole trays."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.HandedOver(to="T4"),
    e.TraySplit(parts=2),
)
