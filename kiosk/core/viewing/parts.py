"""The parts of the work that show more than an ordinary tray asks for, in the order of their keys."""

from kiosk.core.viewing import (
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
    scope_target,
    staff,
    stills,
    trays,
)

PARTS = (
    desk,
    overrides,
    counting,
    trays,
    looking,
    safety,
    kit,
    cleaning_tests,
    readings,
    references,
    decontam,
    staff,
    keeping,
    stills,
    scope_target,
)
