"""What one PIN costs at the glass, against plain SHA-256 over the memory that it passes over.

Told as a ratio in one run; a time is never passed or failed.
"""

import hashlib
import statistics
import sys
import time
from collections.abc import Callable

import pytest

from kiosk.pins import PINS, Argon2id

ROUNDS = 7
SALT = bytes(range(16))


def _median_ms(step: Callable[[], object]) -> float:
    took = []
    for _ in range(ROUNDS):
        start = time.perf_counter()
        step()
        took.append(1000 * (time.perf_counter() - start))
    return statistics.median(took)


@pytest.mark.slow
@pytest.mark.usefixtures("real_pins")
def test_one_pin_tried_against_sha_256_of_the_bytes_it_passes_over(capsys: pytest.CaptureFixture[str]) -> None:
    """Both in turn, three times; and OWASP's least (19 MiB, two passes, one lane) beside it."""
    bytes_passed = bytes(PINS.memory * 1024)
    kept = PINS.hash("204816", SALT)
    least = Argon2id(memory=19 * 1024, passes=2, lanes=1)
    least_kept = least.hash("204816", SALT)
    lines = []
    for _ in range(3):
        plain = PINS.passes * _median_ms(lambda: hashlib.sha256(bytes_passed).digest())
        tried = _median_ms(lambda: PINS.matches("204816", kept))
        cheaper = _median_ms(lambda: least.matches("204816", least_kept))
        lines.append(
            f"SHA-256 of {PINS.passes} x {PINS.memory // 1024} MiB {plain:.0f} ms, one PIN {tried:.0f} ms, "
            f"ratio {tried / plain:.2f}; at the least of OWASP {cheaper:.0f} ms"
        )
    assert PINS.matches("204816", kept)
    assert not PINS.matches("204817", kept)
    with capsys.disabled():
        sys.stdout.write("\n" + "\n".join(lines))
