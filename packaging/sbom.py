"""Writes the bill of materials of a lock file: every package with version and hashes, and no address at all.

python packaging/sbom.py LOCK OUT
"""

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parents[1]
_WRITES = ("-W", "ignore", "-m", "cyclonedx_py", "requirements", "--spec-version", "1.6", "--output-reproducible")


def bill_of(lock: Path) -> dict[str, Any]:
    """The bill as CycloneDX has it, its references by address taken out; the hashes in them stay."""
    command = [sys.executable, *_WRITES, "--pyproject", str(ROOT / "pyproject.toml"), str(lock)]
    written = subprocess.run(command, check=True, capture_output=True, text=True)
    bill: dict[str, Any] = json.loads(written.stdout)
    bill.pop("$schema", None)
    for component in bill["components"]:
        component.pop("description", None)
        component["hashes"] = [one for there in component["externalReferences"] for one in there.get("hashes", ())]
    bill["metadata"]["component"]["version"] = _version()
    without: dict[str, Any] = _without_addresses(bill)
    return without


def _without_addresses(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _without_addresses(one) for key, one in value.items() if key != "externalReferences"}
    return [_without_addresses(one) for one in value] if isinstance(value, list) else value


def _version() -> str:
    line = next(line for line in (ROOT / "kiosk" / "__init__.py").read_text().splitlines() if "__version__" in line)
    return line.split('"')[1]


def main() -> None:
    """Write the file."""
    lock, out = map(Path, sys.argv[1:])
    out.parent.mkdir(parents=True, exist_ok=True)
    out.write_text(json.dumps(bill_of(lock), indent=2, sort_keys=True) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
