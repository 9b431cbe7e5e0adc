"""Numbers that name an event and set it in time: the hybrid logical clock, and the UUIDv7 made from it.

The clock is 64 bits, `l << 16 | c`: Unix milliseconds and a counter (Kulkarni and others, "Logical Physical Clocks",
2014). The id holds the same 64 bits in order, then 58 bits of chance, so ids rise with the clock
(RFC 9562 sections 5.7 and 6.2, a counter of fixed length).
"""

import secrets
import uuid


def tick(last: int, at_ms: int, seen: int = -1) -> int:
    """The next reading: after `last`, after `seen` (a reading that came from elsewhere), and not before `at_ms`."""
    return max(last + 1, seen + 1, at_ms << 16)


def uuid7(at_ms: int, rand_a: int, rand_b: int) -> uuid.UUID:
    """Pack 48 bits of Unix milliseconds, 12 and 62 bits after them (RFC 9562 section 5.7). Raises ValueError."""
    if not (0 <= at_ms < 1 << 48 and 0 <= rand_a < 1 << 12 and 0 <= rand_b < 1 << 62):
        raise ValueError("a field does not fit its bits")
    return uuid.UUID(int=at_ms << 80 | 7 << 76 | rand_a << 64 | 2 << 62 | rand_b)


def new_id(hlc: int) -> str:
    """A UUIDv7 for the event at this reading of the clock."""
    at_ms, counter = hlc >> 16, hlc & 0xFFFF
    return str(uuid7(at_ms, counter >> 4, (counter & 0xF) << 58 | secrets.randbits(58)))


def is_uuid7(text: str) -> bool:
    """Is the text a UUID of version 7 and the RFC's variant?"""
    try:
        parsed = uuid.UUID(text)
    except ValueError:
        return False
    return parsed.version == 7  # None for another variant
