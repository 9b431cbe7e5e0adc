"""The papers of the supervisor's desk."""

from collections.abc import Callable

from kiosk.core.composing import forms, handover, lookback, summary
from kiosk.core.composing.parts import ReportOrder
from kiosk.core.glance import Glance
from kiosk.core.papers import Report

REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {
    **summary.REPORTS,
    **handover.REPORTS,
    **lookback.REPORTS,
    **forms.REPORTS,
}
