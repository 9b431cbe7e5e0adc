"""Papers of an invented department, plain and as full as the catalogue admits."""

from decimal import Decimal

from kiosk.core.catalogue import Landmark, Lumen
from kiosk.core.papers import (
    Foot,
    Mark,
    PackageLabel,
    ReturnTicket,
    SheetLine,
    SheetLumen,
    SheetPiece,
    Tag,
    TraySheet,
)
from kiosk.core.place import Place
from kiosk.core.vocabulary import Feature, Opening

FOOT = Foot(printed="Printed 2031-05-06 14:09 -05:00", bench="Bench 3", versions="Throughlight 0.1.0 · policy 4 · record 12")
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
