"""Holds: every one gets its number here."""

from kiosk.core import events as e
from kiosk.core.decide.pen import Pen


def place_hold(
    pen: Pen,
    code: str,
    waits_for: tuple[str, ...],
    *,
    n: int = 0,
    bench: str = "none",
    gloves: bool = False,
    trip: str | None = None,
    who: str | None = None,
) -> None:
    """The tray waits for these pieces or lines. `n`: the finding behind it; `bench`, `gloves`: to be done first.

    `trip`: of another tray than the one on the bench. `who`: in whose name, where it is not the person signed in.
    """
    hold = f"{pen.desk.bench_number}-H{pen.bench.holds_placed + 1}"
    placed = e.HoldPlaced(hold=hold, code=code, waits_for=waits_for, n=n, bench=bench, gloves=gloves)
    pen.write(placed, trip=trip, who=who)
