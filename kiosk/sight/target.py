"""The test target found in a picture and read: sharpness, gray steps, colors. It decides nothing.

Imports numpy at the top: itself imported on first use, off the way of a touch. The frame is found by its darkness and
its hole; its four corners give the picture of the plane (the direct linear transform: Hartley, Zisserman, Multiple View
Geometry, 2nd ed., 4.1), and every patch is looked up in its place on it.
"""

import numpy as np

from kiosk.core.scope_target import (
    COLORS,
    EDGE_AT_MM,
    EDGE_BOTTOM_MM,
    EDGE_DEG,
    EDGE_TOP_MM,
    FRAME_MM,
    GRAYS,
    Patch,
    TargetFigures,
)
from kiosk.sight.color import LINEAR, TO_XYZ, Array, difference, lab
from kiosk.sight.slanted_edge import NoEdge, edge_response, mtf50

LEAST_APART = 2.0
"""Two gray steps are told apart where they lie so far in L* (a choice), and farther than their own pixels spread."""
_SEEK_PX = 480
"""The frame is sought on a picture some so many pixels wide."""
_LEAST_FRAME = 0.12
"""Least width of the frame, as a share of the picture's, that is read (a choice)."""
_OF_EDGE_MM, _BESIDE_MM = 0.7, 4.0
"""So much of the edge is left out at either end, and so far to both sides it is read: no other patch comes near."""
_LEAST_LIKE = 0.85
"""Least correlation of the gray row with the printed one (a choice): else it is another dark frame."""


class NoTarget(ValueError):
    """The target can not be read in this picture; `key` names why: not_found, or no_edge."""

    def __init__(self, key: str) -> None:
        super().__init__(key)
        self.key = key


def read_target(picture: Array) -> TargetFigures:
    """Read the target in a picture (H, W, 3 uint8 sRGB), turned in any way. Raises NoTarget."""
    corners = _corners(picture)
    if corners is None:
        raise NoTarget("not_found")
    plane = _right_way(picture, corners)
    if plane is None:
        raise NoTarget("not_found")
    grays, spreads = _row(picture, plane, GRAYS)
    colors, _ = _row(picture, plane, COLORS)
    half_mm = (EDGE_BOTTOM_MM - EDGE_TOP_MM) / 2 - _OF_EDGE_MM
    lean, level = np.tan(np.radians(EDGE_DEG)) * half_mm, (EDGE_BOTTOM_MM + EDGE_TOP_MM) / 2
    ends = [[EDGE_AT_MM + lean, level - half_mm], [EDGE_AT_MM - lean, level + half_mm]]
    one, other, left, right = _onto(
        plane, np.array([*ends, [EDGE_AT_MM - _BESIDE_MM, level], [EDGE_AT_MM + _BESIDE_MM, level]])
    )
    half = float(min(np.hypot(*(side - (one + other) / 2)) for side in (left, right)))
    light = LINEAR[picture] @ TO_XYZ[1]
    try:
        sharp = mtf50(*edge_response(light, tuple(one), tuple(other), half))
    except NoEdge as fault:
        raise NoTarget("no_edge") from fault
    upper = _onto(plane, np.array([[0.0, 0.0], [FRAME_MM[0], 0.0]]))
    wide = float(np.hypot(*(upper[1] - upper[0])))
    return TargetFigures(
        sharp=round(10 * sharp * picture.shape[0]),
        steps=_apart(grays[:, 0], spreads),
        grays=_tenths(grays),
        colors=_tenths(colors),
        frame=round(1000 * wide / picture.shape[1]),
    )


def color_shift(first: TargetFigures, now: TargetFigures) -> int:
    """The largest CIEDE2000 of a color of the row from the first day's, in tenths."""
    one, other = (np.array(each.colors, dtype=float) / 10 for each in (first, now))
    return round(10 * float(difference(one, other).max()))


def _tenths(colors: Array) -> tuple[tuple[int, int, int], ...]:
    return tuple((int(l), int(a), int(b)) for l, a, b in np.round(10 * colors))  # noqa: E741 - CIE's own letters


def _apart(light: Array, spreads: Array) -> int:
    """Gray steps told apart: one, and one more for each that is darker than the one before by enough."""
    falls = light[:-1] - light[1:]
    needed = np.maximum(LEAST_APART, np.maximum(spreads[:-1], spreads[1:]))
    return int(1 + (falls > needed).sum())


