"""Rendered views down a lumen, with the truth of what lies on its wall: for tests and the demo, never a real lumen.

A scope on the axis of a round tube, a ring light about its lens, a pinhole camera: a place on the wall at depth z shows
at f R / z from the axis, lit by about 1 / (1 + (z / R)^2). Imports numpy at the top: never on the way of a touch.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.random import Generator

from kiosk.sight.color import Array, difference, encoded, lab
from kiosk.sight.rendered_wall import (
    BRISTLE,
    RUST,
    SOILS,
    STEEL,
    Color,
    Soil,
    finish,
    linear,
    patch,
    sampled,
    scratch,
    thread,
)

_FALLS = 0.85
"""Light falls as (1 + (z/R)^2)^-this: slower than by the square of the way, as bright walls light each other."""
_BRIGHT = 0.62
"""Linear light of the brightest twentieth of the picture at exposure 1: what an automatic exposure aims at."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What is looked at, and how. Counts say how many; places come from `seed`, so the same scene is the same picture.

    `wall_seed`: the finish; `scale`: the picture's; `advance_mm`: of the scope along the tube; `axis_at`: the axis off
    the middle, shares of the height; `glare`: bright reflections; `exposure`: 1 as it should be; `uneven`: share by
    which one side is lit more.
    """

    seed: int
    wall_seed: int = 1
    width: int = 1280
    height: int = 720
    bore_mm: float = 4.0
    wall: Color = STEEL
    roll_deg: float = 0.0
    scale: float = 1.0
    advance_mm: float = 0.0
    axis_at: tuple[float, float] = (0.0, 0.0)
    soil: tuple[Soil, ...] = ()
    rust: int = 0
    bristles: int = 0
    droplets: int = 0
    scratches: int = 0
    glare: int = 0
    defocus_px: float = 0.0
    exposure: float = 1.0
    uneven: float = 0.12
    noise: float = 0.006
    round_field: bool = False

    @property
    def axis(self) -> tuple[float, float]:
        """The axis in the picture, x and y, pixel centers at whole numbers."""
        return (
            (self.width - 1) / 2 + self.axis_at[0] * self.height,
            (self.height - 1) / 2 + self.axis_at[1] * self.height,
        )

    @property
    def focal_px(self) -> float:
        """A place one half bore deep shows half a height from the axis: a view of 90 degrees over the height."""
        return self.height / 2 * self.scale


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Still:
    """A picture (H, W, 3 uint8 sRGB) and its truth: `parts` (H, W) 0 or the soil's number from 1; `other`: rust and
    bristles; `differences`: mean CIEDE2000 of each soil against the same wall without it, before noise and blur."""

    picture: Array
    parts: Array
    other: Array
    differences: tuple[float, ...]

    @property
    def soil(self) -> Array:
        """Where soil is, (H, W) bool."""
        mask: Array = self.parts > 0
        return mask


def depth_at(scene: Scene, share: float) -> float:
    """Depth in mm, from the wall's zero, that shows at a share of half the height from the axis."""
    return scene.advance_mm + scene.bore_mm / 2 * scene.focal_px / (share * scene.height / 2)


