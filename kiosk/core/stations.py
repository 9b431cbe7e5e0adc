"""The stations known here, by name: B1, B2 are benches, D1 is decontam's. Pure."""

from kiosk.core.bench import Bench
from kiosk.core.desk import Desk


def own_name(desk: Desk) -> str:
    """What this station is called at the others."""
    return f"{'D' if desk.side == 'decontam' else 'B'}{desk.bench_number}"


def stations(bench: Bench, desk: Desk) -> dict[str, Bench]:
    """Every station known here, this one first."""
    own = own_name(desk)
    return {own: bench, **{name: other for name, other in desk.others.items() if name != own}}
