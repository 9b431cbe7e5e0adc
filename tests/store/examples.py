"""One example of every event, none of it left at its default where that tells nothing. Golden files hold these."""

from decimal import Decimal

from kiosk.core import events as e
from kiosk.core.catalogue import CountLine, Item, Landmark, Lumen, Tray
from kiosk.core.place import Place
from kiosk.core.plan import LumenPlan, PiecePlan, PlannedCheck
from kiosk.core.vocabulary import Check, Feature, Learnt, Opening, Size
from tests.store.parts import counting, decontam, desk, keeping, kit, looking, overrides, safety, staff, trays

_PARTS = (counting, decontam, desk, keeping, kit, looking, overrides, safety, staff, trays)

MM = Decimal
ITEM = Item(
    id="A3",
    name="Shaver handpiece, 4 mm “long”",
    type="shaver_handpiece",
    lumens=(
        Lumen(
            name="suction",
            inside_mm=MM("3.20"),
            length_mm=MM(180),
            features=frozenset({Feature.STEPPED, Feature.CURVED}),
            air_kpa=150,
            forbid=frozenset({Check.WATER, Check.AIR}),
            learnt=Learnt.GAUGE_PIN,
            landmarks=(Landmark(name="lever", at_mm=MM("42.5")), Landmark(name="tip")),
        ),
        Lumen(name="socket", inside_mm=None, length_mm=None, open=Opening.ONE),
    ),
    qty=2,
    takes_apart=True,
    insulated=True,
    function=("lever moves freely",),
    own_mark=True,
    landmarks=(Landmark(name="handle"),),
    version=4,
)
TRAY = Tray(
    code="TR-0417",
    name="Ortho arthroscopy, síl°",
    items=(ITEM,),
    lines=(CountLine(name="Forceps", want=6), CountLine(name="Shaver", want=2, item="A3")),
    version=7,
    weight_needed=True,
    weight_max_lb=MM("22.5"),
    packaging=("container",),
    indicators=2,
    cycle="low_temperature",
    container_note="two locks",
)
PLAN = PiecePlan(
    piece="A3#1",
    item="A3",
    name="Shaver handpiece",
    checks=(
        PlannedCheck(check=Check.LOOK, because="every piece"),
        PlannedCheck(
            check=Check.SCOPE, lumen="suction", use="SC-1 both ends", tool="SC-1", ends="both ends", because="narrow"
        ),
    ),
    lumens=(
        LumenPlan(
            lumen="suction",
            size=Size.MIDDLE,
            not_seen_mm=MM(12),
            not_seen=True,
            left_out=(("air", "no pressure in the IFU"),),
            wall_mm2=MM("1809.5574"),
            seen_mm2=MM("1688.9202"),
            touched_mm2=MM(0),
        ),
        LumenPlan(lumen="socket", size=Size.UNKNOWN, not_seen=True, not_seen_all=True, hold="unknown_lumen"),
    ),
    seen_share=MM("0.9333"),
    touched_share=None,
    hold="unknown_lumen",
)

