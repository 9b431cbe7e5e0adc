"""What happens to the bench itself: people, start-up, cleaning, scopes, power, first aid."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedIn:
    """A person signed in at this bench with badge and PIN."""

    person: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SignInRefused:
    """A PIN did not match. `tries` counts refusals in a row for this person."""

    person: str
    tries: int


@dataclass(frozen=True, slots=True, kw_only=True)
class SignedOut:
    """The person signed out, or was signed out by quiet (`idle`). The work stays."""

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StartupAnswered:
    """One question of the bench start-up. NO takes the kit it asks about out of today's plans."""

    question: str
    yes: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeStartOk:
    """The scope's start check was answered YES."""

    scope: str


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchStepDone:
    """One step of a full bench cleaning was confirmed."""

    step: int


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelTimeSet:
    """The wet time in minutes, read from the disinfectant's label by the person."""

    minutes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BenchCleaned:
    """The bench cleaning was confirmed done. `wet_minutes` is the label time that has run, for a full one."""

    level: str
    wet_minutes: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class GlovesChanged:
    """Gloves off, hands cleaned, new gloves."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeCleaned:
    """A cleaning of the scope was confirmed."""

    scope: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeOutOfUse:
    """The scope is out of use until reprocessed by its IFU. `paper`: it crosses with this ticket or tag."""

    scope: str
    why: str
    paper: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerLost:
    """The bench stopped without a sign-out; `at_ms` is when it was last alive (Unix milliseconds)."""

    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PowerRestored:
    """The bench is up again."""


@dataclass(frozen=True, slots=True, kw_only=True)
class WrongScan:
    """A code of another kind than asked for. Nothing was opened."""

    kind: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAidBegun:
    """Somebody touched "Hurt or splashed". The clock on that page runs from here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExposureNoted:
    """The first-aid page was left: an exposure to be written up. A number, never a name."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StartupAgain:
    """The bench start is asked again from its first question."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstAidLeft:
    """The first-aid page was opened by mistake."""


BenchEvent = (
    SignedIn | SignInRefused | SignedOut | StartupAnswered | ScopeStartOk | BenchStepDone | LabelTimeSet |
    BenchCleaned | GlovesChanged | ScopeCleaned | ScopeOutOfUse | PowerLost | PowerRestored | WrongScan |
    FirstAidBegun | ExposureNoted | StartupAgain | FirstAidLeft
)  # fmt: skip

SHIPPED: dict[str, Shipped] = {
    "signed_in": Shipped(1, SignedIn, "info"),
    "sign_in_refused": Shipped(1, SignInRefused, "info"),
    "signed_out": Shipped(1, SignedOut, "info"),
    "startup_answered": Shipped(1, StartupAnswered, "info"),
    "scope_start_ok": Shipped(1, ScopeStartOk, "clear"),
    "bench_step_done": Shipped(1, BenchStepDone, "info"),
    "label_time_set": Shipped(1, LabelTimeSet, "info"),
    "bench_cleaned": Shipped(1, BenchCleaned, "clear"),
    "gloves_changed": Shipped(1, GlovesChanged, "clear"),
    "scope_cleaned": Shipped(1, ScopeCleaned, "clear"),
    "scope_out_of_use": Shipped(1, ScopeOutOfUse, "hold"),
    "power_lost": Shipped(1, PowerLost, "hold"),
    "power_restored": Shipped(1, PowerRestored, "clear"),
    "wrong_scan": Shipped(1, WrongScan, "info"),
    "first_aid_begun": Shipped(1, FirstAidBegun, "info"),
    "exposure_noted": Shipped(1, ExposureNoted, "info"),
    "first_aid_left": Shipped(1, FirstAidLeft, "info"),
    "startup_again": Shipped(1, StartupAgain, "info"),
}
