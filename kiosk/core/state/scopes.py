"""What the bench knows of a borescope, and the paper it crosses to decontam with."""

from dataclasses import dataclass

SCOPE_TICKET = "scope_ticket"
"""The paper a soiled scope crosses to decontam with; its number is the scope's own."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ScopeState:
    """What is known of a scope: was it used since its last confirmed cleaning, and on what; is it out of use?"""

    used_on: tuple[str, str] | None = None  # trip, piece
    out_of_use: str = ""
    sent_ms: int = 0  # when it went to decontam with its ticket
