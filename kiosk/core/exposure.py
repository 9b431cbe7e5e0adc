"""Somebody was hurt or splashed: what the bench knows of it from its log. Never who, and nothing of the note itself."""

from dataclasses import dataclass

BESIDE = "splash"
"""The key of a finding that no check brought: on a tray that lay beside a splash."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Exposure:
    """One time that first aid was asked for. Times in Unix ms; `trip`, `piece`, `key`: what lay on the bench then.

    `tray` and `item` name it; `seen` is the code of the finding that was being decided; `trays` names the trays that
    were hit; `noted` says that the note is finished, `prints` how often it was asked of the printer.
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
    noted: bool = False
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
