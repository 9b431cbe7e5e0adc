"""Examples of the events of whole trays."""

from kiosk.core import events as e

EXAMPLES: tuple[e.Event, ...] = (
    e.HandedOver(to="T4"),
    e.TraySplit(parts=2),
    e.ImplantUsed(line="Screw 2.7 x 10", used=3, refilled=2),
    e.SecondLineCounted(line="Screw 2.7 x 10", have=11),
    e.SecondCounted(differs=("Screw 2.7 x 10",)),
    e.IfuFiled(),
    e.LoanerReturned(),
    e.OldLabelDestroyed(number="B1-310310-0001"),
    e.PackageFetched(number="B1-310310-0001"),
    e.TrayTakenOver(station="B2", trip="2-000004"),
    e.GoneOver(),
    e.SameLabelTold(tray="TR-0734"),
    e.Retagged(tray="TR-0734"),
    e.TagChanged(tray="TR-0734"),
    e.RushMarked(tray="TR-0734", by="16:30"),
    e.NotBefore(tray="TR-0734", at="17:00"),
    e.LoadAdded(load="W-2202"),
    e.RackTaken(load="W-2201"),
    e.LoadWithdrawn(load="W-2201", why="indicator"),
    e.LoadAlerted(load="W-2201", pieces=3),
    e.LoadAlertTold(load="W-2201"),
)
