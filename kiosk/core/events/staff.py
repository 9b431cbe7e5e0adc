"""People, their rights and settings; the catalogue and the policy as they change."""

from dataclasses import dataclass, field

from kiosk.core.catalogue import Item, Kit, Load, Person, Tray
from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingChosen:
    """A person chose a setting of their own: language, yes, hand, text, reach, motion, foot."""

    person: str
    key: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PinTaken:
    """A right PIN for one act only: a ruling, a second look, a signature. It ends a row of wrong ones.

    `refused`: why this person may not do it all the same ("not_supervisor", "same_person").
    """

    person: str
    purpose: str
    refused: str = ""


BEGUN = "first supervisor"
"""Why the first person of all was kept: by this a station that hears of it knows how it came about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PersonKept:
    """A supervisor added a person, or changed name, role, badge, or whether they may sign in. PINs stand apart.

    `over`: the changes of this person that were known then, by their marks (`kiosk.core.together.seen`).
    """

    person: Person
    why: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PinSet:
    """A person typed a new PIN twice at the glass; only its hash is kept. `over`: the PINs of theirs known then."""

    person: str
    pin_hash: str
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PinHashedAnew:
    """A right PIN whose hash was made in an older way was hashed in today's. `was`: the mark of the hash it replaces.

    It counts only where that hash still stands: a PIN that was changed meanwhile stays changed.
    """

    person: str
    pin_hash: str
    was: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TriesForgiven:
    """A supervisor, or whoever keeps the station's machine, ended a row of wrong PINs."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TryRefused:
    """Somebody tried what is not theirs to do, and was refused. `what`: the command's name on disk.

    `why`: role, or the rule that stood against it (own_work, same_person, own_record, cosigner, disabled).
    """

    person: str
    what: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingUnsigned:
    """Something was seen on an open tray by somebody who was not signed in. The tray waits until somebody takes it on.

    Nobody's name stands with it; `code` is a finding's.
    """

    code: str


@dataclass(frozen=True, slots=True, kw_only=True)
class UnsignedTakenOn:
    """A person who is signed in took on what was noted without a name: every piece of the tray is asked again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DayBadgeLent:
    """A badge was forgotten: another one stands for it until then (Unix ms)."""

    person: str
    badge: str
    until_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CompetencySigned:
    """An educator signed on their own badge that a person can do one method, until then (Unix ms)."""

    person: str
    method: str
    by: str
    until_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayCoSigned:
    """Somebody beside the trainee signed for what was answered on this tray so far (`answers` YES in all)."""

    by: str
    answers: int


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordCorrected:
    """An item record was corrected: the whole new record, of one tray or (`tray` "") wherever the item stands.

    `source`: where the numbers come from: the place and date of the IFU, or a gauge pin. `over`, here and below: the
    changes of the record that were known where it was made.
    """

    item: Item
    tray: str = ""
    source: str = ""
    why: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class TrayRecordKept:
    """A tray's set record was changed or added: the whole new record."""

    tray: Tray
    why: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class KitRecordKept:
    """What the bench has to check with was changed."""

    kit: Kit
    why: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadRecordKept:
    """A washer load was changed or added."""

    load: Load
    why: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyDrafted:
    """One key of the policy's draft got another value (JSON); "" takes the key out of the draft."""

    key: str
    value: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyDropped:
    """The draft was thrown away."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicySigned:
    """A numbered version of the policy, signed by two: every value that differs from the shipped policy, as JSON.

    `over`: the versions that were known where it was signed.
    """

    version: int
    values: dict[str, str] = field(default_factory=dict)
    from_ms: int = 0
    manager: str = ""
    infection_prevention: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class PolicyShown:
    """The rules that are new were shown once to this person."""

    person: str
    version: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonBegun:
    """A written lesson was begun in the practice. Nobody's name stands with it."""

    lesson: str


StaffEvent = (
    SettingChosen | PinTaken | PersonKept | PinSet | PinHashedAnew | TriesForgiven | TryRefused | FindingUnsigned
    | UnsignedTakenOn | DayBadgeLent | CompetencySigned | RecordCorrected
    | TrayCoSigned | TrayRecordKept | KitRecordKept | LoadRecordKept | PolicyDrafted | PolicyDropped | PolicySigned
    | PolicyShown | LessonBegun
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "setting_chosen": Shipped(1, SettingChosen, "info"),
    "pin_taken": Shipped(1, PinTaken, "info"),
    "person_kept": Shipped(1, PersonKept, "info"),
    "pin_set": Shipped(1, PinSet, "info"),
    "pin_hashed_anew": Shipped(1, PinHashedAnew, "info"),
    "tries_forgiven": Shipped(1, TriesForgiven, "info"),
    "try_refused": Shipped(1, TryRefused, "info"),
    "finding_unsigned": Shipped(1, FindingUnsigned, "info"),
    "unsigned_taken_on": Shipped(1, UnsignedTakenOn, "info"),
    "day_badge_lent": Shipped(1, DayBadgeLent, "info"),
    "competency_signed": Shipped(1, CompetencySigned, "info"),
    "tray_cosigned": Shipped(1, TrayCoSigned, "info"),
    "record_corrected": Shipped(1, RecordCorrected, "info"),
    "tray_record_kept": Shipped(1, TrayRecordKept, "info"),
    "kit_record_kept": Shipped(1, KitRecordKept, "info"),
    "load_record_kept": Shipped(1, LoadRecordKept, "info"),
    "policy_drafted": Shipped(1, PolicyDrafted, "info"),
    "policy_dropped": Shipped(1, PolicyDropped, "info"),
    "policy_changed": Shipped(1, PolicySigned, "info"),
    "policy_shown": Shipped(1, PolicyShown, "info"),
    "lesson_begun": Shipped(1, LessonBegun, "info"),
}