def still(scene: Scene) -> Still:
    """The scene as a picture with its truth."""
    rng = np.random.default_rng([scene.seed, 3])
    x, y = scene.axis
    right = np.arange(scene.width, dtype=np.float32)[None, :] - np.float32(x)
    down = np.arange(scene.height, dtype=np.float32)[:, None] - np.float32(y)
    away = np.maximum(np.hypot(right, down), np.float32(0.5))
    angle = np.arctan2(down, right) - np.float32(np.radians(scene.roll_deg))
    deep = np.float32(scene.focal_px) / away  # in half bores
    depth = deep * np.float32(scene.bore_mm / 2) + np.float32(scene.advance_mm)
    grain = sampled(finish(scene.wall_seed), angle, depth / np.float32(scene.bore_mm))
    grain = 1 + (grain - 1) * np.exp(-((deep / 12) ** 2))
    for _ in range(scene.scratches):
        grain += scratch(rng, angle, depth, scene.bore_mm, _somewhere(rng, scene))
    lit = (1 + deep * deep) ** np.float32(-_FALLS)
    lit *= 1 + np.float32(scene.uneven) * np.cos(angle - np.float32(rng.uniform(0, 2 * np.pi)))
    wall = linear(scene.wall) * (lit * grain)[..., None]
    other = np.zeros(away.shape, dtype=bool)
    for _ in range(scene.rust):
        place = _somewhere(rng, scene)
        across = scene.bore_mm * rng.uniform(0.25, 0.5)
        tint = Soil(angle_deg=place[0], depth_mm=place[1], across_mm=across, seed=int(rng.integers(1 << 30)))
        cover = patch(tint, angle, depth, scene.bore_mm) * np.float32(0.75)
        _lay(wall, cover * np.clip(1.6 - grain, 0.3, 1), linear(RUST), lit)
        other |= cover > 0.2
    for _ in range(scene.bristles):
        cover = thread(rng, angle, depth, scene.bore_mm, _somewhere(rng, scene))
        _lay(wall, cover, linear(BRISTLE), lit)
        other |= cover > 0.5
    full = np.float32(_BRIGHT * scene.exposure) / np.float32(np.quantile(wall[::4, ::4, 1], 0.95))
    parts = np.zeros(away.shape, dtype=np.uint8)
    soiled = wall.copy() if scene.soil else wall
    for number, soil in enumerate(scene.soil, start=1):
        cover = patch(soil, angle, depth, scene.bore_mm)
        parts[cover > 0.5] = number
        _lay(soiled, cover * np.float32(soil.cover), linear(soil.color), lit * (0.7 + 0.3 * grain))
    apart = tuple(_apart(wall, soiled, parts == number, float(full)) for number in range(1, len(scene.soil) + 1))
    seen = _through_lens(scene, rng, soiled * full, angle, away)
    return Still(picture=seen, parts=parts, other=other, differences=apart)


def film(scene: Scene, frames: int, step_mm: float, turn_deg: float = 0.0) -> Iterator[Still]:
    """The scope drawn on along the tube: so many stills, each a step deeper and turned on, with noise of its own."""
    for frame in range(frames):
        yield still(
            replace(
                scene,
                advance_mm=scene.advance_mm + frame * step_mm,
                roll_deg=scene.roll_deg + frame * turn_deg,
                noise=scene.noise * (1 + frame * 1e-9),
            )
        )


