"""Examples of the events of safety."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.AllStopped(began_ms=1_930_000_000_000, heard="B2"),
    e.ExposedRuled(back=False, reason="covered"),
    e.HitMarked(hit=True),
    e.ExposureCleared(kind="splash"),
    e.BenchSoiled(level="full", gloves=True),
    e.SharpSecured(),
    e.GloveTorn(),
    e.TurnedTo(),
    e.NotePrinted(n=1),
)
