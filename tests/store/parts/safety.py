"""Examples of the events of safety."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (e.AllStopped(why="leak"),)