def by_chance(seed: int, *, soil: bool, width: int = 1280, height: int = 720) -> Scene:
    """A scene from a seed: bore, wall, light, finish, scratches, glare and droplets vary; with one soil or none."""
    rng = np.random.default_rng([seed, 5])
    bore = float(rng.uniform(2.5, 8))
    gray, warm = int(rng.integers(150, 196)), int(rng.integers(0, 14))
    scene = Scene(
        seed=seed,
        wall_seed=int(rng.integers(48)),
        width=width,
        height=height,
        bore_mm=bore,
        wall=(gray, gray - warm // 3, gray - warm),
        roll_deg=float(rng.uniform(0, 360)),
        advance_mm=float(rng.uniform(0, 12)) * bore,
        axis_at=(float(rng.normal(0, 0.05)), float(rng.normal(0, 0.04))),
        scratches=int(rng.integers(0, 4)),
        glare=int(rng.integers(0, 3)),
        droplets=int(rng.choice([0, 0, 0, 2, 4])),
        defocus_px=float(rng.uniform(0, 1.2)) * height / 720,
        exposure=float(rng.uniform(0.7, 1.15)),
        uneven=float(rng.uniform(0, 0.25)),
        noise=float(rng.uniform(0.003, 0.009)),
    )
    if not soil:
        return scene
    share = float(rng.uniform(0.2, 0.9))
    one = Soil(
        angle_deg=float(rng.uniform(0, 360)),
        depth_mm=depth_at(scene, share),
        across_mm=bore * float(np.exp(rng.uniform(np.log(0.03), np.log(0.35)))) / share**0.5,
        color=SOILS[int(rng.integers(len(SOILS)))],
        cover=float(rng.uniform(0.1, 1)),
        seed=seed,
    )
    return replace(scene, soil=(one,))


def _somewhere(rng: Generator, scene: Scene) -> tuple[float, float]:
    """A place on the wall that is in sight from the wall's zero: degrees, depth in mm."""
    return float(rng.uniform(0, 360)), scene.bore_mm / 2 / float(rng.uniform(0.25, 0.9)) + scene.advance_mm


def _lay(wall: Array, cover: Array, color: Array, lit: Array) -> None:
    """Lay a color over the wall where it covers, lit as the wall is."""
    where = cover > 0
    share = cover[where][:, None].astype(np.float32)
    wall[where] = wall[where] * (1 - share) + color * lit[where][:, None] * share


def _apart(bare: Array, soiled: Array, where: Array, full: float) -> float:
    if not where.any():
        return 0.0
    one, other = (lab(np.round(encoded(light[where] * full)).astype(np.uint8)) for light in (bare, soiled))
    return float(difference(one, other).mean())


def _through_lens(scene: Scene, rng: Generator, light: Array, angle: Array, away: Array) -> Array:
    """Glare, droplets, blur, the round field, noise and the sRGB curve."""
    high = scene.height
    for _ in range(scene.glare):
        toward, out = rng.uniform(0, 2 * np.pi), high * rng.uniform(0.28, 0.5)
        wide, long = rng.uniform(0.02, 0.05), high * rng.uniform(0.03, 0.08)
        turn = angle - toward
        turn = turn - 2 * np.pi * np.round(turn / (2 * np.pi))
        spot: Array = rng.uniform(1.2, 2.4) * np.exp(-((turn / wide) ** 2) - ((away - out) / long) ** 2)
        light = light + spot[..., None]
    for _ in range(scene.droplets):
        _droplet(light, rng, scene)
    if scene.defocus_px > 0:
        from scipy.ndimage import gaussian_filter

        light = gaussian_filter(light, (scene.defocus_px, scene.defocus_px, 0))
    if scene.round_field:
        down, right = np.ogrid[:high, : scene.width]
        off = np.hypot(right - (scene.width - 1) / 2, down - (high - 1) / 2)
        light = light * np.clip((high * 0.48 - off) / 2, 0, 1)[..., None]
    grain = rng.standard_normal(light.shape, dtype=np.float32)
    light = light + grain * np.sqrt(np.maximum(light, 0) + 0.002) * np.float32(scene.noise * 2)
    steps = encoded(np.linspace(0, 1, 4096))
    table = np.round(steps).astype(np.uint8)
    picture: Array = table[(np.clip(light, 0, 1) * 4095 + 0.5).astype(np.intp)]
    return picture


def _droplet(light: Array, rng: Generator, scene: Scene) -> None:
    """A drop on the wall: the light behind it drawn together, a dark rim, a small bright disc toward the lens."""
    size = scene.height * rng.uniform(0.010, 0.022)
    toward, out = rng.uniform(0, 2 * np.pi), scene.height * rng.uniform(0.15, 0.45)
    x, y = scene.axis[0] + out * np.cos(toward), scene.axis[1] + out * np.sin(toward)
    top, left = max(0, int(y - size - 2)), max(0, int(x - size - 2))
    window = light[top : int(y + size + 3), left : int(x + size + 3)]
    if not window.size:
        return
    down, right = np.ogrid[: window.shape[0], : window.shape[1]]
    from_middle = np.hypot(right + left - x, down + top - y) / size
    rim = np.exp(-(((from_middle - 0.9) / 0.18) ** 2))
    spot = np.hypot(right + left - (x - 0.3 * size * np.cos(toward)), down + top - (y - 0.3 * size * np.sin(toward)))
    window *= (1 - 0.45 * rim + 0.15 * (from_middle < 0.8))[..., None]
    window += 2.0 * np.exp(-((spot / (0.28 * size)) ** 2))[..., None]
