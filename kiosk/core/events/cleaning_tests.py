"""Cleaning tests: a residue measured with an instrument, as it was typed. No such event clears or holds anything."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class CleaningTestKept:
    """A result: kind (of another thing: `what`), value as decimal text with its unit, how sampled, on which meter.

    `about` is what was sampled: `tray=TR-1`, `item=` a mark, `load=W-1`, or `other=` as typed; `trip`: the tray's open
    trip, or "". `alert` and `action` are the department's levels as they were then, in `level_unit`, as decimal text;
    "": not set. `reached`: a result at a level counts; else only one above it.
    """

    number: str
    kind: str
    what: str = ""
    value: str
    unit: str
    method: str
    meter: str = ""
    about: str
    trip: str = ""
    alert: str = ""
    action: str = ""
    level_unit: str = ""
    reached: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class CleaningTestAnswered:
    """A lead said what was done about a result, or that it was typed wrong. Nothing is cleared by it."""

    test: str
    done: str


CleaningTestsEvent = CleaningTestKept | CleaningTestAnswered

SHIPPED: dict[str, Shipped] = {
    "cleaning_test_kept": Shipped(1, CleaningTestKept, "info"),
    "cleaning_test_answered": Shipped(1, CleaningTestAnswered, "info"),
}
