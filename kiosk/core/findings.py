"""What can be found, in the department's words: the record behind each button of the NO screen."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from kiosk.core.vocabulary import BenchLevel, Disposition, Group

KEPT_FROM_UNDO = frozenset(
    {"tissue", "red_mark", "colored_water", "slime", "swab_left", "part_broken_off", "splash", "sharps_injury"}
)
"""Findings that only a supervisor may withdraw, however soon."""


DOUBTS: Mapping[str, str] = {
    "unsure": "unsure", "picture_unclear": "unsure", "discolored": "discolored", "deep_scratch": "discolored",
}  # fmt: skip
"""Findings that one person alone does not decide, and the word by which policy asks for the second one."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingKind:
    """One row of resources/findings.yaml. `say` is what was seen, never what it is."""

    code: str
    group: Group
    say: str
    looks: str
    cause: str
    back: Disposition
    bench: BenchLevel
    photo: bool
    to_decontam: str
    full_if: bool = False  # the bench level rises to full when found by air or water, or when anything left the item


@dataclass(frozen=True, slots=True)
class Findings:
    """All kinds of findings by code."""

    kinds: Mapping[str, FindingKind]

    def __getitem__(self, code: str) -> FindingKind:
        return self.kinds[code]

    @classmethod
    def from_rows(cls, rows: Iterable[Mapping[str, Any]]) -> "Findings":
        """Build from the rows of resources/findings.yaml. Raises ValueError or KeyError on a row it cannot use."""
        kinds = {}
        for row in rows:
            kinds[row["code"]] = FindingKind(
                code=row["code"],
                group=Group(row["group"]),
                say=row["say"],
                looks=row["looks"],
                cause=row["cause"],
                back=Disposition(row["back"]),
                bench=BenchLevel(row["bench"]),
                photo=bool(row["photo"]),
                to_decontam=row["to_decontam"],
                full_if=bool(row.get("full_if", False)),
            )
        return cls(kinds)
