"""PINs: what is kept of them, when one matches, and what the hash is worth against published vectors."""

import base64
import hashlib

import argon2
import pytest
from argon2.low_level import ARGON2_VERSION, Type, core, error_to_str, ffi, hash_secret_raw

from kiosk import pins
from kiosk.core.pins import mark_of
from kiosk.pins import ARGON2_FORM, MEMORY_MOST, PINS, SCRYPT_FORM, Argon2id, hash_pin, is_pin_hash

pytestmark = pytest.mark.usefixtures("real_pins")

SALT = bytes(range(16))


def of_before(pin: str, salt: bytes = SALT) -> str:
    """A hash as it was kept before, made by Python's own scrypt."""
    made = hashlib.scrypt(pin.encode(), salt=salt, n=2**14, r=8, p=1, dklen=32)
    return f"scrypt${salt.hex()}${made.hex()}"


def test_a_pin_matches_its_own_hash_and_no_other() -> None:
    kept = hash_pin("204816", SALT)
    assert ARGON2_FORM.fullmatch(kept)
    assert PINS.matches("204816", kept)
    assert not PINS.matches("204817", kept)


def test_the_same_pin_of_two_people_is_kept_differently() -> None:
    assert hash_pin("2048", SALT) != hash_pin("2048", SALT[::-1])


@pytest.mark.parametrize("pin", ["", "123", "123456789", "12 34", "12a4", "１２３４", "1234\n"])
def test_only_four_to_eight_digits_are_a_pin(pin: str) -> None:
    with pytest.raises(ValueError, match="4 to 8 digits"):
        hash_pin(pin, SALT)
    assert not PINS.matches(pin, hash_pin("1234", SALT))


def test_a_salt_is_long_enough() -> None:
    with pytest.raises(ValueError, match="16 to 64 bytes"):
        hash_pin("1234", b"short")


@pytest.mark.parametrize(
    "kept",
    ["", "scrypt$$", "scrypt$zz$zz", f"md5${'00' * 16}${'00' * 32}", "$argon2id$v=19$m=65536,t=3,p=4$$", "$argon2i$"],
)
def test_nothing_matches_what_is_not_a_hash(kept: str) -> None:
    assert not PINS.matches("1234", kept)


def test_a_hash_that_asks_for_the_whole_memory_is_not_tried() -> None:
    greedy = hash_pin("1234", SALT).replace(f"m={PINS.memory}", f"m={MEMORY_MOST + 1}")
    assert ARGON2_FORM.fullmatch(greedy)
    assert not is_pin_hash(greedy)
    assert not PINS.matches("1234", greedy)


def test_the_cost_is_the_second_option_that_the_rfc_recommends() -> None:
    """RFC 9106 section 4: Argon2id, t=3 passes, p=4 lanes, m=2^16 KiB (64 MiB), 128-bit salt, 256-bit tag."""
    form = ARGON2_FORM.fullmatch(hash_pin("204816", SALT))
    assert form is not None
    assert (form[1], form[2], form[3]) == (str(2**16), "3", "4")
    assert len(form[5]) * 6 // 8 == 256 // 8


def test_the_library_makes_the_tag_of_the_rfc() -> None:
    """RFC 9106 section 5.3: password 32 x 01, salt 16 x 02, secret 8 x 03, associated data 12 x 04, m=32, t=3, p=4."""
    out, pwd, salt, key, data = (
        ffi.new("uint8_t[]", 32),
        *(ffi.new("uint8_t[]", bytes([byte]) * length) for byte, length in ((1, 32), (2, 16), (3, 8), (4, 12))),
    )
    context = ffi.new(
        "argon2_context *",
        {
            "version": ARGON2_VERSION, "out": out, "outlen": 32, "pwd": pwd, "pwdlen": 32, "salt": salt, "saltlen": 16,
            "secret": key, "secretlen": 8, "ad": data, "adlen": 12, "t_cost": 3, "m_cost": 32, "lanes": 4,
            "threads": 1, "allocate_cbk": ffi.NULL, "free_cbk": ffi.NULL, "flags": 0,
        },
    )  # fmt: skip
    came = core(context, Type.ID.value)
    assert came == 0, error_to_str(came)
    assert bytes(ffi.buffer(out, 32)).hex() == "0d640df58d78766c08c037a34a8b53c9d01ef0452d75b65eb52520e96b01e659"


def test_what_is_kept_is_what_the_reference_library_verifies_and_makes() -> None:
    """argon2-cffi's own PasswordHasher, and the raw tag of the same inputs (the reference C code below both)."""
    kept = hash_pin("204816", SALT)
    assert argon2.PasswordHasher().verify(kept, "204816")
    with pytest.raises(argon2.exceptions.VerifyMismatchError):
        argon2.PasswordHasher().verify(kept, "204817")
    assert argon2.extract_parameters(kept).memory_cost == PINS.memory
    raw = hash_secret_raw(b"204816", SALT, 3, 2**16, 4, 32, Type.ID)
    assert base64.b64encode(raw).decode().rstrip("=") == kept.rpartition("$")[2]


def test_a_hash_of_before_still_matches_and_is_known_as_old() -> None:
    kept = of_before("4829")
    assert SCRYPT_FORM.fullmatch(kept)
    assert is_pin_hash(kept)
    assert PINS.matches("4829", kept)
    assert not PINS.matches("4828", kept)
    assert PINS.old(kept)


def test_a_hash_at_a_lower_cost_is_old_and_one_at_a_higher_cost_is_not() -> None:
    lower, higher = Argon2id(memory=8, passes=3, lanes=1), Argon2id(memory=2**17, passes=3, lanes=4)
    kept = hash_pin("1234", SALT)
    assert PINS.old(lower.hash("1234", SALT))
    assert not PINS.old(kept)
    assert higher.old(kept)
    assert PINS.matches("1234", lower.hash("1234", SALT))


def test_a_mark_knows_a_hash_again_and_tells_nothing_of_it() -> None:
    one, other = of_before("1234"), of_before("1234", SALT[::-1])
    assert mark_of(one) == mark_of(one) != mark_of(other)
    assert mark_of(one) not in one


def test_the_costs_of_before_are_those_of_a_published_vector() -> None:
    """RFC 7914 section 12, third vector: N=16384, r=8, p=1 (first 32 bytes; from memory)."""
    made = hashlib.scrypt(b"pleaseletmein", salt=b"SodiumChloride", n=pins._N, r=pins._R, p=pins._P, dklen=32)
    assert made.hex() == "7023bdcb3afd7348461c06cd81fd38ebfda8fbba904f8e3ea9b543f6545da1f2"
