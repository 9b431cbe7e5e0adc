"""PINs: what is kept of them, and when one matches."""

import hashlib

import pytest

from kiosk.core import pins
from kiosk.core.pins import HASH_FORM, hash_pin, pin_matches

pytestmark = pytest.mark.usefixtures("real_pins")

SALT = bytes(range(16))


def test_a_pin_matches_its_own_hash_and_no_other() -> None:
    kept = hash_pin("204816", SALT)
    assert HASH_FORM.fullmatch(kept)
    assert pin_matches("204816", kept)
    assert not pin_matches("204817", kept)


def test_the_same_pin_of_two_people_is_kept_differently() -> None:
    assert hash_pin("2048", SALT) != hash_pin("2048", SALT[::-1])


@pytest.mark.parametrize("pin", ["", "123", "123456789", "12 34", "12a4", "１２３４", "1234\n"])
def test_only_four_to_eight_digits_are_a_pin(pin: str) -> None:
    with pytest.raises(ValueError, match="4 to 8 digits"):
        hash_pin(pin, SALT)
    assert not pin_matches(pin, hash_pin("1234", SALT))


def test_a_salt_is_long_enough() -> None:
    with pytest.raises(ValueError, match="16 to 64 bytes"):
        hash_pin("1234", b"short")


@pytest.mark.parametrize("kept", ["", "scrypt$$", "scrypt$zz$zz", f"md5${'00' * 16}${'00' * 32}"])
def test_nothing_matches_what_is_not_a_hash(kept: str) -> None:
    assert not pin_matches("1234", kept)


def test_the_costs_are_those_of_a_published_vector() -> None:
    """RFC 7914 section 12, third vector: N=16384, r=8, p=1 (first 32 bytes; from memory)."""
    made = hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=pins._N, r=pins._R, p=pins._P, dklen=32)
    assert made.hex() == "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
