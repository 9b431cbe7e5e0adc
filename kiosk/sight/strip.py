"""The wall unrolled: a strip of angle by depth about the bore's axis, and the way back into the picture.

Imports numpy at the top: itself imported on first use, off the way of a touch. Depth goes by the logarithm of the
distance from the axis, so cells are square, a turn about the axis shifts the strip sideways, a scale along.
"""

from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from kiosk.sight.axis import Axis
from kiosk.sight.color import Array

NEAREST = 0.05
"""The strip begins this share of the half height from the axis: deeper, a cell is less than a pixel."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A strip's cells for pictures `width` by `height`: row 0 lies `first` pixels from the axis, each row
    `exp(step)` times as far as the one before; column k lies at `turn` (radians) and k turns by
    `around`, from the picture's right toward its bottom."""

    x: float
    y: float
    width: int
    height: int
    around: int
    rows: int
    first: float
    field: tuple[float, float, float] | None = None
    turn: float = 0.0

    @property
    def step(self) -> float:
        """Angle between columns in radians, and logarithm of the distance between rows."""
        return 2 * np.pi / self.around

    def picture_points(self, rows: Array, columns: Array) -> tuple[Array, Array]:
        """x and y in the picture of places in the strip (whole numbers: middles of cells)."""
        away = self.first * np.exp(np.asarray(rows) * self.step)
        turn = np.asarray(columns) * self.step + self.turn
        return self.x + away * np.cos(turn), self.y + away * np.sin(turn)

    def strip_points(self, x: Array, y: Array) -> tuple[Array, Array]:
        """Rows and columns in the strip of places in the picture; columns from 0 up to `around`."""
        right, down = np.asarray(x) - self.x, np.asarray(y) - self.y
        rows = np.log(np.maximum(np.hypot(right, down), 1e-9) / self.first) / self.step
        return rows, (np.arctan2(down, right) - self.turn) % (2 * np.pi) / self.step

    def cell_px(self) -> Array:
        """Pixels of the picture that a cell of each row covers, (rows,)."""
        area: Array = (self.first * np.exp(np.arange(self.rows) * self.step) * self.step) ** 2
        return area


def grid(axis: Axis, width: int, height: int) -> Grid:
    """The strip's cells about an axis: cells of 3 pixels at half the height, out to the picture's farther side."""
    around = int(np.clip(8 * round(np.pi * height / 3 / 8), 128, 1024))
    first = max(4.0, NEAREST * height / 2)
    out = max(axis.x, width - 1 - axis.x, axis.y, height - 1 - axis.y)
    if axis.field is not None:
        off = float(np.hypot(axis.x - axis.field.x, axis.y - axis.field.y))
        out = min(out, axis.field.radius + off)
    rows = max(8, int(np.log(out / first) / (2 * np.pi / around)) + 1)
    field = None if axis.field is None else (axis.field.x, axis.field.y, axis.field.radius * 0.97)
    return Grid(x=axis.x, y=axis.y, width=width, height=height, around=around, rows=rows, first=first, field=field)


@lru_cache(maxsize=2)
def _places(cells: Grid) -> tuple[Array, Array, Array, Array]:
    """Of each cell: the pixel up and left of it, how far right and down of that, and whether it lies in the picture."""
    x, y = cells.picture_points(np.arange(cells.rows)[:, None], np.arange(cells.around)[None, :])
    seen = (x >= 0) & (y >= 0) & (x <= cells.width - 1) & (y <= cells.height - 1)
    if cells.field is not None:
        seen &= np.hypot(x - cells.field[0], y - cells.field[1]) < cells.field[2]
    x, y = np.clip(x, 0, cells.width - 1.001), np.clip(y, 0, cells.height - 1.001)
    left, top = x.astype(np.int32), y.astype(np.int32)
    return top * cells.width + left, (x - left).astype(np.float32), (y - top).astype(np.float32), seen


def unroll(picture: Array, cells: Grid) -> tuple[Array, Array]:
    """The picture (H, W) or (H, W, n) along the strip: (rows, around[, n]) float32 between pixels by straight lines,
    and which cells lie in the picture (rows, around) bool."""
    if picture.shape[:2] != (cells.height, cells.width):
        raise ValueError(
            f"a picture of {picture.shape[1]} x {picture.shape[0]}, cells for {cells.width} x {cells.height}"
        )
    at, right, down, seen = _places(cells)
    flat = _packed(picture.reshape(cells.height * cells.width, -1))
    right, down = right[..., None], down[..., None]
    left, up = 1 - right, 1 - down
    upper = _taken(flat, at) * left
    upper += _taken(flat, at + 1) * right
    lower = _taken(flat, at + cells.width) * left
    lower += _taken(flat, at + cells.width + 1) * right
    upper *= up
    lower *= down
    upper += lower
    strip = upper.astype(np.float32, copy=False)
    return strip.reshape((cells.rows, cells.around, *picture.shape[2:])), seen


def _packed(flat: Array) -> Array:
    """Pixels (n, 3 uint8) as whole numbers of four bytes, which are fetched faster than three single ones."""
    if flat.dtype != np.uint8 or flat.shape[1] != 3:
        return flat
    four = np.zeros((len(flat), 4), dtype=np.uint8)
    four[:, :3] = flat
    packed: Array = four.view(np.uint32)[:, 0]
    return packed


def _taken(flat: Array, at: Array) -> Array:
    """The pixels at these places (..., n)."""
    found: Array = flat.take(at, axis=0)
    return found if flat.ndim > 1 else found[..., None].view(np.uint8)[..., :3]


def nearest(mask: Array, cells: Grid) -> Array:
    """A mask of the picture (H, W) along the strip, by the pixel up and left of each cell's middle: (rows, around)."""
    taken: Array = mask.ravel()[_places(cells)[0]]
    return taken


def roll_back(mask: Array, cells: Grid) -> Array:
    """A mask of the strip (rows, around) bool as a mask of the picture (H, W), by the nearest cell."""
    y, x = np.mgrid[: cells.height, : cells.width]
    rows, columns = cells.strip_points(x, y)
    row, column = np.round(rows).astype(np.intp), np.round(columns).astype(np.intp) % cells.around
    inside = (row >= 0) & (row < cells.rows)
    back: Array = np.zeros((cells.height, cells.width), dtype=bool)
    back[inside] = mask[row[inside], column[inside]]
    return back
