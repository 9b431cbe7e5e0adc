"""The fold of a whole tray besides its count."""

from collections.abc import Callable
from typing import Any

from kiosk.core import events as e
from kiosk.core.folds import handing, loads, loaner, weight
from kiosk.core.stamp import Stamp
from kiosk.core.state.bench import Bench
from kiosk.core.state.trip import Trip


def _split(trip: Trip, event: e.TraySplit, stamp: Stamp) -> Trip:
    return weight.split(trip, event, stamp.who or "")


def _packed(bench: Bench, event: e.Packed | e.PackedShort, stamp: Stamp) -> Bench:
    return loads.packed(loaner.packed_here(bench, event, stamp), event, stamp)


BENCH: dict[type, Callable[[Bench, Any, Stamp], Bench]] = {
    e.Packed: _packed,
    e.PackedShort: _packed,
    e.LoanerReturned: loaner.forgotten,
    e.LoadReleased: loads.released,
    e.LoadWithdrawn: loads.withdrawn,
    e.RackTaken: loads.rack,
    e.LabelVoided: loads.voided,
    e.PackageFetched: loads.fetched,
    e.TrayTakenOver: handing.taken,
    e.SameLabelTold: handing.same_label,
    e.Retagged: handing.retagged,
    e.RushMarked: handing.rush,
    e.NotBefore: handing.not_before,
    e.Found: loads.soiled,
    e.FindingWithdrawn: loads.soiled,
    e.DoubtSettled: loads.soiled,
    e.LoadAlerted: loads.alerted,
    e.LoadAlertTold: loads.told,
}
TRIP: dict[type, Callable[[Trip, Any, Stamp], Trip]] = {
    e.TraySplit: _split,
    e.LoadAdded: loads.added,
    e.HandedOver: handing.handed_over,
    e.GoneOver: handing.gone_over,
    e.TagChanged: handing.tag_changed,
    e.ImplantUsed: loaner.used,
    e.SecondLineCounted: loaner.second_line,
    e.SecondCounted: loaner.second_done,
    e.IfuFiled: loaner.filed,
    e.LoanerReturned: loaner.went_home,
}
