"""What it costs a shift to check every lumen every time: as the policy in force asks, and with every check there is."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from kiosk.core.catalogue import Kit
from kiosk.core.past.hours import Minutes, Spread
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Check, Size
from kiosk.quality.policy_replay import Replay, Side
from kiosk.quality.policy_replay import replay as replayed
from kiosk.quality.times import minutes_of
from kiosk.quality.trips import OpenedTray

OF_ANY_LUMEN = frozenset({
    Check.LIGHT, Check.SWAB, Check.SCOPE, Check.AIR, Check.WATER, Check.BRUSH, Check.SOIL_TEST,
})  # fmt: skip
"""What size alone may ask of a lumen. Holes and teeth are asked by shape, and dry always."""

OF_LUMENS = OF_ANY_LUMEN | {Check.DRY, Check.HOLES, Check.TEETH}
"""The checks of lumens; the others are of the whole piece and cost the same under any policy."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EveryLumen:
    """Minutes a shift for the checks of lumens, all benches together: as now, and with every check that can be done.

    `shifts`: those in which a tray was opened. `now_asked`, `all_asked`: answers in the whole span by method.
    """

    shifts: int
    trays: int
    lumens: int
    now: Minutes
    every: Minutes
    now_asked: Mapping[str, int]
    all_asked: Mapping[str, int]
    replay: Replay


def every_check(policy: Policy) -> Policy:
    """The policy with one change: any size asks for every check that is a method of the department.

    The planner still leaves out what the IFU forbids, what does not fit and what shape or bench do not allow.
    """
    methods = OF_ANY_LUMEN & policy.clean_methods
    return replace(
        policy, by_size={size: policy.by_size.get(size, frozenset()) | methods for size in Size if size != Size.UNKNOWN}
    )


def every_lumen(
    trays: Iterable[OpenedTray], policy: Policy, kit: Kit, seconds: Mapping[str, Spread], shifts: int
) -> EveryLumen:
    """Reckon the cost of the trays that were opened in so many shifts, with measured seconds by method."""
    both = replayed(trays, policy, every_check(policy), kit)
    now, every = _of_lumens(both.now), _of_lumens(both.then)
    return EveryLumen(
        shifts=shifts,
        trays=both.trays,
        lumens=both.lumens,
        now=minutes_of(now, seconds).over(shifts),
        every=minutes_of(every, seconds).over(shifts),
        now_asked=now,
        all_asked=every,
        replay=both,
    )


def _of_lumens(side: Side) -> dict[str, int]:
    return {method: n for method, n in side.asked.items() if method in OF_LUMENS}
