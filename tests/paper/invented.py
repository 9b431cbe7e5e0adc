"""Papers of an invented department, plain and as full as the catalogue admits."""

from decimal import Decimal

from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.papers import (
    Foot,
    Mark,
    PackageLabel,
    Paper,
    ReturnTicket,
    SheetLine,
    SheetLumen,
    SheetPiece,
    Tag,
    TraySheet,
)
from kiosk.core.place import Place
from kiosk.core.vocabulary import Feature, Opening
from tests.paper.invented_reports import REPORTS

FOOT = Foot(
    printed="Printed 2031-05-06 14:09 -05:00", bench="Bench 3", versions="Throughlight 0.1.0 · policy 4 · record 12"
)
LONG_TRAY = "Reconstruction and microvascular set, spare 17"[:48]
LONG_ITEM = "Irrigation handpiece with two-way outer sleeve 12"[:48]
UNBROKEN = "Osteotomyguidesleevewithinterchangeableinsert4mm"[:48]

SUCTION = Lumen(
    name="bore",
    inside_mm=Decimal("3.0"),
    length_mm=Decimal(240),
    features=frozenset({Feature.CURVED, Feature.SIDE_HOLE}),
    landmarks=(Landmark(name="side hole", at_mm=Decimal(30)), Landmark(name="bend", at_mm=Decimal(180))),
)
SHEATH = Lumen(
    name="outer sheath",
    inside_mm=Decimal("4.6"),
    length_mm=Decimal(128),
    open=Opening.ONE,
    features=frozenset({Feature.BLIND, Feature.TOOTHED}),
    landmarks=(Landmark(name="cutting window, inner edge", at_mm=Decimal(120)),),
)
CHANNEL = Lumen(name="flexible channel", inside_mm=Decimal("1.2"), length_mm=Decimal(900))
UNKNOWN = Lumen(name="side branch", inside_mm=None, length_mm=None)
SHORT = Lumen(name="luer port", inside_mm=Decimal("2.1"), length_mm=Decimal(22))


def at(flag: int, lumen: Lumen, mm: int) -> Mark:
    return Mark(flag=flag, lumen=lumen, place=Place(lumen=lumen.name, at_mm=mm), words=f"{mm / 10:g} cm from ENTRY")


PLAIN_TICKET = ReturnTicket(
    number="K-20418",
    code="K2041807QT",
    code_text="K-20418-07QT",
    header="SENT BACK TO DECONTAM",
    scope="THIS PIECE",
    not_clear="NOT CLEAR",
    ring="found",
    said=("Gray or brown film",),
    pieces=("Suction tube, angled 10 Fr (2 of 3)",),
    tray="Vein and artery tray 6 · TR-7301",
    marks=(at(1, SUCTION, 130),),
    how_found="Found by: scope",
    todo=("Clean it again from step 1 of its IFU.",),
    together="",
    warnings=(),
    effort="",
    facts=(
        SheetLine(label="Washer load", value="W-9114"),
        SheetLine(label="Back to", value="hold shelf, with part C"),
        SheetLine(label="Time", value="14:09"),
        SheetLine(label="Bench", value="3"),
    ),
    biohazard="Biohazard mark as your facility requires",
    receive="Receive: scan this, or type K-20418",
    part_d="Part D: goes with the piece",
    part_c="Part C: stays with the covered tray",
    c_lines=(
        SheetLine(label="Tray waits for", value="Suction tube, angled 10 Fr (2 of 3)"),
        SheetLine(label="Asked again on return", value="all its checks, from the start"),
        SheetLine(label="Covered at", value="14:12"),
        SheetLine(label="Shelf place", value="H-4"),
    ),
    foot=FOOT,
)

