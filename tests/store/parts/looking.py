"""Examples of the events of looking."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.SecondLookDone(n=2, piece="A3#2", says="not_sure"),
    e.DoubtSettled(n=2, piece="A3#2", how="back", code="unknown_spot", group="soil"),
)
