"""The whole kit study over so many lumens, about forty tools and every two of them, against the plain count in numpy.

Two hundred lumens in every run, five thousand with `THROUGHLIGHT_DECADE=1`, others with `THROUGHLIGHT_KIT_LUMENS`.

The plain count knows the tools already, and lays each over all lumens at once: of each tool the millimeters it leaves
out, of every two the better of both (of a head and a stem: the head's lumens on the longer stem), times the wall. It
is written here a second time, for curved lumens alone, of which every millimeter asks for a scope and a swab.
"""

import random
from decimal import Decimal
from itertools import combinations

import numpy as np
import pytest
from numpy.typing import NDArray

from kiosk.core.catalogue import Catalogue, Item, Kit, Swabs, Tray
from kiosk.core.policy import Policy
from kiosk.core.vocabulary import Feature
from kiosk.quality.additions import Addition, LongerStem, MoreHead, MoreScope, asks_no_more
from kiosk.quality.kit_candidates import candidates
from kiosk.quality.kit_study import Study, kit_study
from kiosk.quality.packed import packed
from kiosk.quality.replan import Replan
from tests.faults.running import many
from tests.lumen.bench import default_policy, tube
from tests.speed.conftest import Tell
from tests.speed.figures import Figure, in_turn
from tests.speed.five_years import DECADE

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]

LUMENS = many("KIT_LUMENS", 5000 if DECADE else 200)
SIZES = 4
"""Diameters, and reaches, of scopes that are tried: with heads and stems that makes about forty tools."""
KIT = Kit(swabs=Swabs(heads_mm=(Decimal("2.0"), Decimal("3.0")), reach_mm=Decimal(150), max_over=Decimal("1.5")))
BORES, LENGTHS = range(10, 40), range(80, 520, 20)
"""Tenths of a millimeter; millimeters."""

Floats = NDArray[np.float64]


def _catalogue() -> Catalogue:
    chance = random.Random(740926)
    trays = {}
    for n in range(LUMENS // 10):
        items = [
            Item(
                id=f"A{n}-{m}", name="Tube", type="fine_suction",
                lumens=(tube(str(Decimal(chance.choice(BORES)) / 10), str(chance.choice(LENGTHS)), Feature.CURVED),),
            )
            for m in range(10)
        ]  # fmt: skip
        trays[f"T{n}"] = Tray(code=f"T{n}", name=f"Set {n}", items=tuple(items))
    return Catalogue(trays=trays)


class Plain:
    """The catalogue in columns, and what each tool, and every two, adds of wall in mm2."""

    def __init__(self, had: Catalogue, policy: Policy) -> None:
        ways = [lumen for tray in had.trays.values() for one in tray.items for lumen in one.lumens]
        self.bore = np.array([float(way.inside_mm or 0) for way in ways])
        self.length = np.array([float(way.length_mm or 0) for way in ways])
        self.ratio, self.overlap = float(policy.scope_fit_ratio), float(policy.overlap_mm)
        self.heads = [float(head) for head in (KIT.swabs.heads_mm if KIT.swabs else ())]
        self.stem = float(KIT.swabs.reach_mm) if KIT.swabs else 0.0
        self.touched = self._goes_in(self.heads) * self._covered(self.stem)

    def _covered(self, reach: float) -> Floats:
        """Millimeters that a reach covers, from one end or from both."""
        short = self.length + self.overlap - 2 * reach
        return np.where(reach >= self.length, self.length, self.length - np.clip(short, 0, self.length))

    def _goes_in(self, heads: list[float]) -> NDArray[np.bool_]:
        fits = np.zeros(len(self.bore), dtype=bool)
        for head in heads:
            fits |= (self.bore <= head + 1e-9) & (head <= 1.5 * self.bore + 1e-9)
        return fits

    def _seen(self, scope: MoreScope) -> Floats:
        goes_in = float(scope.od_mm) <= self.ratio * self.bore + 1e-9
        return goes_in * scope.bends * self._covered(float(scope.reach_mm))

    def gains(self, tools: tuple[Addition, ...]) -> dict[tuple[Addition, ...], float]:
        """Wall in mm2 that each tool, and every two of which neither asks less than the other, would newly open."""
        wall = np.pi * self.bore
        scopes = {tool: self._seen(tool) for tool in tools if isinstance(tool, MoreScope)}
        heads = {
            tool: self._goes_in([*self.heads, float(tool.head_mm)]) for tool in tools if isinstance(tool, MoreHead)
        }
        had, now = self._goes_in(self.heads), self._covered(self.stem)
        stems = {tool: self._covered(float(tool.reach_mm)) for tool in tools if isinstance(tool, LongerStem)}
        out: dict[tuple[Addition, ...], float] = {}
        for both in [*((tool,) for tool in tools), *combinations(tools, 2)]:
            if len(both) == 2 and (asks_no_more(*both) or asks_no_more(*both[::-1])):
                continue
            seen = [scopes[tool] for tool in both if tool in scopes]
            fits, covered = had, now
            for tool in both:
                fits = fits | heads[tool] if tool in heads else fits
                covered = np.maximum(covered, stems[tool]) if tool in stems else covered
            more = fits * covered - self.touched
            if seen:
                more = more + (seen[0] if len(seen) == 1 else np.maximum(*seen))
            out[both] = float(wall @ more)
        return out


def test_the_whole_kit_study_with_all_pairs_against_the_plain_count(tell: Tell) -> None:
    had, policy = _catalogue(), default_policy()
    tools = candidates(Replan(packed(had), policy, KIT), most_sizes=SIZES).additions
    plain = Plain(had, policy)

    def ours() -> Study:
        return kit_study(had, policy, KIT, pairs=True, most_sizes=SIZES)

    counted = plain.gains(tools)
    studies: list[Study] = []
    mine, base = in_turn(lambda: studies.append(ours()), lambda: plain.gains(tools), runs=1)
    study = studies[-1]
    for gain in (*study.singles, *study.pairs):
        known = counted.get(gain.additions) or counted[gain.additions[::-1]]
        assert float(gain.area_mm2) == pytest.approx(known, rel=1e-9), gain.words
    assert study.singles
    assert study.pairs
    for size, gains in ((1, study.singles), (2, study.pairs)):
        best = max(area for both, area in counted.items() if len(both) == size)
        assert float(gains[0].area_mm2) == pytest.approx(best, rel=1e-9)
    assert not [sentence for sentence in study.cut if sentence.startswith("Of pairs")]
    what = f"kit study over {LUMENS:,} lumens, {len(tools)} tools, all pairs"
    tell(Figure(what=what, against="the plain count of these tools in numpy", ours=mine, base=base, goal=3))