FULL_TICKET = ReturnTicket(
    number="K-20425",
    code="K2042507QW",
    code_text="K-20425-07QW",
    header="SENT BACK TO DECONTAM",
    scope="WHOLE TRAY",
    not_clear="CHECK IT ON YOUR SIDE",
    ring="unsure",
    said=("Can not tell: the way can not be seen to its end", "Gray or brown film"),
    pieces=(LONG_ITEM, UNBROKEN),
    tray=f"{LONG_TRAY} · TR-7305",
    marks=(
        at(1, SUCTION, 130),
        at(2, SUCTION, 180),
        Mark(
            flag=3,
            lumen=SHEATH,
            place=Place(lumen="outer sheath", landmark="cutting window, inner edge"),
            words="cutting window, inner edge",
        ),
        Mark(flag=4, lumen=CHANNEL, place=Place(lumen="flexible channel", all_along=True), words="all along the lumen"),
        Mark(
            flag=5, lumen=UNKNOWN, place=Place(lumen="side branch", landmark="branch opening"), words="branch opening"
        ),
    ),
    how_found="Found by: swab, scope",
    todo=(
        "Clean the whole tray again, every piece.",
        "Take apart, clean every part, feed the way with the syringe at the washer port.",
    ),
    together="Send the handle with both buttons and their springs.",
    warnings=("Still wet.", "Sharp: the tip of the trocar is bare.", "Power part: do not put it under water."),
    effort="SECOND RETURN",
    facts=(
        SheetLine(label="Washer load", value="W-9114, W-9120"),
        SheetLine(label="Back to", value="the washer, as a whole tray"),
        SheetLine(label="Wanted by", value="17:30"),
        SheetLine(label="Time", value="14:09"),
        SheetLine(label="Bench", value="3"),
    ),
    biohazard="Biohazard mark as your facility requires",
    receive="Receive: scan this, or type K-20425",
    part_d="Part D: goes with the tray",
    part_c="Part C: stays with the covered tray",
    c_lines=(
        SheetLine(label="Tray waits for", value=LONG_ITEM),
        SheetLine(label="Also missing", value=UNBROKEN),
        SheetLine(label="Asked again on return", value="all its checks, from the start"),
        SheetLine(label="Covered at", value="14:12"),
        SheetLine(label="Shelf place", value="H-4"),
    ),
    foot=Foot(printed=FOOT.printed, bench=FOOT.bench, versions=FOOT.versions, copy="COPY 2"),
)


def _lumen(lumen: Lumen, ring: str, result: str, not_seen: str = "") -> SheetLumen:
    checks = "dry, swab 3.0 mm both ends, scope SC-1" if not not_seen else "dry, swab 1.5 mm part, air at the station"
    dark = {"inside not seen: all": (Decimal(0), Decimal(1)), "inside not seen: 32 mm": (Decimal("0.75"), Decimal(1))}
    return SheetLumen(
        lumen=lumen,
        name=lumen.name,
        checks=checks,
        result=result,
        not_seen=not_seen,
        ring=ring,
        dark=dark.get(not_seen),
    )


PIECES = (
    SheetPiece(
        name="Suction tube, angled 10 Fr (1 of 3)",
        by="",
        lumens=(_lumen(SUCTION, "clear", "clear", "seen end to end"),),
        result="clear",
    ),
    SheetPiece(
        name="Drill sheath with window",
        by="",
        lumens=(_lumen(SHEATH, "clear", "clear", "inside not seen: 32 mm"), _lumen(SHORT, "clear", "clear")),
        result="clear",
        notes=("put right here: O-ring of the hub",),
    ),
    SheetPiece(
        name="Flexible channel sheath",
        by="",
        lumens=(_lumen(CHANNEL, "clear", "clear", "inside not seen: all"), _lumen(UNKNOWN, "open", "not finished")),
        result="clear",
    ),
)
PLAIN_SHEET = TraySheet(
    title="Tray sheet",
    tray_code="TR-7301",
    tray_name="Vein and artery tray 6",
    trip="T3-31126-4",
    code="T331126404",
    headline="Lumens 5 of 5 checked",
    not_seen="inside not seen: 1 of 5 lumens",
    shares="By these answers: 82 % of the inner wall seen, 74 % touched by a swab",
    facts=(
        SheetLine(label="Washer load", value="W-9114", symbol="batch"),
        SheetLine(label="Set record", value="version 12"),
        SheetLine(label="Weight", value="14.2 lb"),
        SheetLine(label="Indicators inside", value="2 of 2", note="seen / changed  [  ]"),
        SheetLine(label="Packaging", value="container"),
        SheetLine(label="Cycle family of the set record", value="steam"),
        SheetLine(label="Package", value="P3-31126-9"),
    ),
    exceptions=("SHORT: Vessel clamp, curved, 3 of 4", "dried again: 1"),
    counts=tuple(
        SheetLine(label=name, value=f"{n} / {n}")
        for name, n in (
            ("Vessel clamp, curved", 4),
            ("Needle holder, fine", 2),
            ("Forceps, ring tip", 6),
            ("Scissors, right angle", 2),
            ("Bulldog clamp, short", 8),
            ("Retractor, hand held", 2),
            ("Towel clip", 6),
        )
    ),
    count_title="Count: listed / there",
    pieces=PIECES,
    checked_by=("Checked by Tova Lind",),
    signature="Signature, where your facility asks for one",
    cautions=(
        "Records what people answered at the bench. Device IFU, facility policy and law come first.",
        "Not seen means that nobody looked there. It says nothing about soil.",
    ),
    foot=FOOT,
)


