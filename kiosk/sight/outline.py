"""The outline of a part of the strip, as a closed polygon in the picture.

Imports numpy at the top: itself imported on first use, off the way of a touch.
"""

import numpy as np

from kiosk.sight.color import Array
from kiosk.sight.strip import Grid

Polygon = tuple[tuple[float, float], ...]
"""Corners in pixels, x and y, the last joined to the first."""

_NEAR_PX = 0.75
"""Corners nearer than this to the line between their neighbors are left out: under a pixel nobody sees it."""


def outline(mask: Array, cells: Grid) -> Polygon:
    """The outer edge of one joined part of the strip (rows, around) bool, cut to the picture.

    A part that goes around the whole bore gives its edge nearest to the viewer; holes in a part are not drawn.
    """
    best, largest = np.zeros((0, 2)), -1.0
    for loop in _loops(mask):
        rows, columns = np.array(loop, dtype=float).T - 0.5
        x, y = cells.picture_points(rows, columns)
        area = abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))) / 2
        if area > largest:
            best, largest = np.column_stack([x, y]), area
    points = _fewer(best)
    x, y = np.clip(points[:, 0], 0, cells.width - 1), np.clip(points[:, 1], 0, cells.height - 1)
    return tuple((round(float(one), 1), round(float(other), 1)) for one, other in zip(x, y, strict=True))


def _loops(mask: Array) -> list[list[tuple[int, int]]]:
    """Closed ways along the edges of cells, the part always on the same hand; columns go around."""
    around = mask.shape[1]
    padded = np.zeros((mask.shape[0] + 2, around), dtype=bool)
    padded[1:-1] = mask
    inner = padded[1:-1]
    ahead: dict[tuple[int, int], list[tuple[int, int]]] = {}
    sides = (
        (inner & ~padded[:-2], (0, 0), (0, 1)),
        (inner & ~np.roll(inner, -1, 1), (0, 1), (1, 1)),
        (inner & ~padded[2:], (1, 1), (1, 0)),
        (inner & ~np.roll(inner, 1, 1), (1, 0), (0, 0)),
    )
    for edges, start, end in sides:
        for row, column in np.argwhere(edges).tolist():
            one = (row + start[0], (column + start[1]) % around)
            ahead.setdefault(one, []).append((row + end[0], (column + end[1]) % around))
    loops = []
    while ahead:
        first = at = next(iter(ahead))
        loop = []
        while True:
            loop.append(at)
            ways = ahead[at]
            following = ways.pop()
            if not ways:
                del ahead[at]
            at = following
            if at == first:
                break
        loops.append(loop)
    return loops


def _fewer(points: Array) -> Array:
    """The polygon with fewer corners (Douglas and Peucker, Cartographica 10 (1973) 112-122)."""
    if len(points) < 5:
        return points
    far = int(np.argmax(np.hypot(*(points - points[0]).T)))
    ring = np.vstack([points, points[:1]])
    keep = np.zeros(len(ring), dtype=bool)
    keep[[0, far, -1]] = True
    spans = [(0, far), (far, len(points))]
    while spans:
        start, end = spans.pop()
        if end - start < 2:
            continue
        way = ring[end] - ring[start]
        rest = ring[start + 1 : end] - ring[start]
        long = float(np.hypot(*way))
        off = np.abs(way[0] * rest[:, 1] - way[1] * rest[:, 0]) / long if long else np.hypot(*rest.T)
        most = int(np.argmax(off))
        if off[most] > _NEAR_PX:
            middle = start + 1 + most
            keep[middle] = True
            spans += [(start, middle), (middle, end)]
    kept: Array = ring[:-1][keep[:-1]]
    return kept
