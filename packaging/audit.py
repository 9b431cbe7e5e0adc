"""Judges what pip-audit wrote: nothing known, something known, or not asked, which is neither.

python packaging/audit.py LOCK REPORT DATABASE
"""

import json
import re
import sys
from pathlib import Path

CLEAR, KNOWN, NOT_ASKED = 0, 1, 3


def locked(lock: Path) -> dict[str, str]:
    """Every package of a lock file with its version, by its normal name."""
    pins = re.findall(r"^([\w.-]+)==([^\s;\\]+)", lock.read_text(encoding="utf-8"), re.MULTILINE)
    return {_normal(name): version for name, version in pins}


def judge(pins: dict[str, str], report: Path) -> tuple[int, list[str]]:
    """The exit status, and what to say."""
    try:
        told = json.loads(report.read_text(encoding="utf-8"))["dependencies"]
    except (OSError, ValueError, KeyError):
        return NOT_ASKED, ["the database could not be reached"]
    asked = {_normal(one["name"]): one for one in told if "vulns" in one and one.get("version")}
    known = [
        f"{name} {one['version']}: {fault['id']}, mended in {', '.join(fault['fix_versions']) or 'no version'}"
        for name, one in sorted(asked.items())
        for fault in one["vulns"]
    ]
    silent = sorted(name for name, version in pins.items() if asked.get(name, {}).get("version") != version)
    if silent:
        known.append(f"no answer for {len(silent)} of {len(pins)} packages: {', '.join(silent)}")
    return (KNOWN if len(known) > bool(silent) else NOT_ASKED if silent else CLEAR), known


def _normal(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


def main() -> int:
    """Say it."""
    lock, report, database = sys.argv[1:]
    pins = locked(Path(lock))
    status, lines = judge(pins, Path(report))
    words = {
        CLEAR: f"nothing is known against the {len(pins)} locked packages",
        KNOWN: "faults are known",
        NOT_ASKED: "NOT AUDITED",
    }
    print("\n".join([f"{database}: {words[status]}", *lines]))
    return status


if __name__ == "__main__":
    sys.exit(main())
