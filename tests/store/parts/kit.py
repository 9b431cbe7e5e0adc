"""Examples of the events of kit."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (e.SwabLotOpened(lot="SW-0012"),)
