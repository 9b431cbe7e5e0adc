"""The rules of looking again."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.decide import checking, gauging, happened, joints, second_looks, standing
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen

RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.TakeSecondLook: second_looks.take,
    c.StopList: standing.stop_list,
    c.StopListMark: standing.stop_list_mark,
    c.StopListLot: standing.stop_list_lot,
    c.StopWithdraw: standing.withdraw,
    c.LiftStop: standing.lift,
    c.AnswerRecall: standing.answer_recall,
    c.Dropped: happened.dropped,
    c.SuspectPathogen: happened.suspect,
    c.RulePathogen: happened.rule,
    c.Call: happened.call,
    c.LookIntoJoint: joints.look_into,
    c.ReportOther: joints.report_other,
    c.Measure: gauging.measure,
    c.RuleSize: gauging.rule,
    c.CorrectSize: gauging.correct,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


_COMES = (e.TrayOpened, e.MarkRead, e.Resumed, e.Replaced)
"""With these a piece comes to the bench, or is known for what it is."""


def settle(pen: Pen) -> None:
    """What follows by itself: a scope that met what two people doubt is out of use; a rule takes a piece out of use."""
    for kept in tuple(pen.kept):
        if isinstance(kept.event, e.DoubtSettled) and kept.event.how == "back":
            checking.scope_after_finding(pen, pen.trip.finding(kept.event.n))
    if any(isinstance(kept.event, _COMES) for kept in pen.kept):
        standing.look_over(pen)
