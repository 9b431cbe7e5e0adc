"""What changed at this station since its files were loaded: people, records, policy. A part of the bench's state."""

from dataclasses import dataclass, field

from kiosk.core.catalogue import Item, Kit, Load, Person, Tray


@dataclass(frozen=True, slots=True, kw_only=True)
class Chosen:
    """A setting that a person chose for themselves, and when (Unix ms)."""

    key: str
    value: str
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptPerson:
    """A person as changed here once. `over`: the changes of them that were known then."""

    person: Person
    at_ms: int
    by: str
    mark: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lent:
    """A badge that stands for a forgotten one until then."""

    badge: str
    at_ms: int
    until_ms: int
    by: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SetHash:
    """The hash of a PIN as it was typed once, and by whose sign-in."""

    pin_hash: str
    at_ms: int
    by: str = ""
    mark: str = ""
    over: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Signed:
    """A method that an educator signed for."""

    by: str
    at_ms: int
    until_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class KeptRecord:
    """A record as changed here once; one of `item`, `whole`, `kit`, `load` is set. `tray`: whose item it is, or "" """

    at_ms: int
    by: str
    why: str
    source: str = ""
    tray: str = ""
    item: Item | None = None
    whole: Tray | None = None
    kit: Kit | None = None
    load: Load | None = None
    mark: str = ""
    over: tuple[str, ...] = ()  # the changes of it that were known then


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedPolicy:
    """A numbered version: its own values as JSON by key, from when, and the two who signed."""

    version: int
    values: dict[str, str]
    from_ms: int
    at_ms: int
    manager: str
    infection_prevention: str
    mark: str = ""
    over: tuple[str, ...] = ()  # the versions that were known then


@dataclass(frozen=True, slots=True, kw_only=True)
class Amendments:
    """The newest of each; the log has all. `drafted`: the policy's draft, as JSON by key.

    Of people every change is here, of each record and PIN everybody's last few: one that does not count
    (`kiosk.core.together.authority`) must not hide the one before it.
    """

    people: dict[str, tuple[KeptPerson, ...]] = field(default_factory=dict)
    begun: tuple[str, int] = ("", 0)  # the first supervisor, made here where nobody was known, and when
    pins: dict[str, tuple[SetHash, ...]] = field(default_factory=dict)
    hashed_anew: dict[str, tuple[str, str]] = field(default_factory=dict)  # person -> mark of the old hash, new hash
    lent: dict[str, Lent] = field(default_factory=dict)
    signed: dict[str, dict[str, Signed]] = field(default_factory=dict)  # person -> method
    records: dict[str, tuple[KeptRecord, ...]] = field(default_factory=dict)  # "item TR-1 A1", "tray TR-1", "kit"
    changes: int = 0  # of records, so that each is a version of its own
    drafted: dict[str, str] = field(default_factory=dict)
    policies: tuple[SignedPolicy, ...] = ()
    lesson: str = ""  # of the practice, begun last
    shown: dict[str, int] = field(default_factory=dict)  # person -> the newest version of the policy they were shown
