"""What can have happened. One class an event; its name on disk and version stand in EVENTS and never change.

A body holds strings, whole numbers, truth values and the frozen records of this room; measures are Decimal
millimeters (kept as text). Who, when, which trip and which versions stand in the stamp (`kiosk.core.stamp`).
Each module holds the events of one part of the work, and its rows of the table.
"""

from kiosk.core.events import (
    bench,
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    looking,
    overrides,
    packing,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
    trip,
)
from kiosk.core.events.bench import *
from kiosk.core.events.cleaning_tests import *
from kiosk.core.events.counting import *
from kiosk.core.events.decontam import *
from kiosk.core.events.desk import *
from kiosk.core.events.keeping import *
from kiosk.core.events.kit import *
from kiosk.core.events.looking import *
from kiosk.core.events.overrides import *
from kiosk.core.events.packing import *
from kiosk.core.events.readings import *
from kiosk.core.events.references import *
from kiosk.core.events.safety import *
from kiosk.core.events.shipped import Shipped
from kiosk.core.events.staff import *
from kiosk.core.events.stills import *
from kiosk.core.events.trays import *
from kiosk.core.events.trip import *

Event = (
    bench.BenchEvent
    | trip.TripEvent
    | packing.PackingEvent
    | decontam.DecontamEvent
    | counting.CountingEvent
    | looking.LookingEvent
    | overrides.OverridesEvent
    | kit.KitEvent
    | safety.SafetyEvent
    | desk.DeskEvent
    | staff.StaffEvent
    | trays.TraysEvent
    | keeping.KeepingEvent
    | cleaning_tests.CleaningTestsEvent
    | readings.ReadingsEvent
    | references.ReferencesEvent
    | stills.StillsEvent
)
"""Every event there is."""

EVENTS: dict[str, Shipped] = {
    **bench.SHIPPED,
    **trip.SHIPPED,
    **packing.SHIPPED,
    **decontam.SHIPPED,
    **counting.SHIPPED,
    **looking.SHIPPED,
    **overrides.SHIPPED,
    **kit.SHIPPED,
    **safety.SHIPPED,
    **desk.SHIPPED,
    **staff.SHIPPED,
    **trays.SHIPPED,
    **keeping.SHIPPED,
    **cleaning_tests.SHIPPED,
    **readings.SHIPPED,
    **references.SHIPPED,
    **stills.SHIPPED,
}
"""Name on disk -> version, class, and what it is to an older program."""

NAME_OF: dict[type[Event], str] = {row.kind: name for name, row in EVENTS.items()} | {keeping.NotKnown: "not_known"}
