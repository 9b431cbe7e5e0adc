"""Examples of the events of counting."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.Searched(line="Forceps", places=("sink", "linen"), found="sink"),
    e.PackedShort(number="B1-251128-0004", short=1),
    e.TrayReopened(package="B1-251128-0004", why="mixed"),
)
