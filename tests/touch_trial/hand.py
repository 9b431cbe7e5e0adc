"""How a gloved hand touches: where the finger comes down, how long it stays, and what else meets the glass.

Each number says where it comes from: a source, "from memory", or "assumed", a choice without a published figure.
Nothing here may be narrowed to make a screen look better: a screen that misses its goal is mended instead.
"""

from dataclasses import dataclass
from math import cos, exp, pi, sin, sqrt
from random import Random

from tests.touch_trial.contact import Happening, stroke, together

SPREAD_X, SPREAD_Y = (0.0075, 1.68), (0.0108, 1.33)
"""Variance of touch points in mm2 = first x (size of the target in mm)2 + second, across and down: the dual Gaussian
model of Bi and Zhai, Bayesian Touch, UIST 2013 (10.1145/2501988.2502058). The four figures from memory, and alike in a
public implementation of it. Fitted on bare index fingers and targets up to about 10 mm; beyond that it is stretched
here (assumed), which lets the hand aim the more loosely the larger the key."""

BIAS_MM = 4.0
"""Largest mean offset of one person: Holz and Baudisch, Understanding Touch, CHI 2011, abstract: errors of 4 mm where
a panel takes the middle of the contact. Toward low and right: Beringer and Peterson 1985, abstract (look, row T10).
Each person of the trial has one between 0 and this (even spread: assumed), between straight right and straight down."""

PALM_SHARE, BOUNCE_SHARE = 0.03, 0.02
"""Of taps that come with a palm already resting, and of lift-offs that bounce (assumed)."""

BETWEEN_MS, BETWEEN_SPREAD, BETWEEN_LEAST = 1400.0, 0.4, 450.0
"""From one touch to the next: lognormal, median and spread of the logarithm, and the least (assumed)."""

FRAME_MS = 16.0
"""From one report of the panel to the next (assumed: 60 a second)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Glove:
    """What a glove adds. No published figure for its spread was found (look, rows T8, T9: less feeling, 9 % slower).

    `blur`: the finger's own spread times this. `held_ms`: median of the time on the glass. `slide_mm`: spread of the
    way between touch and lift-off (that fingers slide unknowingly: Xu and others 2012, look, row T11). `wide_mm`,
    `wide_spread`: the contact, mean and spread: a bare finger 6 to 19 mm (from areas of 28 to 293 mm2, Wang and Ren
    2009, from memory). All others assumed.
    """

    name: str
    blur: float
    held_ms: float
    slide_mm: float
    wide_mm: float
    wide_spread: float
    drips: float
    palms: float = 0.03
    cloths: float = 0.02


ONE_GLOVE = Glove(name="one glove", blur=1.5, held_ms=110.0, slide_mm=0.8, wide_mm=13.0, wide_spread=3.0, drips=0.03)
TWO_WET = Glove(name="two wet gloves", blur=2.0, held_ms=130.0, slide_mm=1.2, wide_mm=14.0, wide_spread=3.5, drips=0.1)
HELD_SPREAD = 0.35
"""Of the logarithm of the time on the glass (assumed)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """Where the hand aims: the middle of a box, in mm of the window."""

    x: float
    y: float
    wide: float
    high: float