EXAMPLES: tuple[e.Event, ...] = (
    e.SignedIn(person="P-014"),
    e.SignInRefused(person="P-014", tries=2),
    e.SignedOut(reason="idle"),
    e.StartupAnswered(question="lamp", yes=False),
    e.ScopeStartOk(scope="SC-1"),
    e.TrayOpened(tray=TRAY, load="W-2201"),
    e.LoadChecked(load="W-2201"),
    e.LoadNotReleased(load=None),
    e.PlanShown(plans=(PLAN,)),
    e.LineCounted(line="Forceps", have=5),
    e.CountOk(again=True),
    e.CountShort(line="Forceps", want=6, have=5),
    e.CountOver(line="Forceps", want=6, have=7),
    e.CheckYes(piece="A3#1", key="suction.scope", end="tip", took_ms=6400, tool="SC-1", asked_twice=True),
    e.CheckNo(piece="A3#1", key="suction.swab", end="entry", took_ms=2100, tool="2.0 mm", unsure=True),
    e.NotSeenMarked(piece="A3#1", lumen="suction", mm=12, all=False),
    e.Found(
        n=1,
        piece="A3#1",
        key="suction.scope",
        code="soil_dark",
        group="soil",
        place=Place(lumen="suction", at_mm=42, landmark="lever"),
    ),
    e.FindingWithdrawn(n=1),
    e.PlaceMoved(n=1, place=Place(lumen="suction", all_along=True)),
    e.Correction(piece="A3#1", key="look"),
    e.PhotoTaken(n=1, file="TR-0417-1.jpg", sha256="9f" * 32),
    e.PhotoDeclined(n=1, reason="camera is out"),
    e.SecondLookAsked(n=2, piece="A3#2"),
    e.Dried(n=3, piece="A3#2", tries=1),
    e.BenchFixed(n=4, piece="A3#2"),
    e.ItemBack(ticket="RT-000123", pieces=("A3#1", "A3#2"), findings=(1, 2), bench="full", gloves=True),
    e.TrayBack(ticket="RT-000124", pieces=("A3#1",), findings=(1,), why="soil_two_pieces", bench="wipe", gloves=False),
    e.RepairTagged(tag="RP-0007", piece="A3#2", n=5),
    e.Quarantined(tag="QT-0003", piece="A3#1", n=6, note="Keep it dry: “lead” asked.\nSecond line."),
    e.HoldPlaced(hold="H1", code="unknown_lumen", waits_for=("A3#1",), n=6, bench="wipe", gloves=True),
    e.HoldReleased(holds=("H1", "H2"), why="pieces are back"),
    e.LeadTold(piece="A3#1", why="effort"),
    e.Replaced(out="A3#1", item=ITEM),
    e.BenchStepDone(step=2),
    e.LabelTimeSet(minutes=3),
    e.BenchCleaned(level="full", wet_minutes=3),
    e.GlovesChanged(),
    e.ScopeCleaned(scope="SC-1"),
    e.ScopeOutOfUse(scope="SC-1", why="met soil"),
    e.Weighed(value="18.25", unit="lb"),
    e.WeightStopped(value="12.0", unit="kg", limit_lb="25"),
    e.IndicatorsPlaced(count=2),
    e.PackagingChosen(kind="container"),
    e.Packed(number="PK-000456"),
    e.PrintAsked(doc="tray_sheet", number="PK-000456", copy=1),
    e.SheetPrinted(number="PK-000456", where="queue"),
    e.LabelPrinted(number="PK-000456", where="queue"),
    e.TicketPrinted(number="RT-000123", where="folder"),
    e.TagPrinted(doc="repair_tag", number="RP-0007", where="folder"),
    e.Handwritten(doc="return_ticket", number="RT-000123"),
    e.Reprinted(doc="package_label", number="PK-000456", copy=1),
    e.LabelVoided(number="PK-000456", why="torn", new="PK-000457"),
    e.PaperRead(doc="return_ticket", number="RT-000123", readable=False),
    e.PrinterLost(doc="tray_sheet", number="PK-000456", why="no paper"),
    e.PrinterRestored(),
    e.Paused(reason="break"),
    e.PieceChosen(piece="A3#2"),
    e.Resumed(covered=True, other_person=False, minutes=17),
    e.RepeatedAfterPause(pieces=("A3#1",), count=True),
    e.PowerLost(at_ms=1_764_079_200_000),
    e.PowerRestored(),
    e.WrongScan(kind="label", text="PK-000456"),
    e.FirstAidBegun(),
    e.ExposureNoted(),
    e.FirstAidLeft(),
    e.StartupAgain(),
    e.TrayLetGo(),
    e.LoadReleased(load="W-1007"),
    e.ReportPrinted(doc="shift_summary", number="S-10001", where="queue"),
    *(example for part in _PARTS for example in part.EXAMPLES),
)
