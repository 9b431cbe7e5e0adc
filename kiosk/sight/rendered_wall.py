"""The wall of an invented lumen: its finish, and what lies on it, in millimeters around and along the bore.

Imports numpy at the top: for tests and the demo, never on the way of a touch.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from kiosk.sight.color import LINEAR, Array

Color = tuple[int, int, int]

STEEL: Color = (176, 174, 170)
DRIED_BLOOD: Color = (92, 38, 28)
TAN_FILM: Color = (158, 124, 78)
WHITE_CRUST: Color = (232, 230, 220)
GRAY_GREEN: Color = (110, 118, 92)
RUST: Color = (164, 88, 30)
BRISTLE: Color = (40, 52, 96)
SOILS = (DRIED_BLOOD, TAN_FILM, WHITE_CRUST, GRAY_GREEN)

_AROUND, _ALONG = 512, 1024
_BORES_ALONG = 12
"""Length after which the finish repeats, in bores; it repeats around the axis by nature."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Soil:
    """A patch on the wall. `depth_mm`: from the wall's zero; `cover`: 0 nothing to 1 the wall not seen through it."""

    angle_deg: float
    depth_mm: float
    across_mm: float
    color: Color = DRIED_BLOOD
    cover: float = 0.9
    seed: int = 0


def linear(color: Color) -> Array:
    """Linear light of an sRGB color, shape (3,), float32."""
    light: Array = LINEAR[np.array(color)].astype(np.float32)
    return light


@lru_cache(maxsize=64)
def finish(seed: int) -> Array:
    """Brightness of a drawn and honed tube about 1, (around, along): streaks along it, rings around it, mottling."""
    rng = np.random.default_rng([seed, 11])
    around = np.fft.fftfreq(_AROUND)[:, None] * _AROUND
    along = np.fft.rfftfreq(_ALONG)[None, :] * _ALONG
    total = np.zeros((_AROUND, _ALONG))
    # (how fine around, how fine along, how strong): cycles around the bore and along the repeat
    for fine_around, fine_along, strong in ((150, 10, 0.06), (50, 14, 0.06), (6, 150, 0.055), (28, 60, 0.05)):
        spectrum = np.fft.rfft2(rng.standard_normal((_AROUND, _ALONG)))
        spectrum *= np.exp(-((around / fine_around) ** 2) - (along / fine_along) ** 2)
        spectrum[0, 0] = 0
        layer = np.fft.irfft2(spectrum, s=(_AROUND, _ALONG))
        total += strong * layer / layer.std()
    return np.clip(1 + total, 0.4, 1.6).astype(np.float32)


def sampled(texture: Array, angle: Array, depth_bores: Array) -> Array:
    """The finish at angles (radians) and depths (bores), between its points by straight lines."""
    rows = (angle * np.float32(1 / (2 * np.pi)) % 1 * _AROUND).astype(np.float32)
    columns = (depth_bores * np.float32(1 / _BORES_ALONG) % 1 * _ALONG).astype(np.float32)
    row, column = rows.astype(np.int32), columns.astype(np.int32)
    down, right = rows - row, columns - column
    row, column = row % _AROUND * _ALONG, column % _ALONG
    below, beside = (row + _ALONG) % (_AROUND * _ALONG), (column + 1) % _ALONG
    flat = texture.ravel()
    near = flat[row + column] * (1 - right) + flat[row + beside] * right
    far = flat[below + column] * (1 - right) + flat[below + beside] * right
    mixed: Array = near * (1 - down) + far * down
    return mixed


def around_mm(angle: Array, center_deg: float, bore_mm: float) -> Array:
    """Way along the wall around the bore from a place, -half to +half of its girth."""
    turn = angle - np.radians(center_deg)
    turned: Array = (turn - 2 * np.pi * np.round(turn / (2 * np.pi))) * bore_mm / 2
    return turned


def patch(soil: Soil, angle: Array, depth_mm: Array, bore_mm: float) -> Array:
    """How far the patch covers the wall at each place, 0 to 1, with a ragged, thinning edge."""
    cover = np.zeros(angle.shape, dtype=np.float32)
    near = np.abs(depth_mm - soil.depth_mm) < soil.across_mm
    sideways = around_mm(angle[near], soil.angle_deg, bore_mm)
    forward = depth_mm[near] - soil.depth_mm
    bearing = np.arctan2(forward, sideways)
    rng = np.random.default_rng([soil.seed, 7])
    edge = np.ones_like(bearing)
    for waves in range(2, 9):
        edge += rng.normal(0, 0.28 / waves) * np.cos(waves * bearing + rng.uniform(0, 2 * np.pi))
    inside = 1 - np.hypot(sideways, forward) / (soil.across_mm / 2 * np.maximum(edge, 0.3))
    cover[near] = np.clip(inside / 0.18, 0, 1)
    return cover


def thread(rng: np.random.Generator, angle: Array, depth_mm: Array, bore_mm: float, at: tuple[float, float]) -> Array:
    """Cover of one bristle at `at` (degrees, depth in mm): a thin bent line, 0 to 1."""
    long, bend, lean = bore_mm * rng.uniform(0.6, 1.2), rng.uniform(-0.5, 0.5), rng.uniform(-1, 1)
    sideways, forward = around_mm(angle, at[0], bore_mm), depth_mm - at[1]
    run = sideways * np.cos(lean) + forward * np.sin(lean)
    off = forward * np.cos(lean) - sideways * np.sin(lean) - bend * run * run / bore_mm
    thick = bore_mm * 0.02
    lies: Array = np.clip(1.5 - np.abs(off) / thick, 0, 1) * (np.abs(run) < long / 2)
    return lies


def scratch(rng: np.random.Generator, angle: Array, depth_mm: Array, bore_mm: float, at: tuple[float, float]) -> Array:
    """One scratch at `at`, along the tube as tools leave them: how much brighter or darker, about 0."""
    long, lean = bore_mm * rng.uniform(0.8, 3), rng.uniform(-0.25, 0.25)
    sideways, forward = around_mm(angle, at[0], bore_mm), depth_mm - at[1]
    off = sideways - lean * forward
    line: Array = np.exp(-((off / (bore_mm * 0.008)) ** 2)) * (np.abs(forward) < long / 2)
    return line * np.float32(rng.choice([-0.3, 0.35]))
