"""The policy where two stations signed a version each without knowing of the other's. Pure.

Both are kept. Until a supervisor ruled, the last version that both had seen counts, with every stricter rule of either
(`kiosk.core.together.stricter`). A version that is signed knowing both of them ends it too.
"""

import json
from collections.abc import Iterable, Mapping, Sequence

from kiosk.core.policy import Policy, PolicyFault, plain_values
from kiosk.core.state.amendments import SignedPolicy
from kiosk.core.state.bench import Bench
from kiosk.core.together.ruling import ruling_of
from kiosk.core.together.seen import LOADED, known, saw, standing
from kiosk.core.together.stricter import strictest

STRICTEST = "strictest"
"""The ruling that leaves both in force: every stricter rule of either."""


def every_signed(benches: Iterable[Bench]) -> list[SignedPolicy]:
    """Every version that was signed at any station, each once, the oldest first."""
    found = {one.mark: one for bench in benches for one in bench.staff.policies}
    return sorted(found.values(), key=_age)


def _age(one: SignedPolicy) -> tuple[int, int, str]:
    return one.version, one.at_ms, one.mark


def heads(signed: Iterable[SignedPolicy]) -> list[SignedPolicy]:
    """The versions that nobody who signed another had seen; of such that say the same, the first."""
    out: dict[str, SignedPolicy] = {}
    for one in standing(signed):
        out.setdefault(json.dumps([sorted(one.values.items()), one.from_ms]), one)
    return sorted(out.values(), key=_age)


def conflict_of(left: Sequence[SignedPolicy]) -> str:
    """The name of the conflict between these versions: the same at every station."""
    return ":".join(["policy", str(max(one.version for one in left)), *sorted(one.mark for one in left)])


def names_signed(benches: Iterable[Bench]) -> tuple[str, ...]:
    """What a version that is signed now names as seen."""
    return known(every_signed(benches))


def policies(
    loaded: Policy, before: Mapping[int, Policy], benches: Sequence[Bench], at_ms: int
) -> tuple[dict[int, Policy], Policy]:
    """Every version known here by its number, and the one that counts at this moment.

    Where two have the same number, it stands for the rules of both that counted then. A version that this program can
    not read is passed over.
    """
    signed = [one for one in every_signed(benches) if _read(loaded, one) is not None]
    lost = _overruled(benches, heads(signed))
    out = {**before, loaded.version: loaded}
    for number in sorted({one.version for one in signed}):
        mine = [one for one in signed if one.version == number and one.mark not in lost]
        others = [one for one in signed if one.version <= number and one.mark not in lost]
        if mine:
            out[number] = _together(loaded, heads(others), number, signed)
    live = [one for one in signed if one.from_ms <= at_ms and one.mark not in lost]
    number = max([*before, loaded.version, *(one.version for one in live)])
    if any(one.version == number for one in live):
        out[number] = _together(loaded, heads(live), number, signed)
    return out, out[number]


def _overruled(benches: Sequence[Bench], left: Sequence[SignedPolicy]) -> frozenset[str]:
    """The versions that a ruling set aside, with those that only they were built on."""
    ruling = ruling_of(benches, conflict_of(left)) if len(left) > 1 else None
    kept = next((one for one in left if ruling is not None and one.mark == ruling.ruling), None)
    if kept is None:
        return frozenset()
    gone = {mark for one in left if one.mark != kept.mark for mark in (one.mark, *one.over)}
    return frozenset(gone - {kept.mark, LOADED, *kept.over})


def _together(loaded: Policy, left: Sequence[SignedPolicy], number: int, signed: Sequence[SignedPolicy]) -> Policy:
    """One version as it was signed; of several the last that all had seen, with every stricter rule."""
    if not left:
        return loaded
    if len(left) == 1:
        return _with(loaded, left[0], number)
    common = [one for one in signed if all(saw(each, one) for each in left)]
    last = heads(common)
    base = _together(loaded, last, number, signed)
    return strictest(base, [_with(loaded, one, number) for one in left], number)


def _read(loaded: Policy, one: SignedPolicy) -> Policy | None:
    try:
        return policy_of(loaded, one)
    except PolicyFault:
        return None


def _with(loaded: Policy, one: SignedPolicy, number: int) -> Policy:
    own = {key: json.loads(value) for key, value in one.values.items()}
    return Policy.from_mapping({**plain_values(loaded), **own}, version=number)


def policy_of(base: Policy, signed: SignedPolicy) -> Policy:
    """The policy that was signed: its values over those that were loaded. Raises PolicyFault."""
    return _with(base, signed, signed.version)
