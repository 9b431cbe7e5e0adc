"""The page with the scopes' test target, in words."""

from kiosk.core.composing.parts import ReportOrder, report_foot
from kiosk.core.glance import Glance
from kiosk.core.papers import TargetPage
from kiosk.core.scope_target import SIZES


def target_page(g: Glance, order: ReportOrder) -> TargetPage:
    """The page with the target."""
    say = g.words.say
    return TargetPage(
        title=say("target.paper.title"),
        number=order.number,
        lines=g.words.lines("target.paper.lines"),
        names=tuple(say("target.paper.size", mm=f"{24 * times:g}") for times in sorted(SIZES)),
        rule=say("target.paper.rule"),
        foot=report_foot(g, order),
    )
