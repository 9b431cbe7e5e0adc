"""Examples of the events of counting."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.Searched(line="Forceps", places=("sink", "linen"), over=True),
    e.MissingFound(line="Forceps", where="racks", by="T2"),
    e.ExtraTold(line="Drill sleeve 4.5", tray="TR-2061", station="B2"),
    e.ExtraPut(line="Drill sleeve 4.5", where="spares"),
    e.MixedTrays(
        tray="TR-2061", trip="1-000007", station="", lines=("Drill sleeve 4.5",), holds="Drill sleeve 4.5: 0 of 1"
    ),
    e.Exchanged(tray="TR-2061", lines=("Drill sleeve 4.5",)),
    e.PackedShort(number="B1-251128-0004", short=1),
    e.TrayReopened(package="B1-251128-0004", why="mixed"),
    e.Discarded(tag="R-10003", piece="M1", n=2, note="Ask OR for the real one.", earlier="1-000001 2031-02-27"),
    e.OthersRuled(n=2, line="Forceps"),
    e.MarkWanted(piece="A1"),
)
