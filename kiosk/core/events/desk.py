"""What the supervisor rules, prints and signs."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryRow:
    """A row beside a summary's figures.

    `kind`: place (item type, where), load, ticket, hold, override, refused, again. `at_ms`: since when, Unix ms.
    """

    kind: str
    what: str
    where: str = ""
    waits: str = ""
    n: int = 0
    at_ms: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryCounted:
    """A shift was counted for its summary: all that the paper says. `over`: after the shift's end.

    The first one that is over is what every later print of the shift says.
    """

    shift: str
    date: str
    number: str
    until_ms: int
    over: bool
    figures: dict[str, int]
    rows: tuple[SummaryRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SummaryPrinted:
    """The summary of a shift was printed. `again`: it had been printed before."""

    shift: str
    date: str
    again: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverPrinted:
    """The handover list was printed under this number, with so many lines."""

    number: str
    lines: int


@dataclass(frozen=True, slots=True, kw_only=True)
class HandoverTaken:
    """The person of the stamp took the department over, with so many lines open."""

    lines: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LookbackRun:
    """The logs were looked back over. `kind`: load, scope, item, line, tray, lot, bench, package, person, time.

    `since_ms` to `until_ms` (Unix ms; 0: no limit). `why`: as picked or typed. `trips`: those that met it.
    """

    number: str
    kind: str
    value: str
    since_ms: int
    until_ms: int
    why: str
    trips: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditDrawn:
    """`trips` were drawn at random by the recorded seed, out of `of` that ended since `since_ms`."""

    number: str
    seed: int
    since_ms: int
    of: int
    trips: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class FormsIssued:
    """Numbered spare forms were printed: from `first` on so many. `kind`: return_ticket or tray_sheet."""

    kind: str
    first: int
    many: int


@dataclass(frozen=True, slots=True, kw_only=True)
class FormEntered:
    """A spare form that was filled in by hand was entered afterwards. `done_ms`: when the work was done, as written."""

    paper: str
    kind: str
    tray: str
    said: str
    done_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SyncConflict:
    """Two stations say what cannot both be. Both are kept; a supervisor rules.

    `kind`: same_tray, answers (of decontam, on one ticket), policy or record.
    """

    conflict: str
    kind: str
    what: str
    stations: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ConflictRuled:
    """A supervisor ruled on a conflict: what counts from here on. Nothing of either side is taken away.

    `over`: the rulings on it that were known here. Of two that had not seen each other neither counts.
    """

    conflict: str
    ruling: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ClockRight:
    """The person of the stamp read the bench's clock, which was in doubt, and says that it is right."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BaselineFixed:
    """A supervisor fixed what is usual: `found` of `of`, counted over local days from `since` to `until`.

    `about`: the counting it holds for (`kiosk.core.past.figures.Asked.about`). The newest one counts from its
    moment on.
    """

    about: str
    since: str
    until: str
    found: int
    of: int


DeskEvent = (
    SummaryCounted | SummaryPrinted | HandoverPrinted | HandoverTaken | LookbackRun | AuditDrawn | FormsIssued |
    FormEntered | SyncConflict | ConflictRuled | ClockRight | BaselineFixed
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "summary_counted": Shipped(1, SummaryCounted, "info"),
    "summary_printed": Shipped(1, SummaryPrinted, "info"),
    "handover_printed": Shipped(1, HandoverPrinted, "info"),
    "handover_taken": Shipped(1, HandoverTaken, "info"),
    "lookback_run": Shipped(1, LookbackRun, "info"),
    "audit_drawn": Shipped(1, AuditDrawn, "info"),
    "forms_issued": Shipped(1, FormsIssued, "info"),
    "form_entered": Shipped(1, FormEntered, "info"),
    "sync_conflict": Shipped(1, SyncConflict, "hold"),
    "conflict_ruled": Shipped(1, ConflictRuled, "clear"),
    "clock_right": Shipped(1, ClockRight, "info"),
    "baseline_fixed": Shipped(1, BaselineFixed, "info"),
}
