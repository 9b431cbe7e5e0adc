"""Reports of an invented desk: a short one, one of several pages, a marked copy with the longest names."""

from dataclasses import replace

from kiosk.core.papers import Foot, Report, Section, SheetLine

_FOOT = Foot(
    printed="Printed 2031-05-06 15:00 -05:00", bench="Bench 3", versions="Throughlight 0.2.0 · policy 4 · record 12"
)
_LONG = "Reconstruction and microvascular set with irrigation, spare 17, tray 2 of 3"

PLAIN = Report(
    doc="shift_summary",
    title="Shift summary",
    number="S-30012",
    about="Day shift 2031-05-06, 07:00 to 15:00 · first print, data to 15:00",
    headline=("35 trays packed complete, 1 packed short.", "3 whole trays went back. 2 are open now, both held."),
    sections=(
        Section(
            title="Trays",
            lines=(
                SheetLine(label="Opened", value="41"),
                SheetLine(label="Packed complete", value="35 of 41 opened"),
                SheetLine(
                    label="Held with the longest wait", value="4 h 10 min", note="Ear set · TR-0734: waits for a"
                ),
            ),
            note="Figures stand as counted at 15:00.",
        ),
        Section(title="How counted", paragraphs=("A tray trip is one passage over the bench.",), new_page=True),
    ),
    signature=("Taken over by, time",),
    foot=_FOOT,
)
MANY = replace(
    PLAIN,
    doc="lookback_report",
    title="Lookback report",
    number="L-30003",
    about="Washer load W-2204, asked 2031-05-06 14:40",
    headline=(
        "64 trips met washer load W-2204.",
        "12 are packed, 3 wait at a bench. What happened after packing is not known.",
    ),
    sections=(
        Section(title="The rule used", paragraphs=("Every trip whose washer load is W-2204. " * 9,)),
        Section(
            title="Trips",
            lines=tuple(
                SheetLine(
                    label=f"Tray {n} · TR-{700 + n:04d}",
                    value=f"packed B3-310506-{n:04d}",
                    note=f"Opened {7 + n // 9:02d}:{n * 7 % 60:02d}. All checks answered YES. Inside not seen: 1 of 3.",
                )
                for n in range(64)
            ),
        ),
    ),
)
COPY = replace(
    PLAIN,
    doc="handover_list",
    title="Handover list of the whole department with everything that is open",
    number="H-30002",
    about=f"{_LONG} " * 2,
    headline=(f"{_LONG} is promised for 16:30 and waits for a piece that decontam has.",),
    sections=(
        Section(
            title=_LONG,
            lines=(
                SheetLine(label=_LONG, value=f"{_LONG}, in bin 7", note=f"{_LONG}. " * 3),
                SheetLine(
                    label="Osteotomyguidesleevewithinterchangeableinsertoffourmillimetersandlonghandle", value="1"
                ),
                *(SheetLine(label=f"Line {n}", value=str(n)) for n in range(60)),
            ),
        ),
    ),
    signature=("Handed over by, time", "Taken over by, time"),
    foot=replace(_FOOT, copy="COPY 2"),
)
REPORTS = {"report": PLAIN, "report of many pages": MANY, "report with long names": COPY}
