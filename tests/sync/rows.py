"""Rows of a log as a bench would have stored them, made without a disk: linked by kiosk.store.chain itself."""

import random
from typing import Any

from kiosk.core.events import CheckYes
from kiosk.store.chain import FIRST, link
from kiosk.store.codec import encode
from kiosk.store.identity import new_id, tick

MORNING_MS = 1_764_054_000_000  # 2025-11-25 07:00 UTC

Row = tuple[Any, ...]


def rows(
    origin: str, n: int, *, bench: str = "B1", after: int = 0, before: bytes = FIRST, took_ms: int = 900
) -> list[Row]:
    """Rows `after` + 1 .. `after` + n, the first linked to `before`. `took_ms` makes one branch unlike another."""
    out: list[Row] = []
    hlc = 0
    for seq in range(after + 1, after + n + 1):
        at_ms = MORNING_MS + 1000 * seq
        hlc = tick(hlc, at_ms)
        typ, ver, body = encode(CheckYes(piece=f"A3#{seq}", key="bore.swab", took_ms=took_ms))
        who = f"P-{seq:03}é" if seq % 3 else None
        values = (
            seq, hlc, ver, at_ms, -300, seq % 2, 3, 7,
            new_id(hlc), "info", typ, bench, who, "T-1" if seq % 5 else None, body,
        )  # fmt: skip
        before = link(before, origin, values)
        out.append((*values, before))
    return out


def relinked(origin: str, row: Row, before: bytes, **changed: Any) -> Row:
    """The row with columns changed and its hash made to fit again: sound, and another one."""
    from kiosk.store.chain import COLUMNS

    values = {**dict(zip(COLUMNS, row, strict=True)), **changed}
    body = tuple(values[name] for name in COLUMNS[:-1])
    return (*body, link(before, origin, body))


def damaged(row: Row, column: int, chance: random.Random) -> Row:
    """The row with one bit of one column turned, its hash left as it was."""
    value = row[column]
    if isinstance(value, int):
        new: Any = value ^ 1 << (chance.randrange(8))
    elif value is None:
        new = "P-1"
    else:
        raw = bytearray(value if isinstance(value, bytes) else value.encode("latin-1", "replace"))
        raw[chance.randrange(len(raw))] ^= 1 << chance.randrange(4)
        new = bytes(raw) if isinstance(value, bytes) else raw.decode("latin-1")
    return (*row[:column], new, *row[column + 1 :])
