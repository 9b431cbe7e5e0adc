"""PINs hashed with Argon2id (RFC 9106), compared in constant time; the scrypt hashes of before still match.

A short PIN is a second thing beside the badge, not a secret that holds on a stolen disk: all million PINs of six digits
can be tried in days, whatever the cost. What holds at the glass is the wait after wrong ones (`kiosk.core.tries`).
"""

import re
from dataclasses import dataclass

from kiosk.core.pins import PIN_FORM

ARGON2_FORM = re.compile(
    r"\$argon2id\$v=19\$m=([1-9]\d{0,6}),t=([1-9]\d?),p=([1-9]\d?)\$([A-Za-z0-9+/]{22,86})\$([A-Za-z0-9+/]{43})"
)
"""A kept hash, whole, as the reference program writes it: memory in KiB, passes, lanes, salt and hash (no padding)."""

SCRYPT_FORM = re.compile(r"scrypt\$((?:[0-9a-f]{2}){16,64})\$([0-9a-f]{64})")
"""A hash of before, whole: salt and hash in hexadecimal."""

MEMORY_MOST = 256 * 1024
"""KiB: a hash that asks for more is none of ours, and is not tried."""

_N, _R, _P, _BYTES = 2**14, 8, 1, 32
"""The cost of the hashes of before (RFC 7914 section 2)."""


@dataclass(slots=True)
class Argon2id:
    """Keeps PINs at this cost: memory in KiB, passes over it, lanes."""

    memory: int
    passes: int
    lanes: int

    def hash(self, pin: str, salt: bytes) -> str:
        """The hash of a PIN of 4 to 8 digits; the salt is 16 to 64 random bytes. Raises ValueError."""
        if not PIN_FORM.fullmatch(pin):
            raise ValueError("a PIN is 4 to 8 digits")
        if not 16 <= len(salt) <= 64:
            raise ValueError("a salt is 16 to 64 bytes")
        from argon2.low_level import Type, hash_secret

        return hash_secret(pin.encode("ascii"), salt, self.passes, self.memory, self.lanes, _BYTES, Type.ID).decode()

    def matches(self, pin: str, kept: str) -> bool:
        """Did this PIN make this hash, at the cost that stands in it?"""
        if not PIN_FORM.fullmatch(pin) or not is_pin_hash(kept):
            return False
        if kept.startswith("scrypt"):
            return _scrypt_matches(pin, kept)
        from argon2.exceptions import VerifyMismatchError
        from argon2.low_level import Type, verify_secret

        try:
            return verify_secret(kept.encode(), pin.encode("ascii"), Type.ID)
        except VerifyMismatchError:
            return False

    def old(self, kept: str) -> bool:
        """Was this hash made with scrypt, or at a lower cost than today's?"""
        form = ARGON2_FORM.fullmatch(kept)
        return form is None or int(form[1]) < self.memory or int(form[2]) < self.passes


PINS = Argon2id(memory=64 * 1024, passes=3, lanes=4)
"""RFC 9106 section 4, the second recommended option: 64 MiB, 3 passes, 4 lanes, for where memory is short.

A try took 0.13 s [0.12, 0.16] on two cores otherwise idle (`docs/speed.md`), and 0.89 s [0.66, 1.18] on the same two at
a load of 5 to 8. So a bench PC a quarter as fast needs about 0.5 s of the three that a sign-in may take, while nothing
else runs on it. The RFC's first option asks for 2 GiB, which a bench PC may not have.
"""


def hash_pin(pin: str, salt: bytes) -> str:
    """Hash a PIN at today's cost. Raises ValueError."""
    return PINS.hash(pin, salt)


def is_pin_hash(kept: str) -> bool:
    """Is this a hash as this tool writes it, or wrote it before?"""
    form = ARGON2_FORM.fullmatch(kept)
    return int(form[1]) <= MEMORY_MOST if form else SCRYPT_FORM.fullmatch(kept) is not None


def _scrypt_matches(pin: str, kept: str) -> bool:
    import hashlib
    import hmac

    form = SCRYPT_FORM.fullmatch(kept)
    assert form is not None
    made = hashlib.scrypt(pin.encode("ascii"), salt=bytes.fromhex(form[1]), n=_N, r=_R, p=_P, dklen=_BYTES)
    return hmac.compare_digest(made, bytes.fromhex(form[2]))
