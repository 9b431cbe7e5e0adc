"""The first page of the set-up, stood up off screen: where its keys lie, and how it looks."""

from dataclasses import dataclass
from pathlib import Path

from PIL import Image, ImageChops
from PySide6.QtCore import QPoint
from PySide6.QtWidgets import QApplication

from kiosk.app.opening import guess_px_per_mm, make_window
from kiosk.app.setting_up import Around, SettingUp
from kiosk.core.set_up import Machine
from kiosk.core.station import Station
from kiosk.devices.clock import SystemClock
from kiosk.ui.parts.touch import TouchButton

CLOCK = (0.85, 0.0, 1.0, 0.075)
"""Where the page shows the time, as shares of its width and height: left, top, right, bottom."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FirstPage:
    """The page as a picture, and the middle of each key, by the name it has for a screen reader, in shares."""

    picture: Path
    keys: dict[str, tuple[float, float]]


def first_page(size: tuple[int, int], folder: Path) -> FirstPage:
    """Stand the page up on a screen of `size` pixels; its picture lies in `folder`."""
    clock = SystemClock()
    window = make_window(size, guess_px_per_mm(size), clock, held=True)
    around = Around(queues=lambda: (), cameras=lambda: (), places=lambda _folder: ())
    machine = Machine(panel=f"{size[0]}x{size[1]}")
    setting_up = SettingUp(window, folder, Station(), clock, side="clean", machine=machine, what=around)
    setting_up.start()
    window.show()
    QApplication.processEvents()
    keys = {}
    for key in window.findChildren(TouchButton):
        if key.isVisible():
            middle = key.mapTo(window, QPoint(key.width() // 2, key.height() // 2))
            keys[key.accessibleName()] = (middle.x() / size[0], middle.y() / size[1])
    picture = folder / "first-page.png"
    window.grab().save(str(picture))
    setting_up.stop()
    window.let_go()
    window.close()
    window.deleteLater()
    return FirstPage(picture=picture, keys=keys)


def departs(one: Path, other: Path) -> float:
    """The share of pixels that differ by more than 32 of 255 in any color, but for the clock. The sizes are equal."""
    with Image.open(one) as first, Image.open(other) as second:
        assert first.size == second.size
        apart = ImageChops.difference(first.convert("RGB"), second.convert("RGB"))
        wide, high = apart.size
        left, top, right, bottom = CLOCK
        box = (round(left * wide), round(top * high), round(right * wide), round(bottom * high))
        apart.paste((0, 0, 0), box)
        bands = [band.point(lambda value: 255 if value > 32 else 0) for band in apart.split()]
        most = ImageChops.lighter(ImageChops.lighter(bands[0], bands[1]), bands[2])
        return most.histogram()[255] / (wide * high)