def sheet_with(lines: int, lumens: int) -> TraySheet:
    """A sheet with so many count lines and so many lumens, some with the longest names."""
    from dataclasses import replace

    names = (LONG_ITEM, "Clamp, curved", UNBROKEN, "Retractor blade, wide")
    counts = tuple(SheetLine(label=names[n % 4], value=f"{n % 7 + 1} / {n % 7 + 1}") for n in range(lines))
    every = [one for piece in PIECES for one in piece.lumens]
    pieces = tuple(
        SheetPiece(
            name=f"{LONG_ITEM} ({n + 1} of {lumens})", by="V1 by Tova Lind", lumens=(every[n % 5],), result="clear"
        )
        for n in range(lumens)
    )
    return replace(PLAIN_SHEET, tray_name=LONG_TRAY, counts=counts, pieces=pieces)


PLAIN_LABEL = PackageLabel(
    tray_name="Vein and artery tray 6",
    tray_code="TR-7301",
    number="P3-31126-9",
    code="P331126093",
    packed="Packed 2031-05-06 14:31",
    facts=(
        SheetLine(label="Washer load", value="W-9114"),
        SheetLine(label="Cycle family", value="steam"),
    ),
    alerts=("SHORT 1", "LOANER 1 of 3"),
    blanks=("Sterilizer", "Load no.", "Date", "CI"),
    care="Do not use if wet, torn or opened.",
    foot=FOOT,
)
FULL_LABEL = PackageLabel(
    tray_name=LONG_TRAY,
    tray_code="TR-7305",
    number="P3-31126-11",
    code="P331126113",
    packed="Packed 2031-05-06 14:31",
    facts=(
        SheetLine(label="Washer load", value="W-9114, W-9120"),
        SheetLine(label="Packaging", value="container"),
        SheetLine(label="Cycle family", value="low temperature"),
    ),
    alerts=("SHORT 12", "LOANER 1 of 3", "IMPLANT", "RUSH"),
    blanks=("Sterilizer", "Load no.", "Date", "CI"),
    care="Do not use if wet, torn or opened.",
    foot=Foot(printed=FOOT.printed, bench=FOOT.bench, versions=FOOT.versions, copy="COPY 2"),
)
PLAIN_TAG = Tag(
    title="FOR REPAIR",
    number="R-20432",
    code="R2043207QM",
    piece="Suction tube, angled 10 Fr (2 of 3)",
    tray="Vein and artery tray 6 · TR-7301",
    said=("Dent, the way is narrow there",),
    marks=(at(1, SUCTION, 90),),
    state="NOT all checked: goes to decontam first",
    warning="",
    facts=(
        SheetLine(label="Tray waits", value="no, spare packed"),
        SheetLine(label="Washer load", value="W-9114"),
        SheetLine(label="Time", value="14:09"),
    ),
    foot=FOOT,
)
FULL_TAG = Tag(
    title="QUARANTINE: DO NOT USE",
    number="Q-20433",
    code="Q2043307QX",
    piece=UNBROKEN,
    tray=f"{LONG_TRAY} · TR-7305",
    said=("Swab head left inside", "Can not tell: the way can not be seen to its end"),
    marks=FULL_TICKET.marks[:3],
    state="NOT clear: goes to decontam first",
    warning="DO NOT WASH before retrieval",
    facts=(
        SheetLine(label="Tray waits", value="yes"),
        SheetLine(label="Why", value="swab left in the piece"),
        SheetLine(label="Ruled by", value="supervisor"),
        SheetLine(label="Time", value="14:09"),
    ),
    foot=FOOT,
)
EVERY: dict[str, Paper] = {
    "ticket": PLAIN_TICKET,
    "ticket_full": FULL_TICKET,
    "sheet": PLAIN_SHEET,
    "sheet_full": sheet_with(110, 12),
    "label": PLAIN_LABEL,
    "label_full": FULL_LABEL,
    "tag": PLAIN_TAG,
    "tag_full": FULL_TAG,
    **REPORTS,
}
