"""What is asked for when something happened to people or to everything at once."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class StopAll:
    """Leak, pest, alarm: stop everything and go. `heard` names the bench where it was touched, if not here."""

    heard: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleExposed:
    """The supervisor's ruling on a tray that was marked exposed. `reason`: covered, not_reached; "" sends it back."""

    by: str
    trip: str
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkHit:
    """This open tray was hit, or was not."""

    trip: str
    hit: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ClearExposure:
    """These are the trays that were hit. `kind`: splash, sharps or none."""

    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TornGlove:
    """A glove tore."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenNote:
    """Open the exposure note of this number. Who asks is written down."""

    n: int


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteNote:
    """Tell one field of the note that is open: its whole value. `number`: the note's page that it stands on."""

    field: str
    value: str
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintNote:
    """Print the note that is open. `number`: the page of it that is shown."""

    number: int = 0


SafetyCommand = OpenNote | WriteNote | PrintNote | StopAll | RuleExposed | MarkHit | ClearExposure | TornGlove
