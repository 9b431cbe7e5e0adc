"""Examples of the events of keeping."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.IncarnationBegan(
        origin="0b8f5ad2-1f0f-4c5e-9d9a-5f1f5a3c2b1a",
        was="7d2f5ad2-1f0f-4c5e-9d9a-5f1f5a3c2b1a",
        after=80,
        why="restored",
        key="ab" * 32,
    ),
    e.IncarnationSeen(origin="0b8f5ad2-1f0f-4c5e-9d9a-5f1f5a3c2b1a"),
    e.StationLeft(to="set_up"),
    e.PicturesDropped(files=("B1-7_A3-1_suction_1.png", "B1-7_A3-1_suction_2.jpg"), why="days"),
    e.BackedUp(file="throughlight-B1-20251125-070000.backup", seq=412),
)
