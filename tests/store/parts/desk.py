"""Examples of the events of desk."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.SummaryCounted(
        shift="day",
        date="2031-03-04",
        number="S-10012",
        until_ms=1_930_399_200_000,
        over=True,
        figures={"soil": 7, "pieces_checked": 96},
        rows=(
            e.SummaryRow(kind="load", what="W-2204", n=3),
            e.SummaryRow(kind="hold", what="waits", where="Ear set · TR-1", waits="Bent tube", at_ms=1_930_390_000_000),
        ),
    ),
    e.SummaryPrinted(shift="day", date="2031-03-04", again=True),
    e.HandoverPrinted(number="HL-10003", lines=5),
    e.HandoverTaken(lines=5),
    e.LookbackRun(
        number="LB-10001", kind="load", value="W-2204", since_ms=0, until_ms=0, why="load_bad", trips=("1-000041",)
    ),
    e.AuditDrawn(number="AP-10001", seed=20310304, since_ms=0, of=388, trips=("1-000041", "1-000102")),
    e.FormsIssued(kind="return_ticket", first=1, many=50),
    e.FormEntered(paper="H-017", kind="return_ticket", tray="TR-1", said="bone at the tip", done_ms=1_930_390_000_000),
    e.SyncConflict(conflict="same_tray:TR-1:1-000041:2-000007", kind="same_tray", what="TR-1", stations=("B1", "B2")),
    e.ConflictRuled(conflict="same_tray:TR-1:1-000041:2-000007", ruling="both"),
    e.ClockRight(),
    e.BaselineFixed(about="day//", since="2031-03-01", until="2031-03-28", found=23, of=2312),
)
