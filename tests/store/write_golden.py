"""`python -m tests.store.write_golden` writes the golden files that are missing; one that is there is never touched."""

from pathlib import Path

from kiosk.store.codec import encode
from tests.store.examples import EXAMPLES

GOLDEN = Path(__file__).with_name("golden")


def write_missing(folder: Path = GOLDEN) -> list[Path]:
    """Write a body a line for every example without a file; returns the new files."""
    new = []
    for event in EXAMPLES:
        name, version, body = encode(event)
        path = folder / f"{name}.{version}.json"
        if not path.exists():
            path.write_bytes(body + b"\n")
            new.append(path)
    return new


if __name__ == "__main__":
    write_missing()
