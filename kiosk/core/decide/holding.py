"""Holds: every one gets its number here."""

from kiosk.core import events as e
from kiosk.core.decide.pen import Pen


def place_hold(
    pen: Pen, code: str, waits_for: tuple[str, ...], *, n: int = 0, bench: str = "none", gloves: bool = False
) -> None:
    """The tray waits for these pieces or lines. `n`: the finding behind it; `bench`, `gloves`: to be done first."""
    hold = f"{pen.desk.bench_number}-H{pen.bench.holds_placed + 1}"
    pen.write(e.HoldPlaced(hold=hold, code=code, waits_for=waits_for, n=n, bench=bench, gloves=gloves))
