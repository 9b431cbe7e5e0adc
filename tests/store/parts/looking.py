"""Examples of the events of looking."""

from decimal import Decimal

from kiosk.core import events as e
from kiosk.core.catalogue import Item, Lumen

EXAMPLES: tuple[e.Event, ...] = (
    e.SecondLookDone(n=2, piece="A3#2", says="not_sure"),
    e.DoubtSettled(n=2, piece="A3#2", how="back", code="unknown_spot", group="soil"),
    e.MarkRead(piece="A3#2", mark="SH-0031"),
    e.UseCounted(piece="A3", mark="RA-0101", uses=10, limit=10),
    e.StopListed(notice="R-31 clip applier jaws", marks=("CA-0007",), types=("lap_takeapart",)),
    e.StopWithdrawn(notice="R-31 clip applier jaws", kind="mark", value="CA-0070"),
    e.StopLifted(notice="R-31 clip applier jaws"),
    e.RecallAbsent(piece="AC1", mark="CA-0007", notice="R-31 clip applier jaws"),
    e.PathogenSuspected(),
    e.PathogenRuled(note="Case closed."),
    e.Measured(
        piece="A3",
        lumen="bore",
        goes_mm=Decimal("3.0"),
        stops_mm=Decimal("3.5"),
        length_mm=Decimal(380),
    ),
    e.RecordUsed(
        piece="A3",
        item=Item(
            id="A3",
            name="Reamer shaft",
            type="flexible_reamer",
            lumens=(Lumen(name="bore", inside_mm=Decimal("3.0"), length_mm=Decimal(380)),),
        ),
    ),
    e.JointLooked(n=3, piece="A3"),
    e.Called(piece="A3", name="OR lead 4-4471", answered=False),
)
