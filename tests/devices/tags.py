"""A tray's tag held before the lens of a camera."""

import numpy as np
from PIL import Image

from kiosk.codes.write import code128
from tests.devices.videos import Picture

WIDTH, HEIGHT = 640, 480


def tag(code: str, *, turned: float = 0, module: int = 3) -> Picture:
    """A white tag with a Code 128, turned by degrees, before a gray bench; rows x columns x RGB."""
    widths = code128(code)
    bars = np.repeat(np.arange(len(widths)) % 2 * 255, np.array(widths) * module).astype(np.uint8)
    label = np.full((160, len(bars) + 2 * 12 * module), 250, np.uint8)
    label[30:130, 12 * module : -12 * module] = bars
    ground = Image.new("L", (WIDTH, HEIGHT), 250)
    ground.paste(Image.fromarray(label), ((WIDTH - label.shape[1]) // 2, (HEIGHT - 160) // 2))
    seen = np.asarray(ground.rotate(turned, Image.Resampling.BICUBIC, fillcolor=250)).astype(float)
    seen = 20 + seen * 0.8  # a lamp that is not the sun
    return np.repeat(seen.astype(np.uint8)[:, :, np.newaxis], 3, axis=2)


def bare() -> Picture:
    """The bench without a tag."""
    return np.full((HEIGHT, WIDTH, 3), 220, np.uint8)
