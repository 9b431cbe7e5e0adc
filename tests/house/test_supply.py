"""The bill of materials lists what is locked and names no address; the audit never takes silence for a good answer."""

import json
import re
import runpy
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from cyclonedx.schema import SchemaVersion
from cyclonedx.validation.json import JsonStrictValidator

ROOT = Path(__file__).resolve().parents[2]
LOCK = ROOT / "packaging" / "requirements.lock"
PINS = dict(re.findall(r"^([\w.-]+)==(\S+) \\$", LOCK.read_text(encoding="utf-8"), re.MULTILINE))


def _script(name: str) -> dict[str, Any]:
    return runpy.run_path(str(ROOT / "packaging" / f"{name}.py"))


@pytest.fixture(scope="module")
def bill() -> dict[str, Any]:
    """The bill of the lock file that ships."""
    made: dict[str, Any] = _script("sbom")["bill_of"](LOCK)
    return made


def test_the_bill_lists_exactly_the_locked_packages_with_every_hash(bill: dict[str, Any]) -> None:
    assert len(PINS) > 10
    assert {one["name"]: one["version"] for one in bill["components"]} == PINS
    hashes = re.findall(r"--hash=sha256:([0-9a-f]{64})", LOCK.read_text(encoding="utf-8"))
    assert sorted(h["content"] for one in bill["components"] for h in one["hashes"]) == sorted(hashes)


def test_the_bill_names_the_program_and_no_address(bill: dict[str, Any]) -> None:
    assert bill["metadata"]["component"]["name"] == "throughlight"
    assert re.fullmatch(r"\d+\.\d+\.\d+\S*", bill["metadata"]["component"]["version"])
    assert "://" not in json.dumps(bill)


def test_the_bill_holds_to_the_schema_of_its_format(bill: dict[str, Any]) -> None:
    """Against the schema of CycloneDX 1.6, by its reference library."""
    validator = JsonStrictValidator(SchemaVersion.V1_6)
    assert validator.validate_str(json.dumps(bill)) is None
    assert validator.validate_str(json.dumps({**bill, "components": [{"name": "nameless"}]})) is not None


Judge = Callable[..., tuple[int, list[str]]]

# As pip-audit writes its reports (its README, "JSON"): answered with `vulns`, or passed over with `skip_reason`.
CLEAR = {"name": "Some_Thing", "version": "1.0", "vulns": []}
PASSED_OVER = {"name": "some-thing", "skip_reason": "Dependency not found and could not be audited"}
KNOWN = {**CLEAR, "vulns": [{"id": "PYSEC-0", "fix_versions": ["1.1"], "aliases": [], "description": ""}]}


@pytest.mark.parametrize(
    ("told", "status", "said"),
    [
        ([CLEAR], 0, ""),
        ([KNOWN], 1, "some-thing 1.0: PYSEC-0, mended in 1.1"),
        ([PASSED_OVER], 3, "no answer for 1 of 1 packages: some-thing"),
        ([], 3, "no answer for 1 of 1 packages: some-thing"),
        ([{**CLEAR, "version": "0.9"}], 3, "no answer for 1 of 1 packages: some-thing"),
        (None, 3, "the database could not be reached"),
    ],
)
def test_an_audit_that_was_not_answered_is_not_a_good_one(
    tmp_path: Path, told: list[object] | None, status: int, said: str
) -> None:
    judge: Judge = _script("audit")["judge"]
    report = tmp_path / "audit.json"
    if told is not None:
        report.write_text(json.dumps({"dependencies": told, "fixes": []}))
    got, lines = judge({"some-thing": "1.0"}, report)
    assert (got, "\n".join(lines)) == (status, said)


def test_what_is_known_of_one_is_told_though_another_was_not_answered(tmp_path: Path) -> None:
    report = tmp_path / "audit.json"
    report.write_text(json.dumps({"dependencies": [KNOWN], "fixes": []}))
    status, lines = _script("audit")["judge"]({"some-thing": "1.0", "other": "2"}, report)
    assert (status, len(lines)) == (1, 2)


def test_the_audit_reads_every_pin_of_the_lock() -> None:
    assert len(_script("audit")["locked"](LOCK)) == len(PINS)
