"""What an event means to a program too old to know it: hold (treat as held), clear (ignore), info (show at most)."""

from kiosk.core.events import EVENTS

CLASS: dict[str, str] = {name: row.cls for name, row in EVENTS.items()}
"""Name on disk -> hold, clear or info."""
