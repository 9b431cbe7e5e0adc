"""What decontam answered on a ticket, as all stations together tell it: one answer, or several that differ. Pure."""

from collections.abc import Mapping, Sequence

from kiosk.core.state.bench import Bench
from kiosk.core.state.tickets import Return
from kiosk.core.together.ruling import ruling_of
from kiosk.core.together.seen import Said, known, standing

CLEANED, NOTHING, CANNOT_SHIFT, DAMAGED = "cleaned", "nothing", "cannot_shift", "damaged"
ANSWERS = (CLEANED, NOTHING, CANNOT_SHIFT, DAMAGED)
"""Decontam's answers; "seen nothing" is not "clean", and "will not come off" goes to the supervisor."""

GRAVE = frozenset({CANNOT_SHIFT, DAMAGED})
"""Answers with consequences: said back on a page of their own."""

CAREFUL = (CLEANED, NOTHING, DAMAGED, CANNOT_SHIFT)
"""From the least to the most careful: nothing found explains the finding less than found and cleaned; damaged goes for
repair; what will not come off is held for the supervisor."""


def every_answer(benches: Mapping[str, Bench], names: Sequence[str]) -> list[Said]:
    """The last answer of each station on a ticket, under any of its names (number, spare form), as it was said."""
    backs = [(at, one.returns[name]) for at, one in benches.items() for name in names if name in one.returns]
    return [_said(at, back) for at, back in backs if back.says]


def _said(station: str, back: Return) -> Said:
    mark = back.mark or f"{station} {back.ticket}"  # answered under a program that gave no marks
    return Said(mark=mark, over=back.over, at_ms=back.said_ms or 0, station=station, says=back.says)


def differing(said: Sequence[Said]) -> list[Said]:
    """The answers that stand, where they say different things; where all say the same, nothing differs."""
    left = standing(said)
    return left if len({one.says for one in left}) > 1 else []


def conflict_of(number: str, said: Sequence[Said]) -> str:
    """The name of the conflict between these answers: the same at every station."""
    return ":".join(["answers", number, *sorted(one.mark for one in said)])


def in_force(benches: Mapping[str, Bench], number: str, said: Sequence[Said]) -> Said | None:
    """The answer that counts: as all say, as a supervisor ruled, else the most careful. The first that said so."""
    left = standing(said)
    if not left:
        return None
    says = max((one.says for one in left), key=CAREFUL.index)
    differs = differing(said)
    ruled = ruling_of(benches.values(), conflict_of(number, differs)) if differs else None
    if ruled is not None:
        says = ruled.ruling
    return next((one for one in left if one.says == says), left[0])


def contradicted(benches: Mapping[str, Bench], number: str, said: Sequence[Said]) -> list[Said]:
    """The answers that differ, as long as nobody ruled."""
    differs = differing(said)
    if differs and ruling_of(benches.values(), conflict_of(number, differs)) is None:
        return differs
    return []


def said_after(said: Sequence[Said], differs: Sequence[Said]) -> tuple[str, ...]:
    """What a new answer names. As long as answers differ a new one takes none of the others' away."""
    return known(() if differs else said)
