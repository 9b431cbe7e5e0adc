"""What a scanned or typed code means."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from kiosk.core.state.tickets import TicketCard


class Kind(StrEnum):
    """What a code names."""

    TRAY = "tray"
    ITEM = "item"
    TICKET = "ticket"
    PERSON = "person"
    LOAD = "load"
    SCOPE = "scope"
    SWAB_LOT = "swab_lot"
    LABEL = "label"
    SPARE_FORM = "spare_form"  # a numbered form that stands in for a paper of the tool
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class Meaning:
    """A code's kind and the code it names (`text`), as read from symbology `symbology`; `why` when it is not valid.

    Of a ticket's data code: `card`, what it tells, `code`, its text as read, and `vouched`, whether the bench that
    signed it is known here.
    """

    kind: Kind
    text: str
    symbology: str | None = None
    gs1: Mapping[str, str] = field(default_factory=dict)
    valid: bool = True
    why: str | None = None
    card: TicketCard | None = None
    code: str = ""
    vouched: bool = False
