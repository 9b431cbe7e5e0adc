"""What is asked for when one look is not enough."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeSecondLook:
    """What the second person says of finding `n`, on their own badge. `says`: clear, color_only, scratch, soil,
    not_sure."""

    by: str
    n: int
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopList:
    """Put these marks, item types or lots on the stop list under a notice."""

    notice: str
    marks: tuple[str, ...] = ()
    types: tuple[str, ...] = ()
    lots: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class StopListLot:
    """Put a lot under a notice of the stop list, as typed."""

    notice: str
    lot: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopWithdraw:
    """Take a wrong entry off a notice. `kind`: mark, type or lot."""

    notice: str
    kind: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StopListMark:
    """Put one more mark under a notice of the stop list, as read or typed."""

    notice: str
    mark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LiftStop:
    """The notice is in force no more."""

    notice: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Dropped:
    """A piece fell on the floor; `line` names a piece without a lumen by its count line."""

    piece: str
    line: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SuspectPathogen:
    """This tray may come from a special-pathogen case."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RulePathogen:
    """The supervisor's word that infection prevention has ruled and work may go on."""

    by: str
    note: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Call:
    """The name of the facility's list that the page shows was called."""

    answered: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerRecall:
    """Is the piece that the stop list names in this tray? Yes: it was taken out; it stays at the bench."""

    piece: str
    here: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class LookIntoJoint:
    """A stiff joint was looked into: was soil seen there?"""

    soil: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ReportOther:
    """Something was seen on a piece without a lumen, after they were all looked at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Measure:
    """What the gauge pins and the rule say of a lumen, in millimeters as typed; "" is asked for next."""

    piece: str
    lumen: str
    goes: str = ""
    stops: str = ""
    length: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleSize:
    """The supervisor's ruling on a measured lumen: for this tray, or for every tray that has the same item."""

    by: str
    piece: str
    lumen: str
    everywhere: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class CorrectSize:
    """The supervisor corrects a size of the record at the bench, in millimeters as typed; "" is asked for next."""

    by: str
    piece: str
    lumen: str
    inside: str = ""
    length: str = ""


LookingCommand = (
    TakeSecondLook | StopList | StopListMark | StopListLot | StopWithdraw | LiftStop | Dropped | SuspectPathogen
    | RulePathogen | Call | AnswerRecall | LookIntoJoint | ReportOther | Measure | RuleSize | CorrectSize
)  # fmt: skip
