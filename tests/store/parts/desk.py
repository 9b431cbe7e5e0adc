"""Examples of the events of desk."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (e.SummaryPrinted(shift="day", date="2031-03-04", again=True),)
