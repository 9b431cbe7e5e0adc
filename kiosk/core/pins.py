"""PINs: kept as a salted scrypt hash, compared in constant time. The PIN itself is nowhere.

A short PIN is a second thing beside the badge, not a secret that holds on a stolen disk: all ten thousand four-digit
PINs of one hash can be tried in minutes, whatever the cost.
"""

import re

PIN_FORM = re.compile(r"[0-9]{4,8}")
"""What a PIN looks like, whole."""

HASH_FORM = re.compile(r"scrypt\$((?:[0-9a-f]{2}){16,64})\$([0-9a-f]{64})")
"""What a kept hash looks like, whole: salt and hash in hexadecimal."""

_N, _R, _P, _BYTES = 2**14, 8, 1, 32
"""scrypt's cost (RFC 7914 section 2): 16 MiB and about 50 ms a try on a small desktop."""


def hash_pin(pin: str, salt: bytes) -> str:
    """Hash a PIN of 4 to 8 digits as `scrypt$salt$hash`; the salt is 16 to 64 random bytes. Raises ValueError."""
    if not PIN_FORM.fullmatch(pin):
        raise ValueError("a PIN is 4 to 8 digits")
    if not 16 <= len(salt) <= 64:
        raise ValueError("a salt is 16 to 64 bytes")
    return f"scrypt${salt.hex()}${_scrypt(pin, salt).hex()}"


def pin_matches(pin: str, pin_hash: str) -> bool:
    """Tell whether this PIN made this hash. False for anything that is not a PIN or not a hash of ours."""
    form = HASH_FORM.fullmatch(pin_hash)
    if form is None or not PIN_FORM.fullmatch(pin):
        return False
    import hmac

    return hmac.compare_digest(_scrypt(pin, bytes.fromhex(form[1])), bytes.fromhex(form[2]))


def _scrypt(pin: str, salt: bytes) -> bytes:
    import hashlib

    return hashlib.scrypt(pin.encode("ascii"), salt=salt, n=_N, r=_R, p=_P, dklen=_BYTES)
