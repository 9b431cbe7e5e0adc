"""Small logs written by hand, for figures of time: trays opened, answered, set aside and packed at known moments."""

from collections.abc import Iterable
from datetime import UTC, date, datetime
from pathlib import Path

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Kit, Tray
from kiosk.core.events import Event
from kiosk.core.policy import Policy
from kiosk.core.stamp import Kept, Stamp
from kiosk.lumen.planner import plan_tray
from kiosk.quality.span import Span
from kiosk.store.bench_store import BenchStore
from tests.lumen.bench import default_kit, default_policy, tube

MONDAY = date(2031, 3, 3)
WEEK = Span(first=MONDAY, last=date(2031, 3, 9))
OFFSET_MIN = -300
BORE = tube("3.2", "180")
SUCTION = Item(id="E1", name="Suction tube", type="suction_tube", lumens=(BORE,), qty=2)
SINUS = Tray(code="TR-0100", name="Sinus set", items=(SUCTION,))


def at(day: int, clock: str) -> int:
    """Unix ms of a local time, `day` days after the Monday. The station is five hours behind UTC."""
    moment = datetime.fromisoformat(f"{MONDAY} {clock}").replace(tzinfo=UTC)
    return int(moment.timestamp() * 1000) + day * 86_400_000 - OFFSET_MIN * 60_000


def told(event: Event, at_ms: int, trip: str | None = "1-000001", who: str | None = "P-014") -> Kept:
    stamp = Stamp(at_ms=at_ms, offset_min=OFFSET_MIN, trusted=True, who=who, trip=trip, policy=1, record=1)
    return Kept(event=event, stamp=stamp)


def opening(
    trip: str, at_ms: int, tray: Tray = SINUS, policy: Policy | None = None, kit: Kit | None = None
) -> list[Kept]:
    """A tray is opened, and its plan is shown."""
    plans = plan_tray(tray.items, policy or default_policy(), kit or default_kit())
    return [told(e.TrayOpened(tray=tray, load="W-7"), at_ms, trip), told(e.PlanShown(plans=plans), at_ms, trip)]


def answers(
    method: str, seconds: Iterable[float], at_ms: int, trip: str = "1-000001", piece: str = "E1#1"
) -> list[Kept]:
    """YES to a check, with these seconds on the screen; the first at the moment, each of the others a second on."""
    key = method if method in {"look", "function"} else f"bore.{method}"
    return [
        told(e.CheckYes(piece=piece, key=key, took_ms=round(1000 * each)), at_ms + 1000 * n, trip)
        for n, each in enumerate(seconds)
    ]


def store_of(folder: Path, *parts: Iterable[Kept]) -> BenchStore:
    """A store with these events."""
    store = BenchStore(folder, "B1")
    store.keep([kept for part in parts for kept in part])
    return store
