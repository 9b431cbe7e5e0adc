"""What came of a played scenario, held against its `then`: everything that is written there, nothing weaker."""

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from kiosk.core.dispositions import dispositions
from kiosk.core.events import NAME_OF
from kiosk.core.plan import PiecePlan
from kiosk.core.stamp import Kept
from kiosk.core.state.trip import Trip
from kiosk.lumen.records import plan_as_json


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """A paper that came out: its kind, its file, its text with white space folded."""

    doc: str
    file: Path
    text: str
    copy: bool = False


@dataclass(slots=True)
class Verdict:
    """How many things were compared, and each that was not as written."""

    checked: int = 0
    missed: list[dict[str, Any]] = field(default_factory=list)

    def expect(self, where: str, wanted: object, got: object, *, holds: bool | None = None) -> None:
        """Compare one thing."""
        self.checked += 1
        if not (wanted == got if holds is None else holds):
            self.missed.append({"where": where, "wanted": wanted, "got": got})


@dataclass(frozen=True, slots=True, kw_only=True)
class Outcome:
    """What a played scenario left behind."""

    log: Sequence[Kept]
    plans: Mapping[str, PiecePlan]  # as they stood last
    first_plans: Mapping[str, PiecePlan]  # as they were shown first
    trips: Mapping[str, Trip]
    tickets: Mapping[str, str]  # what became of a ticket, by the file's name for it
    papers: Sequence[Printed]
    counters: Mapping[str, int]
    shown: Sequence[str]  # every text that stood on a screen, in order
    glass: Mapping[str, object]  # how the last page that asked stood on the glass, as measured


def compare(then: Mapping[str, Any], outcome: Outcome) -> Verdict:
    """Hold `then` against what happened."""
    verdict = Verdict()
    rules: dict[str, Callable[[Verdict, Any, Outcome], None]] = {
        "plan": _plan if "plan_after_measure" not in then else _plan_before,
        "plan_holds": _plan_holds,
        "plan_after_measure": _plan,
        "use": _use,
        "not_seen": _not_seen,
        "disposition": _disposition,
        "printed": _printed,
        "logged": _logged,
        "summary": _summary,
        "summary_zero": _summary_zero,
        "screens": _screens,
        "glass": _glass,
    }
    for key, wanted in then.items():
        if key in rules:
            rules[key](verdict, wanted, outcome)
        elif not key.endswith("_note") and key != "must_not":
            verdict.expect(f"then.{key}", "a key that can be compared", key, holds=False)
    return verdict


_EVENTS = {"co_signed": "override_cosigned"}
"""Names of the files for what is kept under another name."""

_HOLDS = {"unknown_lumen": "unknown size"}
"""The words of the files for the holds of a plan."""


def _plan_holds(verdict: Verdict, wanted: Mapping[str, str], outcome: Outcome) -> None:
    got = {
        f"{piece}.{way.lumen}": _HOLDS.get(way.hold, way.hold)
        for piece, plan in outcome.first_plans.items()
        for way in plan.lumens
        if way.hold
    }
    verdict.expect("then.plan_holds", dict(wanted), got)


def _plan_before(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    _keys(verdict, wanted, outcome.first_plans)


def _plan(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    _keys(verdict, wanted, outcome.plans)


def _keys(verdict: Verdict, wanted: Mapping[str, Any], plans: Mapping[str, PiecePlan]) -> None:
    got = {piece: list(plan.keys) for piece, plan in plans.items()}
    for piece, keys in wanted.items():
        verdict.expect(f"then.plan.{piece}", keys, got.get(piece))
    extra = sorted(set(got) - set(wanted))
    verdict.expect("then.plan: other pieces", [], extra)


def _use(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    for piece, uses in wanted.items():
        got = plan_as_json(outcome.plans[piece])["use"] if piece in outcome.plans else {}
        for key, use in uses.items():
            verdict.expect(f"then.use.{piece}.{key}", use, got.get(key))


def _not_seen(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    got = {}
    for piece, plan in outcome.plans.items():
        for lumen, hidden in plan_as_json(plan)["not_seen"].items():
            got[f"{piece}.{lumen}"] = hidden
    verdict.expect("then.not_seen", dict(wanted), got)


def _disposition(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    got: dict[str, str] = dict(outcome.tickets)
    for trip in outcome.trips.values():
        got |= {name: str(kind) for name, kind in dispositions(trip).items()}
    for name, kind in wanted.items():
        verdict.expect(f"then.disposition.{name}", kind, got.get(name))


def _printed(verdict: Verdict, wanted: Sequence[Mapping[str, Any]], outcome: Outcome) -> None:
    verdict.expect("then.printed: papers in order", [row["doc"] for row in wanted], [p.doc for p in outcome.papers])
    for row, paper in zip(wanted, outcome.papers, strict=False):
        if "copy" in row:
            verdict.expect(f"then.printed.{row['doc']} is a copy", bool(row["copy"]), paper.copy)
        for words in row.get("must_show", ()):
            shown = fold(str(words)) in paper.text
            verdict.expect(f"then.printed.{row['doc']} must show", str(words), paper.text, holds=shown)
        for words in row.get("must_not_show", ()):
            hidden = fold(str(words)).lower() not in paper.text.lower()
            verdict.expect(f"then.printed.{row['doc']} must not show", str(words), paper.text, holds=hidden)


def fold(text: str) -> str:
    """Fold every stretch of white space to one space."""
    return re.sub(r"\s+", " ", text).strip()


def _logged(verdict: Verdict, wanted: Sequence[str], outcome: Outcome) -> None:
    names = [NAME_OF[type(kept.event)] for kept in outcome.log]
    at = 0
    for written in wanted:
        name = _EVENTS.get(written, written)
        found = next((i for i in range(at, len(names)) if names[i] == name), None)
        verdict.expect(f"then.logged.{name}", f"{name} after record {at}", names[at:], holds=found is not None)
        if found is not None:
            at = found + 1


def _summary(verdict: Verdict, wanted: Mapping[str, int], outcome: Outcome) -> None:
    for name, number in wanted.items():
        verdict.expect(f"then.summary.{name}", number, outcome.counters.get(name))


def _summary_zero(verdict: Verdict, wanted: Sequence[str], outcome: Outcome) -> None:
    for name in wanted:
        verdict.expect(f"then.summary_zero.{name}", 0, outcome.counters.get(name))


def _screens(verdict: Verdict, wanted: Mapping[str, Sequence[str]], outcome: Outcome) -> None:
    """Structured form of a `must_not`: words that no screen, or that some screen, showed."""
    everything = fold(" ".join(outcome.shown)).lower()
    for words in wanted.get("never", ()):
        verdict.expect("then.screens.never", words, words, holds=fold(words).lower() not in everything)
    for words in wanted.get("some", ()):
        verdict.expect("then.screens.some", words, "not shown", holds=fold(words).lower() in everything)


def _glass(verdict: Verdict, wanted: Mapping[str, Any], outcome: Outcome) -> None:
    """`x_least` and `x_most` are limits of the measured x."""
    for name, value in wanted.items():
        key, _, limit = name.rpartition("_")
        got: Any = outcome.glass.get(key if limit in {"least", "most"} else name)
        holds = got >= value if limit == "least" else got <= value if limit == "most" else got == value
        verdict.expect(f"then.glass.{name}", value, got, holds=holds)
