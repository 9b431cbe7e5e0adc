"""PINs as the rules see them: what one looks like, and who keeps them. The PIN itself is nowhere.

How a PIN is hashed stands in `kiosk.pins`, outside this room: it needs a library.
"""

import re
from typing import Protocol

PIN_FORM = re.compile(r"[0-9]{4,8}")
"""What a PIN looks like, whole."""

PIN_LEAST, PIN_MOST = 4, 8


class PinKeeper(Protocol):
    """Makes the hash that is kept of a PIN, and tells whether a PIN made it. `kiosk.pins.PINS` is one."""

    def hash(self, pin: str, salt: bytes) -> str:
        """The hash that is kept of a PIN of 4 to 8 digits; the salt is random. Raises ValueError."""

    def matches(self, pin: str, kept: str) -> bool:
        """Did this PIN make this hash? False for what is no PIN or no hash that it knows."""

    def old(self, kept: str) -> bool:
        """Was this hash made in an older or a cheaper way than today's?"""


def mark_of(pin_hash: str) -> str:
    """A short mark by which a hash is known again without being written down once more."""
    import hashlib

    return hashlib.sha256(pin_hash.encode()).hexdigest()[:16]
