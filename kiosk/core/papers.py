"""What stands on each paper, as text and drawing data. `kiosk.core.composing` fills them; `kiosk.paper` draws them.

No word here is written by the drawing room: it only sets type. No staff name stands on a paper that crosses to
decontam (`ReturnTicket`), and nowhere the word sterile.
"""

from dataclasses import dataclass
from decimal import Decimal

from kiosk.core.catalogue import Lumen
from kiosk.core.place import Place
from kiosk.core.views.charting import Drawing


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """A finding drawn on a tube: flag number, the lumen's record, and where. `words` is the place in words."""

    flag: int
    lumen: Lumen | None
    place: Place
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Foot:
    """The small line at the foot of every page."""

    printed: str  # local time with offset
    bench: str
    versions: str  # software, policy and record version
    copy: str = ""  # "COPY 2" from the second print on


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLine:
    """One line of a table: a label and its value, or a count line."""

    label: str
    value: str = ""
    note: str = ""
    symbol: str = ""  # "batch": drawn before the words


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetLumen:
    """One lumen on the tray sheet. `ring`: clear, found, unsure or open (not finished)."""

    lumen: Lumen
    name: str  # the way: "bore"
    checks: str  # "dry, swab 3.0 mm, scope SC-1"
    result: str  # "clear", "not seen inside", ...
    not_seen: str  # "" or "inside not seen: all" / "inside not seen: 50 mm"
    ring: str
    dark: tuple[Decimal, Decimal] | None = None  # the stretch nobody looked at, as shares of the length from ENTRY


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetPiece:
    """A lumened piece on the tray sheet with its lumens."""

    name: str  # with "(1 of 2)" where pieces are alike
    by: str  # "V1 by Mara Quill"
    lumens: tuple[SheetLumen, ...]
    result: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TraySheet:
    """Goes with the tray. Exceptions stand boxed at the top; lumen lines grouped at the end."""

    title: str
    tray_code: str
    tray_name: str
    trip: str
    code: str  # text of the sheet's QR code
    headline: str  # "Lumens 3 of 3 checked."
    not_seen: str  # "inside not seen: 4 of 5 lumens"
    shares: str  # share of inner wall seen and touched
    facts: tuple[SheetLine, ...]  # load, set version, weight, indicators, packaging, cycle, policy...
    exceptions: tuple[str, ...]
    counts: tuple[SheetLine, ...]  # wanted / there
    count_title: str
    pieces: tuple[SheetPiece, ...]
    checked_by: tuple[str, ...]
    signature: str
    cautions: tuple[str, ...]
    foot: Foot


@dataclass(frozen=True, slots=True, kw_only=True)
class ReturnTicket:
    """Two parts with one number: D travels with the item, C stays on the hold shelf."""

    number: str  # K-10007
    code: str  # ten characters of the number code (QR version 1, level H)
    code_text: str  # the same for typing
    header: str  # "SENT BACK TO DECONTAM"
    scope: str  # "THIS PIECE" or "WHOLE TRAY": the largest letters after the number
    not_clear: str  # "NOT CLEAR", "LOOK AGAIN" ...
    ring: str  # found or unsure
    said: tuple[str, ...]  # the findings' words
    pieces: tuple[str, ...]  # names, "(1 of 2)"
    tray: str  # name and code
    marks: tuple[Mark, ...]
    how_found: str  # "found by swab"
    todo: tuple[str, ...]  # what to do, largest first
    together: str  # "both tubes of the pair"
    warnings: tuple[str, ...]  # still wet, sharp, power part
    effort: str  # "" or "second return"
    facts: tuple[SheetLine, ...]  # load, back to, wanted by, time, bench
    biohazard: str  # words beside the place for the facility's mark
    receive: str  # "Scan here or type this number"
    part_d: str  # "Part D: goes with the piece"
    part_c: str  # "Part C: stays on the hold shelf"
    c_lines: tuple[SheetLine, ...]  # hold place, what else is missing, what is asked again on return, covered since
    foot: Foot
    data: str = ""  # text of the data code, on a page of its own in part D; "": none
    data_words: str = ""  # beside it
    copy_lines: tuple[str, ...] = ()  # of a copy: how the first one went, that it was taken in, that this is filed


@dataclass(frozen=True, slots=True, kw_only=True)
class PackageLabel:
    """Outside of the package. Leaves the sterilizer's fields blank: they belong to that side."""

    tray_name: str
    tray_code: str
    number: str
    code: str
    packed: str  # date and time
    facts: tuple[SheetLine, ...]
    alerts: tuple[str, ...]  # SHORT 1, IMPLANT, LOANER 1 of 3, RUSH
    blanks: tuple[str, ...]  # labels of the blank fields
    care: str  # event-related words of the policy
    foot: Foot


@dataclass(frozen=True, slots=True, kw_only=True)
class Tag:
    """A repair or quarantine tag."""

    title: str  # "FOR REPAIR" / "QUARANTINE: DO NOT USE"
    number: str
    code: str
    piece: str
    tray: str
    said: tuple[str, ...]
    marks: tuple[Mark, ...]
    state: str  # "lumen checked clean 10:41" as the person answered, or "NOT clear: goes to decontam first"
    warning: str  # "DO NOT WASH before retrieval"
    facts: tuple[SheetLine, ...]
    foot: Foot


@dataclass(frozen=True, slots=True, kw_only=True)
class Pictured:
    """A kept picture by the name of its file and what its bytes are known by, and the words under it.

    `gone`: what stands in its place where the file is not there, or not as it was kept.
    """

    file: str
    sha256: str
    words: str
    gone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """A part of a report: paragraphs first, then a chart, then a table of lines, then a note on it."""

    title: str
    paragraphs: tuple[str, ...] = ()
    lines: tuple[SheetLine, ...] = ()
    note: str = ""
    new_page: bool = False
    room_mm: float = 0.0  # white below each line to write on
    drawing: Drawing | None = None  # a chart over the table
    columns: int = 1  # of short lines: side by side
    pictures: tuple[Pictured, ...] = ()  # two beside each other, under the paragraphs


@dataclass(frozen=True, slots=True, kw_only=True)
class Report:
    """A paper of the desk, on letter or A4, on as many pages as it takes: summary, handover, lookback, logs, policy."""

    doc: str
    title: str
    number: str
    about: str  # the line under the title: which shift, which load
    headline: tuple[str, ...]  # read aloud first
    sections: tuple[Section, ...]
    signature: tuple[str, ...] = ()  # labels of lines to sign on
    columns: int = 1  # 2: a page for the wall, in smaller letters, so that it is one
    foot: Foot


@dataclass(frozen=True, slots=True, kw_only=True)
class TargetPage:
    """The test target for scopes, at 1:1 (`kiosk.core.scope_target`). `names`: under each size, the smallest first."""

    title: str
    number: str
    lines: tuple[str, ...]  # how it is used
    names: tuple[str, ...]
    rule: str  # beside the rule of 50 mm
    foot: Foot


Paper = TraySheet | ReturnTicket | PackageLabel | Tag | Report | TargetPage
