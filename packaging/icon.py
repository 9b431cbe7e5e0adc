"""Draws the program's icon anew: a lumen with light at its far end. python packaging/icon.py

Sizes of the icon theme, PNG, and one ICO, in packaging/icon. Colors are those of the screens (kiosk/ui/theme.py).
"""

from pathlib import Path

from PIL import Image
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QColor, QImage, QPainter, QPainterPath, QPen, QRadialGradient

from kiosk.ui.theme import BENCH

FOLDER = Path(__file__).resolve().parent / "icon"
SIZES = (32, 48, 64, 128, 256, 512)


def drawn(size: int) -> QImage:
    """The icon, `size` pixels wide and high."""
    image = QImage(size, size, QImage.Format.Format_ARGB32)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    painter.scale(size / 64, size / 64)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(BENCH.rail))
    painter.drawRoundedRect(QRectF(2, 2, 60, 60), 13, 13)
    center = QPointF(32, 32)
    # The wall between the near edge and the far one, darker toward the entry.
    far = QPointF(35, 29)
    wall = QRadialGradient(far, 24)
    wall.setColorAt(0.0, QColor(BENCH.onrail))
    wall.setColorAt(0.34, QColor(BENCH.onrail2))
    wall.setColorAt(1.0, QColor(BENCH.ink2))
    bore = QPainterPath()
    bore.addEllipse(center, 20, 20)
    painter.setBrush(wall)
    painter.drawPath(bore)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(BENCH.onrail), 3.2))
    painter.drawEllipse(center, 21.6, 21.6)
    if size >= 48:  # smaller, the rings would run into each other
        for radius, shift, width in ((14.8, 1.1, 1.1), (10.4, 2.1, 0.9)):
            painter.setPen(QPen(QColor(BENCH.ink), width))
            painter.drawEllipse(center + QPointF(shift, -shift), radius, radius)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(BENCH.onrail))
    painter.drawEllipse(far, 5.4, 5.4)
    painter.end()
    return image


def main() -> None:
    FOLDER.mkdir(exist_ok=True)
    for size in SIZES:
        path = FOLDER / f"{size}.png"
        drawn(size).save(str(path))
        print(path.name)
    with Image.open(FOLDER / "256.png") as largest:
        largest.save(FOLDER / "throughlight.ico", sizes=[(16, 16), (32, 32), (48, 48), (256, 256)])


if __name__ == "__main__":
    main()
