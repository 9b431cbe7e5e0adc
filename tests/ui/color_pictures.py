"""Draws sample pages as a gray print and as eyes of fewer colors see them:  python -m tests.ui.color_pictures FOLDER

Simulation at full severity by the matrices of Machado, Oliveira and Fernandes, IEEE TVCG 15 (2009) 1291-1298, on linear
RGB (from memory; held against coloraide's by tests/ui/test_color_pictures.py). Gray: luminance of IEC 61966-2-1.
"""

import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from PySide6.QtGui import QImage

SEEN: dict[str, tuple[tuple[float, float, float], ...]] = {
    "gray": ((0.2126, 0.7152, 0.0722),) * 3,
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
PAGES = ("ask_check", "ask_finding", "decision", "ask_overview", "pack", "panels")
DIRTY_PAGES = ("intake",)


def seen_as(pixels: Any, kind: str) -> Any:
    """Pixels (height, width, 3) of 0 to 255 as such eyes see them, or in gray: the same shape, uint8."""
    import numpy as np

    share = pixels / 255.0
    linear = np.where(share <= 0.04045, share / 12.92, ((share + 0.055) / 1.055) ** 2.4)
    turned = np.clip(linear @ np.array(SEEN[kind]).T, 0.0, 1.0)
    back = np.where(turned <= 0.0031308, turned * 12.92, 1.055 * turned ** (1 / 2.4) - 0.055)
    return np.rint(back * 255).astype(np.uint8)


def pixels_of(image: "QImage") -> Any:
    """An image's pixels (height, width, 3), uint8."""
    import numpy as np
    from PySide6.QtGui import QImage

    plain = image.convertToFormat(QImage.Format.Format_RGB888)
    rows = np.frombuffer(plain.constBits(), np.uint8).reshape(plain.height(), plain.bytesPerLine())
    return rows[:, : plain.width() * 3].reshape(plain.height(), plain.width(), 3).copy()  # the image goes, they stay


def main(folder: Path) -> None:
    """Draw them at both sizes."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    from PySide6.QtGui import QImage
    from PySide6.QtWidgets import QApplication

    from kiosk.ui.theme import load_fonts
    from tests.ui.screens.every_page import stood_up, turned

    app = QApplication.instance() or QApplication([])
    load_fonts()
    folder.mkdir(parents=True, exist_ok=True)
    for panel in ("15.6 in", "10.1 in"):
        for dirty, wanted in ((False, PAGES), (True, DIRTY_PAGES)):
            with stood_up(panel, dirty=dirty) as window:
                for name, _, screen in turned(window, dirty=dirty):
                    for kind in SEEN if name in wanted else ():
                        drawn = seen_as(pixels_of(screen.grab().toImage()), kind).copy()
                        high, wide, _three = drawn.shape
                        image = QImage(drawn.data, wide, high, 3 * wide, QImage.Format.Format_RGB888)
                        image.save(str(folder / f"{panel.partition('.')[0]}in_{name}_{kind}.png"))
    del app


if __name__ == "__main__":
    main(Path(sys.argv[1]))
