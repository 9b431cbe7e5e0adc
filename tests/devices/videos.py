"""Short videos of a tube, made for a test: frames painted here, put into a file by the program FFmpeg."""

import subprocess
from collections.abc import Callable, Iterable
from pathlib import Path

import numpy as np
from imageio_ffmpeg import get_ffmpeg_exe
from numpy.typing import NDArray

from kiosk.devices.picture import PictureSource, State

Picture = NDArray[np.uint8]

WIDTH, HEIGHT, RATE = 320, 240, 30
MARK = 16  # side of the moving mark, px


def tube(light: float = 1.0) -> Picture:
    """A view down a tube, rows x columns x RGB: walls light, the middle dark, warm as steel under a lamp."""
    y, x = np.mgrid[0:HEIGHT, 0:WIDTH]
    out = np.hypot((x - WIDTH / 2) / (WIDTH / 2), (y - HEIGHT / 2) / (HEIGHT / 2))
    wall = np.clip(30 + 170 * out, 0, 210) * light
    return np.stack([wall, wall * 0.97, wall * 0.93], axis=-1).astype(np.uint8)


def mark_at(number: int) -> tuple[int, int]:
    """Left and upper edge of the mark in frame `number` (from 0): it goes 4 px a frame to the right."""
    return 8 + 4 * number, 40


def moving(count: int, *, first: int = 0) -> list[Picture]:
    """Frames of a tube in which a red mark moves."""
    frames = []
    for number in range(first, first + count):
        frame = tube()
        left, top = mark_at(number)
        frame[top : top + MARK, left : left + MARK] = (230, 20, 20)
        frames.append(frame)
    return frames


def found_mark(frame: Picture) -> float:
    """Where the middle of the red is, across, px."""
    red = (frame[..., 0].astype(int) - frame[..., 1]) > 90
    return float(np.nonzero(red)[1].mean()) if red.any() else -1.0


def shown_until(source: PictureSource, there: Callable[[], bool]) -> bool:
    """Is it there? Where the film ended before: show it again, as a busy machine may not read it in its time."""
    if there():
        return True
    if source.state is State.ENDED:
        source.stop()
        source.start()
    return False


def film(path: Path, frames: Iterable[Picture], *, rate: int = RATE, code: str = "mpeg4") -> Path:
    """Write the frames as a video file; its container goes by the suffix. `code` "mjpeg" codes each by itself, as a
    UVC camera does: the same frame is then the same picture."""
    frames = list(frames)
    height, width = frames[0].shape[:2]
    call = [get_ffmpeg_exe(), "-v", "error", "-y", "-f", "rawvideo", "-pix_fmt", "rgb24", "-s", f"{width}x{height}"]
    call += ["-r", str(rate), "-i", "-", "-c:v", code, "-q:v", "2", "-g", "15", "-strict", "-1"]
    call += ["-pix_fmt", "yuvj420p" if code == "mjpeg" else "yuv420p", str(path)]
    subprocess.run(call, input=b"".join(frame.tobytes() for frame in frames), check=True)
    return path
