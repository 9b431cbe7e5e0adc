"""What happens when a tray is packed and papers are printed."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """The set's weight as read from the scale: `value` as typed, `unit` kg or lb.

    `part`: of a split set, the package it is the weight of, from 1. `asks`: it reads over the limit, and the unit is
    asked once more before anything follows. `over_lb`: the limit it is over, where policy only warns or a supervisor
    let it pass.
    """

    value: str
    unit: str
    part: int = 0
    asks: bool = False
    over_lb: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class WeightStopped:
    """The set, or this part of it, weighs more than its limit (pounds)."""

    value: str
    unit: str
    limit_lb: str
    part: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class IndicatorsPlaced:
    """So many chemical indicators lie inside."""

    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PackagingChosen:
    """The packaging, of those the set record allows."""

    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Packed:
    """The tray is packed complete under this package number. `parts`: of a split set, the number of each package."""

    number: str
    parts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintAsked:
    """A paper was sent to the printer. `number` is the ticket's, tag's, trip's or package's; `copy` 0 is the first.

    A paper of the desk belongs to no trip; `about` then says what it is about: a shift, a load.
    """

    doc: str
    number: str
    copy: int = 0
    about: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPrinted:
    """The tray sheet left for the printer or the folder."""

    number: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelPrinted:
    """The package label left for the printer or the folder."""

    number: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TicketPrinted:
    """Both parts of the return ticket left for the printer or the folder."""

    number: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TagPrinted:
    """A repair or quarantine tag left for the printer or the folder."""

    doc: str
    number: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportPrinted:
    """A paper of the desk left for the printer or the folder."""

    doc: str
    number: str
    where: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Handwritten:
    """The paper was copied by hand from the screen: the printer was down. `form`: the numbered spare form, if any."""

    doc: str
    number: str
    form: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reprinted:
    """A further print of the same paper, marked COPY n."""

    doc: str
    number: str
    copy: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelVoided:
    """A package number that will never be used again; `new` takes its place."""

    number: str
    why: str
    new: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PaperRead:
    """The person said whether the paper came out readable."""

    doc: str
    number: str
    readable: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterLost:
    """The printer did not take this paper. `why` in words."""

    doc: str
    number: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PrinterRestored:
    """The printer took a paper again."""


PackingEvent = (
    Weighed | WeightStopped | IndicatorsPlaced | PackagingChosen | Packed | PrintAsked | SheetPrinted |
    LabelPrinted | TicketPrinted | TagPrinted | ReportPrinted | Handwritten | Reprinted | LabelVoided |
    PaperRead | PrinterLost | PrinterRestored
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "weighed": Shipped(1, Weighed, "info"),
    "weight_stopped": Shipped(1, WeightStopped, "hold"),
    "indicators_placed": Shipped(1, IndicatorsPlaced, "info"),
    "packaging_chosen": Shipped(1, PackagingChosen, "info"),
    "packed": Shipped(1, Packed, "info"),
    "print_asked": Shipped(1, PrintAsked, "info"),
    "sheet_printed": Shipped(1, SheetPrinted, "info"),
    "label_printed": Shipped(1, LabelPrinted, "info"),
    "ticket_printed": Shipped(1, TicketPrinted, "info"),
    "tag_printed": Shipped(1, TagPrinted, "info"),
    "report_printed": Shipped(1, ReportPrinted, "info"),
    "ticket_handwritten": Shipped(1, Handwritten, "info"),
    "reprinted": Shipped(1, Reprinted, "info"),
    "label_voided": Shipped(1, LabelVoided, "hold"),
    "paper_read": Shipped(1, PaperRead, "info"),
    "printer_lost": Shipped(1, PrinterLost, "hold"),
    "printer_restored": Shipped(1, PrinterRestored, "clear"),
}
