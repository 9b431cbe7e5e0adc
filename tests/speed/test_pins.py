"""What one PIN costs at the glass, against plain SHA-256 over the memory that it passes over.

Told as a ratio in one run; a time is never passed or failed.
"""

import hashlib

import pytest

from kiosk.pins import PINS, Argon2id
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn

ROUNDS = 9
SALT = bytes(range(16))


@pytest.mark.slow
@pytest.mark.usefixtures("real_pins")
def test_one_pin_tried_against_sha_256_of_the_bytes_it_passes_over(tell: Tell) -> None:
    """Both in turn; and OWASP's least (19 MiB, two passes, one lane) beside it."""
    bytes_passed = bytes(PINS.memory * 1024)
    kept = PINS.hash("204816", SALT)
    least = Argon2id(memory=19 * 1024, passes=2, lanes=1)
    least_kept = least.hash("204816", SALT)

    def plain() -> None:
        for _ in range(PINS.passes):
            hashlib.sha256(bytes_passed).digest()

    against = f"SHA-256 of {PINS.passes} x {PINS.memory // 1024} MiB"
    ours, base = in_turn(lambda: PINS.matches("204816", kept), plain, ROUNDS)
    tell(Figure(what="one PIN tried", against=against, ours=ours, base=base))
    ours, base = in_turn(lambda: least.matches("204816", least_kept), plain, ROUNDS)
    tell(Figure(what="one PIN tried, at OWASP's least", against=against, ours=ours, base=base))
    assert PINS.matches("204816", kept)
    assert not PINS.matches("204817", kept)
