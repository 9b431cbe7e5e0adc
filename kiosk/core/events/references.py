"""The department's own reference pictures: offered, and agreed to by people who sign with their badge."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceOffered:
    """A kept picture was offered as what a finding looks like on an item type. It counts when two have agreed."""

    number: str
    type: str
    finding: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceAgreed:
    """The person of the stamp agreed to a reference picture. The second one makes it count, over the one before."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReferenceTakenBack:
    """The person of the stamp took a reference picture back. With the second one it is shown no more; it stays kept."""

    number: str


ReferencesEvent = ReferenceOffered | ReferenceAgreed | ReferenceTakenBack

SHIPPED: dict[str, Shipped] = {
    "reference_offered": Shipped(1, ReferenceOffered, "info"),
    "reference_agreed": Shipped(1, ReferenceAgreed, "info"),
    "reference_taken_back": Shipped(1, ReferenceTakenBack, "info"),
}
