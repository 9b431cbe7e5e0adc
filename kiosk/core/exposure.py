"""Somebody was hurt or splashed: what the bench knows of it from its log, and the note, which is kept apart from it.

The log never says who, and holds nothing of the note but its number.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

BESIDE = "splash"
"""The key of a finding that no check brought: on a tray that lay beside a splash."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One time that first aid was asked for. Times in Unix ms; `trip`, `piece`, `key`: what lay on the bench then.

    `tray` and `item` name it; `seen` is the code of the finding that was being decided; `trays` names the trays that
    were hit; `prints` is how often its note was asked of the printer.
    """

    n: int
    at_ms: int
    offset_min: int
    trip: str = ""
    tray: str = ""
    piece: str = ""
    item: str = ""
    key: str = ""
    seen: str = ""
    kind: str = ""  # splash, sharps, none; "" until somebody said which trays were hit
    trays: tuple[str, ...] = ()
    cleared: bool = False
    bench_ms: int | None = None  # when the bench was clean again
    prints: int = 0

    @property
    def number(self) -> str:
        """The number of its note: E-1."""
        return f"E-{self.n}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """Whom to call, and the number, as it is dialed."""

    name: str
    phone: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAidWords:
    """The facility's own first-aid page, filled in, dated and signed: what to do, whom to call, who comes next.

    `urgent` is called one after the other when something urgent is found and nobody answers the phone.
    """

    steps: tuple[str, ...]
    call: Contact
    then: tuple[Contact, ...]
    urgent: tuple[Contact, ...]
    date: str  # ISO
    signed_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class NoteEntry:
    """One field of an exposure note as it was told: by whom, when (Unix ms, offset in minutes)."""

    note: int
    field: str
    value: str
    by: str
    at_ms: int
    offset_min: int


SEVERAL = frozenset({"happened", "worn", "aid"})
"""Fields with several values, kept with commas between them."""

CHOICES: dict[str, tuple[str, ...]] = {
    "happened": ("splash_eye", "splash_face", "splash_mouth", "splash_skin", "sharp_glove", "other"),
    "worn": ("gloves", "eye", "mask", "gown", "face_shield", "nothing"),
    "aid": ("eyes", "nose_mouth", "skin", "cut", "other", "nothing"),
}
"""What may be picked. No field holds anything of a person's health, and none asks whose fault it was."""

FIELDS = ("person", "happened", "worn", "aid", "told", "told_at")


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureNote:
    """A note as its entries tell it; of each field the last one stands."""

    n: int
    entries: tuple[NoteEntry, ...] = ()

    def value(self, field: str) -> str:
        """The field's value, or ""."""
        return next((entry.value for entry in reversed(self.entries) if entry.field == field), "")

    def values(self, field: str) -> tuple[str, ...]:
        """The values of a field that may have several."""
        return tuple(part for part in self.value(field).split(",") if part)

    @property
    def person(self) -> str:
        """Whose note it is."""
        return self.value("person")


class NotYours(Exception):
    """The note is another person's, and who asked is no supervisor."""


class Notes(Protocol):
    """Where the notes are kept, apart from the log."""

    def write(self, entries: Sequence[NoteEntry]) -> None:
        """Keep entries durably."""
        ...

    def read(self, note: int, by: str, *, lead: bool, at_ms: int, offset_min: int) -> ExposureNote:
        """A note for `by`, who is written down. Raises NotYours."""
        ...
