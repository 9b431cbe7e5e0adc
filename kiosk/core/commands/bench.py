"""What is asked for at the bench on an ordinary tray."""

from dataclasses import dataclass

from kiosk.core.meaning import Meaning
from kiosk.core.place import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Started:
    """The bench program started. `last_alive_ms`: when it was last alive, if it stopped without saying so."""

    last_alive_ms: int | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Scanned:
    """A code was read by the scanner, typed in its place (`typed`), or tapped as a row."""

    meaning: Meaning
    typed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class EnterPin:
    """The PIN typed for a person. With `ruling` it signs a supervisor in for one ruling only.

    `second`: it signs a second person in for one answer only; what it is about, as `kind` or `kind-rest`.
    `language`: touched before on the sign-in page; it becomes that of a person who has chosen none yet.
    `salt`: 16 random bytes in hexadecimal, for a PIN that is to be hashed anew; "": it stays as it is.
    """

    person: str
    pin: str
    ruling: bool = False
    second: str = ""
    language: str = ""
    salt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignOut:
    """Sign out; `idle` when the bench did it after quiet."""

    idle: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerStartup:
    """Answer to one question of the bench start-up."""

    question: str
    yes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CountLine:
    """This line of the count sheet has so many. `by`: the second person, signed in for this count."""

    line: str
    have: int
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountAll:
    """These lines are there as listed. `took_ms` since the page appeared. `by`: the second person."""

    lines: tuple[str, ...]
    took_ms: int = 0
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountDiffers:
    """The count stands although it differs from the list."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenPiece:
    """Go on with this piece."""

    piece: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """Answer to the open check. `sure`: given again when asked about the pace."""

    piece: str
    key: str
    yes: bool
    unsure: bool = False
    took_ms: int = 0
    sure: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportFinding:
    """What was seen and where, after a NO."""

    code: str
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class MovePlace:
    """Move the mark of the finding being decided by so many millimeters."""

    by_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeBack:
    """Change the last answer, or take back the finding being decided."""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPhoto:
    """A picture of the finding was kept by the store."""

    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoPhoto:
    """No picture, for this reason."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Confirm:
    """Yes to what the page says will happen. `what`: a disposition, or the page's own word (covered, opened, shelf)."""

    what: str
    subject: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StepDone:
    """The step on the screen is done: drying, putting right, bench cleaning, gloves, scope cleaning."""

    step: str
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class SetLabelTime:
    """Wet time in minutes from the disinfectant's label."""

    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Weigh:
    """The scale's reading, as typed. `part`: of a split set, which package, from 1."""

    value: str
    unit: str
    part: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceIndicators:
    """So many indicators lie inside."""

    count: int


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoosePackaging:
    """The packaging."""

    kind: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PackAndPrint:
    """Close the tray: print tray sheet and label."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintCame:
    """What came of a print: `where` it went, or `why` it did not."""

    doc: str
    number: str
    copy: int
    where: str = ""
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintAgain:
    """Try the print that failed again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WriteByHand:
    """The paper was copied by hand from the screen. `form`: the number of the spare form, 0 where it has none."""

    form: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Readable:
    """Did the papers come out readable?"""

    yes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class StopHere:
    """Leave the tray and keep its place."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleQuarantine:
    """The supervisor's ruling: quarantine. `by` signed in for this ruling."""

    by: str
    piece: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSubstitute:
    """The supervisor's ruling: this spare takes the piece's place, like for like."""

    by: str
    piece: str
    spare: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleLoad:
    """The supervisor's word that the load's printout is signed."""

    by: str
    load: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartAgain:
    """Ask the bench start again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CountAgain:
    """Count this tray again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LetGo:
    """This is not the tray: let it go before anything was answered."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeBack:
    """The scope that was out of use is back from reprocessing, with this load where one was scanned."""

    scope: str
    load: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAid:
    """Hurt or splashed: show first aid at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAidDone:
    """Somebody is being helped: leave the first-aid page. `mistake`: it was touched by mistake."""

    mistake: bool = False


BenchCommand = (
    Started | Scanned | EnterPin | SignOut | AnswerStartup | CountLine | CountAll | CountDiffers | OpenPiece | Answer
    | ReportFinding | MovePlace | TakeBack | KeepPhoto | NoPhoto | Confirm | StepDone | SetLabelTime | Weigh
    | PlaceIndicators | ChoosePackaging | PackAndPrint | PrintCame | PrintAgain | WriteByHand | Readable | StopHere
    | RuleQuarantine | RuleSubstitute | RuleLoad | StartAgain | CountAgain | LetGo | ScopeBack | FirstAid
    | FirstAidDone
)  # fmt: skip