class Hand:
    """One person's hand in a glove, by a seed. `change` makes it the next person's."""

    def __init__(self, glove: Glove, rng: Random) -> None:
        self.glove, self.rng = glove, rng
        self.bias = (0.0, 0.0)
        self.change()

    def change(self) -> None:
        """Another person, with another offset."""
        far, way = self.rng.uniform(0, BIAS_MM), self.rng.uniform(0, pi / 2)
        self.bias = far * cos(way), far * sin(way)

    def wait_ms(self) -> float:
        """Until the next touch."""
        return max(BETWEEN_LEAST, BETWEEN_MS * exp(self.rng.gauss(0, BETWEEN_SPREAD)))

    def lands(self, target: Target) -> tuple[float, float]:
        """Where the middle of the finger comes down that aims at this target, mm."""
        blur = self.glove.blur**2
        across = sqrt(SPREAD_X[0] * target.wide**2 + SPREAD_X[1] * blur)
        down = sqrt(SPREAD_Y[0] * target.high**2 + SPREAD_Y[1] * blur)
        return (
            target.x + self.bias[0] + self.rng.gauss(0, across),
            target.y + self.bias[1] + self.rng.gauss(0, down),
        )

    def tap(self, target: Target) -> tuple[Happening, frozenset[int]]:
        """A tap at a target, with a bounce or a resting palm at times; and the contacts that are the finger's."""
        x, y = self.lands(target)
        held, wide = self.glove.held_ms * exp(self.rng.gauss(0, HELD_SPREAD)), self._width()
        dx, dy = (self.rng.gauss(0, self.glove.slide_mm) for _ in range(2))
        parts = [stroke([(0, x, y, wide), (held / 2, x + dx / 2, y + dy / 2, wide), (held, x + dx, y + dy, wide)])]
        if self.rng.random() < BOUNCE_SHARE:
            parts.append(self._bounce(held, x + dx, y + dy))
        finger = frozenset(part[0].contact for part in parts)
        if self.rng.random() < PALM_SHARE:
            parts.append(
                self.palm(x + self.rng.uniform(40, 90), y + self.rng.uniform(30, 80), self.rng.uniform(-500, -80))
            )
        return together(*parts), finger

    def palm(self, x: float, y: float, at_ms: float = 0.0) -> Happening:
        """A palm laid down (assumed): three to five contacts within 60 ms, or one that grows over 25 mm; then lifted.

        What a palm is stands in the look, 2.8: three contacts or more, or one wider than 25 mm.
        """
        rng, stays = self.rng, self.rng.uniform(250, 3000)
        if rng.random() < 0.5:
            begins, grown = rng.uniform(8, 22), rng.uniform(26, 60)
            grows = at_ms + rng.uniform(30, 80)
            return stroke([(at_ms, x, y, begins), (grows, x, y, grown), (at_ms + stays, x, y, grown)])
        parts = []
        for _ in range(rng.randrange(3, 6)):
            lands, lifts = at_ms + rng.uniform(0, 60), at_ms + stays + rng.uniform(0, 80)
            at = x + rng.gauss(0, 22), y + rng.gauss(0, 22)
            parts.append(stroke([(lands, *at, rng.uniform(8, 22)), (lifts, *at, rng.uniform(8, 22))]))
        return together(*parts)

    def drip(self, x: float, y: float) -> Happening:
        """A drop (kinds in equal shares: assumed): it jumps off again, runs down, or stays until the panel forgets it.

        A drop that does not stay is off a dry surface after 2.6 x square root of (density x radius3 / tension):
        Richard, Clanet and Quere, Nature 417 (2002) 811, from memory; 10 ms at 1 mm of water, 27 ms at 2 mm. One that
        runs goes 20 to 150 mm at 20 to 150 mm a second; one that stays is told for 5 to 30 s (both assumed).
        """
        rng, kind = self.rng, self.rng.randrange(3)
        wide = rng.uniform(4, 10)
        if kind == 0:
            return stroke([(0, x, y, wide), (drop_ms(rng.uniform(0.5, 2.0)), x, y, wide)])
        if kind == 1:
            return self._along(x, y, rng.gauss(0, 2), rng.uniform(20, 150), rng.uniform(20, 150), wide)
        return stroke([(0, x, y, wide), (rng.uniform(5_000, 30_000), x, y, wide)])

    def cloth(self, x: float, y: float) -> Happening:
        """A cloth goes over the glass, as one stroke over 120 mm, or told in pieces of 20 to 120 mm (assumed)."""
        rng = self.rng
        wide, speed, way = rng.uniform(10, 60), rng.uniform(250, 900), rng.uniform(0, 2 * pi)
        if rng.random() < 0.5:
            far = rng.uniform(121, 600)
            return self._along(x, y, far * cos(way), far * sin(way), speed, wide)
        parts, at = [], 0.0
        for _ in range(rng.randrange(2, 6)):
            far, narrow = rng.uniform(20, 120), rng.uniform(8, 24)
            piece = self._along(x, y, far * cos(way), far * sin(way), speed, narrow, at)
            parts.append(piece)
            x, y, at = piece[-1].x + 15 * cos(way), piece[-1].y + 15 * sin(way), piece[-1].at_ms + 40
        return together(*parts)

    def _along(
        self, x: float, y: float, dx: float, dy: float, speed: float, wide: float, at_ms: float = 0.0
    ) -> Happening:
        takes = 1000 * sqrt(dx * dx + dy * dy) / speed
        steps = max(2, int(takes / FRAME_MS))
        shares = (n / steps for n in range(steps + 1))
        return stroke([(at_ms + takes * s, x + dx * s, y + dy * s, wide) for s in shares])

    def _bounce(self, held: float, x: float, y: float) -> Happening:
        """The finger meets the glass again 15 to 120 ms after it left it, for 10 to 60 ms (assumed)."""
        rng = self.rng
        again, at = held + rng.uniform(15, 120), (x + rng.gauss(0, 1.5), y + rng.gauss(0, 1.5), self._width())
        return stroke([(again, *at), (again + rng.uniform(10, 60), *at)])

    def _width(self) -> float:
        return max(4.0, self.rng.gauss(self.glove.wide_mm, self.glove.wide_spread))


def drop_ms(radius_mm: float) -> float:
    """How long a drop of water touches what it jumps off from, ms. 1000 kg/m3 and 0.072 N/m: handbook, from memory."""
    return 1000 * 2.6 * sqrt(1000 * (radius_mm / 1000) ** 3 / 0.072)
