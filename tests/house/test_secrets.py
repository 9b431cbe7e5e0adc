"""No secret is shipped: no PIN, no hash and no key, but for the demo's, which is nobody's and says so."""

import re
from pathlib import Path

from kiosk.core.catalogue import Catalogue
from kiosk.pins import ARGON2_FORM, SCRYPT_FORM
from kiosk.store.bench_store import BenchStore

ROOT = Path(__file__).resolve().parents[2]
SHIPPED = [
    path
    for folder in ("resources", "db", "kiosk", "packaging")
    for path in sorted((ROOT / folder).rglob("*"))
    if path.is_file() and path.suffix in {".yaml", ".csv", ".sql", ".py", ".md", ".sh", ".txt", ""}
]
HASH = re.compile(r"scrypt\$[0-9a-f]{32}|\$argon2id?\$v=\d+\$m=\d+,t=\d+,p=\d+\$[A-Za-z0-9+/]")
KEY = re.compile(r"-----BEGIN [A-Z ]*PRIVATE KEY-----")
PIN_NAMED = re.compile(r"""^\s*(\w*PIN)\s*=\s*["'](\d{4,8})["']""", re.MULTILINE)

KNOWN_PINS = {
    "kiosk/app/departments.py": "the practice: a store of its own, marked on every screen, heard by nobody",
    "kiosk/rehearsal/world.py": "invented people of a played shift",
    "kiosk/rehearsal/month.py": "invented people while the demo's history is told",
}


def _name(path: Path) -> str:
    return str(path.relative_to(ROOT))


def test_no_hash_of_a_pin_and_no_key_is_shipped_outside_the_demo() -> None:
    found = {_name(path) for path in SHIPPED if HASH.search(text := path.read_text("utf-8")) or KEY.search(text)}
    assert found == {"resources/demo/people.csv"}


def test_what_looks_for_a_hash_finds_one() -> None:
    for kept in (f"scrypt${'0a' * 16}${'1b' * 32}", f"$argon2id$v=19$m=65536,t=3,p=4${'A' * 22}${'B' * 43}"):
        assert HASH.search(f"x,{kept}\n")
        assert SCRYPT_FORM.fullmatch(kept) or ARGON2_FORM.fullmatch(kept)


def test_a_pin_stands_in_the_code_only_where_nobody_real_signs_in() -> None:
    found = {_name(path) for path in SHIPPED if path.suffix == ".py" and PIN_NAMED.search(path.read_text("utf-8"))}
    assert found == set(KNOWN_PINS)


def test_a_new_store_knows_nobody(tmp_path: Path) -> None:
    store = BenchStore(tmp_path, "B1")
    assert store.catalogue_or_empty() == Catalogue()
    assert store.bench().staff.people == {}
    store.close()
