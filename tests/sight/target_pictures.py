"""Pictures of the printed test target as a scope might show it: the page of ours drawn by pdfium, then blurred, lit,
tinted and turned here by scipy. What was done to each is known."""

from functools import cache

import numpy as np
import pypdfium2 as pdfium  # type: ignore[import-untyped]
from scipy.ndimage import affine_transform, gaussian_filter

from kiosk.core.papers import Foot, TargetPage
from kiosk.core.scope_target import FRAME_MM
from kiosk.paper.render import render
from kiosk.paper.target import EDGE_MM, FIRST_MM
from kiosk.sight.color import LINEAR, Array, encoded

WIDE, HIGH = 1280, 720
PER_MM = 1200 / 25.4
"""The page is drawn with 1,200 dots an inch, finer than any picture of it here."""
PAGE = TargetPage(
    title="Test target for scopes",
    number="TT-10001",
    lines=("Hold the scope before the size that fills its picture.",),
    names=("half size", "size 1", "double size"),
    rule="50 mm. Does it measure so? Then the page was printed at 1:1.",
    foot=Foot(printed="Printed 2031-03-04 07:00", bench="Bench 1", versions="", copy=""),
)


@cache
def printed() -> Array:
    """Linear light (rows, columns, 3) of the target of size 1, with 3 mm of white about it."""
    page = pdfium.PdfDocument(render(PAGE))[0]
    left = EDGE_MM + 30 + 12  # beside the half size
    box = (left - 3, FIRST_MM - 3, left + FRAME_MM[0] + 3, FIRST_MM + FRAME_MM[1] + 3)
    wide, high = (each / 72 * 25.4 for each in page.get_size())
    crop = tuple(each / 25.4 * 72 for each in (box[0], high - box[3], wide - box[2], box[1]))
    drawn = page.render(scale=PER_MM * 25.4 / 72, crop=crop).to_numpy()
    light: Array = LINEAR[drawn[..., :3][..., ::-1]]  # it comes as BGR
    return light


def seen(
    *,
    turn_deg: float = 0.0,
    px_per_mm: float = 34.0,
    blur_px: float = 0.7,
    exposure: float = 0.85,
    tint: tuple[float, float, float] = (1.0, 1.0, 1.0),
    falls: float = 0.0,
    noise: float = 0.0,
    seed: int = 1,
) -> Array:
    """A picture (720, 1280, 3 uint8). `blur_px`: of its own pixels; `exposure`, `tint`: times the light; `falls`: share
    of the light that is missing in the corners; `noise`: standard deviation in steps."""
    light = printed()
    shrink = PER_MM / px_per_mm
    soft = [gaussian_filter(light[..., n], blur_px * shrink) for n in range(3)]
    turn = np.radians(turn_deg)
    matrix = shrink * np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
    middle, center = np.array(light.shape[:2]) / 2 - 0.5, np.array([HIGH, WIDE]) / 2 - 0.5
    made = [
        affine_transform(each, matrix, middle - matrix @ center, (HIGH, WIDE), order=1, mode="nearest") for each in soft
    ]
    y, x = np.mgrid[0:HIGH, 0:WIDE]
    far = np.hypot(x - center[1], y - center[0]) / np.hypot(*center)
    picture = encoded(exposure * np.stack(made, -1) * np.array(tint) * (1 - falls * far**2)[..., None])
    picture = picture + np.random.default_rng(seed).normal(0, noise, picture.shape)
    return np.clip(np.round(picture), 0, 255).astype(np.uint8)
