"""What is asked for people, settings, catalogue and policy."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class ChooseSetting:
    """The person signed in chooses a setting of their own."""

    key: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepPerson:
    """A supervisor adds a person (`person` "") or changes one thing of somebody. `may`: "yes" or "no", sign in."""

    person: str = ""
    name: str = ""
    role: str = ""
    badge: str = ""
    may: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LendBadge:
    """The badge was forgotten: this one stands for it until the day ends."""

    person: str
    badge: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPin:
    """The person typed a new PIN twice. `salt`: 16 random bytes in hexadecimal, for its hash."""

    person: str
    pin: str
    salt: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ForgiveTries:
    """A supervisor lets somebody try their number again, after too many wrong ones."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginDepartment:
    """The first supervisor, where nobody is known yet: a field after the other, kept when the last one is there.

    `pin` was typed twice; `salt`: 16 random bytes in hexadecimal, for its hash.
    """

    name: str = ""
    badge: str = ""
    pin: str = ""
    salt: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteUnsigned:
    """Somebody who is not signed in saw something on this open tray. It waits for a name."""

    trip: str
    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeOnUnsigned:
    """The person signed in takes on what was noted on the tray without a sign-in: all of it is asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignCompetency:
    """The educator `by` signs that a person can do a method."""

    by: str
    person: str
    method: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignBeside:
    """Somebody beside the trainee signs for the tray on the bench."""

    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class DraftRule:
    """One key of the policy's draft gets this value (JSON). `group`, `number`: the page it was changed on."""

    key: str
    value: str = ""
    group: str = ""
    number: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class DropDraft:
    """Throw the policy's draft away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SignPolicy:
    """Infection prevention (`by`) signs the draft beside the manager. `start`: "now" or "next" (from midnight)."""

    by: str
    start: str = "now"


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepTray:
    """A tray's set record: another name, or `want` of a line ("" of a new one: `line` is its name; 0 takes it out)."""

    tray: str
    name: str = ""
    line: str = ""
    want: int = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepItem:
    """One field of an item record, or of one of its lumens. `source`: the IFU's place and date, which confirms it."""

    tray: str
    item: str
    field: str
    value: str = ""
    lumen: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepKit:
    """The bench has the air station or the gauge pins, or has them no more; a scope is taken out."""

    field: str
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepLoad:
    """A washer load is released, or no more."""

    load: str
    released: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginLesson:
    """Begin a written lesson of the practice."""

    lesson: str


StaffCommand = (
    ChooseSetting | KeepPerson | LendBadge | SetPin | ForgiveTries | BeginDepartment | NoteUnsigned | TakeOnUnsigned
    | SignCompetency | SignBeside | DraftRule | DropDraft | SignPolicy
    | KeepTray | KeepItem | KeepKit | KeepLoad | BeginLesson
)  # fmt: skip
