"""What is asked for of the department's own reference pictures."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferReference:
    """Offer a kept picture as what `finding` (its code) looks like on an item type (its code)."""

    type: str
    finding: str
    file: str
    sha256: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AgreeReference:
    """The person signed in agrees to a reference picture that waits."""

    number: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TakeReferenceBack:
    """The person signed in takes back a reference picture that was wrongly offered or agreed to."""

    number: str


ReferencesCommand = OfferReference | AgreeReference | TakeReferenceBack
