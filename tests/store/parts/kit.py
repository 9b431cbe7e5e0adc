"""Examples of the events of the kit."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.SwabLotOpened(lot="SW-0012"),
    e.SwabLotSetAside(lot="7719"),
    e.ScopeNotCleaned(scope="SC-1", reason="no_supplies"),
    e.ScopeSent(scope="SC-1", why="brown_film"),
    e.ScopeReturned(scope="SC-1", load="W-2201"),
    e.PicturesCleared(count=3),
    e.AirGaugeRead(kpa="140", ok=True),
)
