"""Today's picture laid on the known look: how far it is turned about the bore's axis, and how much larger it shows.

Imports numpy at the top: itself imported on first use, off the way of a touch. Phase correlation of log-polar pictures,
as in Reddy and Chatterji, IEEE Trans. Image Processing 5 (1996) 1266-1271, here in the pictures themselves and about
the bore's axis. A scope that stands deeper is no mere scale: so the fit is measured, and no fit is said.
"""

from dataclasses import dataclass, replace

import numpy as np

from kiosk.sight.axis import Axis, Field, find_axis
from kiosk.sight.color import Array
from kiosk.sight.strip import Grid, grid
from kiosk.sight.wall import Strip, middle, strip_of

MOST_SCALE = 1.6
"""Scales beyond this, either way, are not sought: a scope then stands elsewhere (a choice)."""
LEAST_FIT = 0.25
"""Least correlation of the two finishes where they lie on each other. Chosen on renderings: one wall twice gave 0.30
and more, two walls 0.12 at most."""
_HIGH = 360
"""Rows of the picture in which turn and scale are sought: their error is then under a cell, at less work."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Registration:
    """Today's picture is the known one turned by `turn_deg` (right toward bottom) and `scale` times as large about the
    axis. `fit`: Pearson's correlation of both finishes where they overlap, -1 to 1. `today`, `known`: the two axes."""

    turn_deg: float
    scale: float
    fit: float
    today: Axis
    known: Axis

    def known_cells(self, cells: Grid) -> Grid:
        """The cells of the known picture that lie on these of today's."""
        field = self.known.field
        return replace(
            cells,
            x=self.known.x,
            y=self.known.y,
            first=cells.first / self.scale,
            turn=cells.turn - float(np.radians(self.turn_deg)),
            field=None if field is None else (field.x, field.y, field.radius * 0.97),
        )


def best_match(today: Array, known: Array) -> Registration | None:
    """The turn and scale that fit best, however badly; None where either picture has no axis to turn about.

    Both pictures (H, W, 3 uint8) of one size; raises ValueError for two sizes.
    """
    if today.shape != known.shape:
        raise ValueError(f"pictures of two sizes: {today.shape[1::-1]} and {known.shape[1::-1]}")
    axes = (find_axis(today), find_axis(known))
    if axes[0] is None or axes[1] is None:
        return None
    by = max(1, today.shape[0] // _HIGH)
    small = [_shrunk(picture, by) for picture in (today, known)]
    high, wide = small[0].shape[:2]
    cells = [grid(_smaller(axis, by), wide, high) for axis in axes if axis is not None]
    rows = min(each.rows for each in cells)
    today_finish, known_finish = (
        _finish(strip_of(picture, replace(each, rows=rows))) for picture, each in zip(small, cells, strict=True)
    )
    step = cells[0].step
    along, around = _shift(today_finish, known_finish, int(np.log(MOST_SCALE) / step))
    fit = _correlation(today_finish, known_finish, round(along), round(around))
    turn = float(np.degrees(around * step))
    return Registration(
        turn_deg=(turn + 180) % 360 - 180, scale=float(np.exp(along * step)), fit=fit, today=axes[0], known=axes[1]
    )


def register(today: Array, known: Array) -> Registration | None:
    """As `best_match`, or None where that fits too badly to compare by: another lumen or depth, no finish seen."""
    best = best_match(today, known)
    return None if best is None or best.fit < LEAST_FIT else best


def _shrunk(picture: Array, by: int) -> Array:
    """Means of squares of `by` pixels, uint8."""
    if by == 1:
        return picture
    rows, columns = picture.shape[0] // by, picture.shape[1] // by
    cut = picture[: rows * by, : columns * by]
    total = np.zeros((rows, columns, 3), dtype=np.uint32)
    for down in range(by):
        for right in range(by):
            total += cut[down::by, right::by]
    small: Array = (total.astype(np.float32) / np.float32(by * by) + np.float32(0.5)).astype(np.uint8)
    return small


def _smaller(axis: Axis, by: int) -> Axis:
    """The axis as it lies in the shrunk picture."""
    off = (by - 1) / 2
    field = axis.field
    if field is not None:
        field = Field(x=(field.x - off) / by, y=(field.y - off) / by, radius=field.radius / by)
    return replace(axis, x=(axis.x - off) / by, y=(axis.y - off) / by, field=field)


def _finish(strip: Strip) -> Array:
    """The wall's finish alone, (3, rows, around): without the fall of light, in spreads of each ring, cut at three."""
    from scipy.ndimage import gaussian_filter, uniform_filter1d

    off = strip.lab - np.nan_to_num(middle(strip.lab, strip.read))[:, None, :]
    off[~strip.read] = 0
    smooth = gaussian_filter(off, (1.0, 1.0, 0), mode=("nearest", "wrap", "nearest"))
    smooth -= uniform_filter1d(smooth, max(3, smooth.shape[1] // 12), axis=1, mode="wrap")
    spread = 1.4826 * middle(np.abs(smooth), strip.read)
    spread = np.nan_to_num(spread, nan=np.inf) + np.array([0.4, 0.4, 0.4])
    ready = np.clip(smooth / spread[:, None, :], -3, 3)
    ready[~strip.read] = 0
    moved: Array = np.moveaxis(ready, 2, 0)
    return moved


def _shift(one: Array, other: Array, most: int) -> tuple[float, float]:
    """Rows and columns by which `one` lies further than `other`, to parts of a cell."""
    rows, around = one.shape[1:]
    taper = np.hanning(rows + 2)[1:-1, None] ** 0.5
    size = (2 * rows, around)
    spectra = [np.fft.rfft2(each * taper, s=size) for each in (one, other)]
    cross = (spectra[0] * np.conj(spectra[1])).sum(0)
    cross /= np.abs(cross) + 1e-3 * np.abs(cross).max()
    up, across = np.fft.fftfreq(size[0])[:, None], np.fft.rfftfreq(around)[None, :]
    peaks = np.fft.irfft2(cross * np.exp(-((np.hypot(up, across) / 0.12) ** 2)), s=size)
    along = np.arange(-most, most + 1)
    near = peaks[along % size[0]]
    row, column = divmod(int(near[1:-1].argmax()), around)
    row += 1
    down = _top(near[row - 1, column], near[row, column], near[row + 1, column])
    side = _top(near[row, column - 1], near[row, column], near[row, (column + 1) % around])
    return float(along[row]) + down, float(column) + side


def _top(before: float, at: float, after: float) -> float:
    """Where between its neighbors a peak's top lies, by a parabola through the three."""
    bend = before - 2 * at + after
    return 0.0 if bend >= 0 else float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5))


def _correlation(one: Array, other: Array, along: int, around: int) -> float:
    """Pearson's correlation over the overlap of both, `other` moved by so many rows and columns."""
    rows = one.shape[1]
    turned = np.roll(other, around, axis=2)
    first = one[:, max(0, along) : rows + min(0, along)]
    second = turned[:, max(0, -along) : rows + min(0, -along)]
    both = (np.abs(first).sum(0) > 0) & (np.abs(second).sum(0) > 0)
    if both.sum() < one[0].size / 10:
        return 0.0
    left, right = first[:, both].ravel(), second[:, both].ravel()
    return float(np.corrcoef(left, right)[0, 1])