def _corners(picture: Array) -> Array | None:
    """Corners of the frame's outer edge (4, 2) x and y, in turn; None where no dark frame with a hole is seen."""
    from scipy.ndimage import binary_fill_holes, find_objects, gaussian_filter, label

    step = max(1, picture.shape[1] // _SEEK_PX)
    high, wide = picture.shape[0] // step, picture.shape[1] // step
    cut = picture[: high * step, : wide * step, 1].astype(np.float32)
    small = gaussian_filter(cut.reshape(high, step, wide, step).mean((1, 3)), 0.8)
    parts, count = label(small < _between(small))
    best, most = None, 0
    for number, where in enumerate(find_objects(parts), start=1):
        if count == 0 or (where[1].stop - where[1].start) < _LEAST_FRAME * wide:
            continue
        mine = parts[where] == number
        whole = binary_fill_holes(mine)
        size = int(whole.sum())
        hole = size - int(mine.sum())
        if 0.35 * size < hole and size > most:
            best, most = (whole, where), size
    if best is None:
        return None
    whole, where = best
    found = _quadrilateral(whole)
    if found is None:
        return None
    placed: Array = (found + np.array([where[1].start, where[0].start])) * step + (step - 1) / 2
    return placed


def _between(light: Array) -> float:
    """The threshold that parts dark from light best (Otsu, IEEE Trans. Syst. Man Cybern. 9 (1979) 62-66)."""
    if light.max() - light.min() < 1:
        return float(light.min())  # nothing is darker than the rest
    count, edges = np.histogram(light, bins=128)
    middle = (edges[:-1] + edges[1:]) / 2
    under, over = np.cumsum(count), count.sum() - np.cumsum(count)
    below = np.cumsum(count * middle)
    with np.errstate(divide="ignore", invalid="ignore"):
        apart = under * over * (below / under - (below[-1] - below) / over) ** 2
    return float(edges[1 + int(np.nanargmax(apart))])


def _quadrilateral(whole: Array) -> Array | None:
    """Its four corners, in turn: the ends of its longest way, the places farthest from that; then its sides fitted."""
    from scipy.ndimage import binary_erosion

    rim = whole & ~binary_erosion(np.pad(whole, 1))[1:-1, 1:-1]
    y, x = np.nonzero(rim)
    points = np.column_stack([x, y]).astype(float)
    if len(points) < 40:
        return None
    center = points.mean(0)
    one = points[np.hypot(*(points - center).T).argmax()]
    two = points[np.hypot(*(points - one).T).argmax()]
    way = (two - one) / np.hypot(*(two - one))
    off = (points - one) @ np.array([-way[1], way[0]])
    rough = [one, points[off.argmax()], two, points[off.argmin()]]
    lines = []
    for n in range(4):
        start, end = rough[n], rough[(n + 1) % 4]
        long = np.hypot(*(end - start))
        if long < 10:
            return None
        way = (end - start) / long
        at, off = (points - start) @ way, (points - start) @ np.array([-way[1], way[0]])
        near = (np.abs(off) < 0.06 * long) & (at > 0.1 * long) & (at < 0.9 * long)
        if near.sum() < 5:
            return None
        mine = points[near]
        middle = mine.mean(0)
        _, _, axes = np.linalg.svd(mine - middle)
        lines.append((middle, axes[0]))
    corners = [_crossing(lines[n - 1], lines[n]) for n in range(4)]
    return None if any(each is None for each in corners) else np.array(corners)


def _crossing(one: tuple[Array, Array], other: tuple[Array, Array]) -> Array | None:
    matrix = np.column_stack([one[1], -other[1]])
    if abs(float(np.linalg.det(matrix))) < 0.1:
        return None
    along: Array = np.linalg.solve(matrix, other[0] - one[0])
    at: Array = one[0] + along[0] * one[1]
    return at


def _right_way(picture: Array, corners: Array) -> Array | None:
    """The plane's transform, (3, 3) from mm to pixels, for the turn in which the gray row lies where it was printed."""
    one, other = corners[1] - corners[0], corners[2] - corners[0]
    area = float(one[0] * other[1] - one[1] * other[0])
    ring = corners if area > 0 else corners[::-1]  # clockwise, as seen: a scope's picture is no mirror's
    wide, high = FRAME_MM
    printed = np.array([patch.color[0] for patch in GRAYS], dtype=float)
    best, most = None, _LEAST_LIKE
    for turn in range(4):
        plane = _transform(np.array([[0, 0], [wide, 0], [wide, high], [0, high]]), np.roll(ring, -turn, axis=0))
        light = _row(picture, plane, GRAYS)[0][:, 0]
        like = float(np.corrcoef(light, printed)[0, 1]) if light.std() > 1e-6 else 0.0
        if like > most:
            best, most = plane, like
    return best


def _transform(plane: Array, picture: Array) -> Array:
    rows = []
    for (x, y), (u, v) in zip(plane, picture, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    _, _, axes = np.linalg.svd(np.array(rows))
    found: Array = axes[-1].reshape(3, 3)
    return found


def _onto(plane: Array, places: Array) -> Array:
    """Pixels (n, 2) of places (n, 2) in mm."""
    lifted = np.column_stack([places, np.ones(len(places))]) @ plane.T
    found: Array = lifted[:, :2] / lifted[:, 2:]
    return found


def _row(picture: Array, plane: Array, patches: tuple[Patch, ...]) -> tuple[Array, Array]:
    """Mean CIELAB of each patch (n, 3), and how far its pixels spread in L*; read in its middle only."""
    high, wide = picture.shape[:2]
    across, down = np.meshgrid(np.linspace(0.3, 0.7, 12), np.linspace(0.3, 0.7, 12))
    colors, spreads = [], []
    for patch in patches:
        x, y = patch.left + patch.width * across, patch.top + patch.height * down
        at = np.round(_onto(plane, np.column_stack([x.ravel(), y.ravel()]))).astype(int)
        seen = picture[np.clip(at[:, 1], 0, high - 1), np.clip(at[:, 0], 0, wide - 1)]
        colors.append(lab(seen.mean(0, dtype=np.float64)))
        spreads.append(float(lab(seen)[:, 0].std()))
    return np.array(colors), np.array(spreads)
