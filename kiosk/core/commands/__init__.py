"""What a person, a device or the bench itself may ask for. `decide` answers with events or a refusal.

Each module holds the commands of one part of the work. A `Turn` only changes what is shown; nothing is kept of it.
"""

from kiosk.core.commands import (
    bench,
    cleaning_tests,
    counting,
    decontam,
    desk,
    keeping,
    kit,
    looking,
    overrides,
    readings,
    references,
    safety,
    staff,
    stills,
    trays,
)
from kiosk.core.commands.bench import *
from kiosk.core.commands.cleaning_tests import *
from kiosk.core.commands.counting import *
from kiosk.core.commands.decontam import *
from kiosk.core.commands.desk import *
from kiosk.core.commands.keeping import *
from kiosk.core.commands.kit import *
from kiosk.core.commands.looking import *
from kiosk.core.commands.overrides import *
from kiosk.core.commands.pages import *
from kiosk.core.commands.pages import Turn
from kiosk.core.commands.readings import *
from kiosk.core.commands.references import *
from kiosk.core.commands.safety import *
from kiosk.core.commands.set_up import *
from kiosk.core.commands.set_up import SetUp
from kiosk.core.commands.staff import *
from kiosk.core.commands.stills import *
from kiosk.core.commands.trays import *

Command = (
    bench.BenchCommand
    | decontam.DecontamCommand
    | counting.CountingCommand
    | looking.LookingCommand
    | overrides.OverridesCommand
    | kit.KitCommand
    | safety.SafetyCommand
    | desk.DeskCommand
    | staff.StaffCommand
    | trays.TraysCommand
    | keeping.KeepingCommand
    | cleaning_tests.CleaningTestsCommand
    | readings.ReadingsCommand
    | references.ReferencesCommand
    | stills.StillsCommand
)
"""Everything that may be decided."""

Send = Command | Turn | SetUp
"""Everything a screen may send."""
