"""The rules of a whole tray besides its count."""

from collections.abc import Callable
from typing import Any

from kiosk.core import commands as c
from kiosk.core.decide import handing, loads, loaner, opening, reopening, weighing
from kiosk.core.decide.overridable import Overridable
from kiosk.core.decide.pen import Pen

RULES: dict[type, Callable[[Pen, Any], None]] = {
    c.Weigh: weighing.weigh,
    c.RuleSplit: weighing.rule_split,
    c.CountImplant: loaner.count_implant,
    c.SecondCountDone: loaner.second_count_done,
    c.RuleIfu: loaner.rule_ifu,
    c.Reopen: reopening.reopen,
    c.OldLabelGone: reopening.old_label_gone,
    c.FetchedPackage: reopening.fetched,
    c.HandOver: handing.hand_over,
    c.TakeOver: opening.take_over,
    c.SameLabel: handing.same_label,
    c.RuleRetagged: handing.rule_retagged,
    c.MarkRush: handing.mark_rush,
    c.TellNotBefore: handing.tell_not_before,
    c.RuleLoad: loads.rule_load,
    c.WithdrawLoad: loads.withdraw,
    c.ReturnLoaner: loaner.return_loaner,
}
BY_NOBODY: tuple[type, ...] = ()
"""Commands that need nobody signed in."""
OVERRIDES: tuple[Overridable, ...] = ()
"""What a supervisor may let go on here."""


def settle(pen: Pen) -> None:
    """What follows by itself."""
    weighing.settle(pen)
    loaner.settle(pen)
    loads.settle(pen)
    handing.settle(pen)
