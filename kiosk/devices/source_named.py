"""The source of pictures that a station is set to: `camera`, a stream's address, a video file, a folder."""

import re
from collections.abc import Callable
from concurrent.futures import Executor
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from PySide6.QtCore import QUrl

from kiosk.devices.picture import PictureSource

SCHEMES = frozenset({"http", "https", "rtsp", "rtsps"})
VIDEOS = frozenset({".avi", ".m4v", ".mkv", ".mov", ".mp4", ".mpeg", ".mpg", ".ts", ".webm"})
"""Files that hold their pictures themselves. A play list is none of them: it could name anything on any machine."""


class SightFault(ValueError):
    """A source that cannot be meant; the message is one sentence."""


class SightKind(StrEnum):
    """What pictures come from."""

    CAMERA = "camera"
    STREAM = "stream"
    FILE = "file"
    FOLDER = "folder"


@dataclass(frozen=True, slots=True, kw_only=True)
class Sight:
    """Which source: `where` is a part of the camera's name ("": the default one), an address, or a path."""

    kind: SightKind
    where: str = ""


def sight_from(text: str) -> Sight:
    """Read the setting. Raises SightFault; asks no network."""
    told = text.strip()
    if not told:
        raise SightFault("no source is named: give camera, an address, a video file or a folder")
    kind, colon, name = told.partition(":")
    if kind == "camera":
        if colon and not name.strip():
            raise SightFault(f"{text}: after camera: comes a part of the camera's name")
        return Sight(kind=SightKind.CAMERA, where=name.strip())
    if "://" in told:
        return _stream(told)
    path = Path(told).expanduser()
    if path.is_dir():
        return Sight(kind=SightKind.FOLDER, where=str(path.resolve()))
    if not path.exists():
        raise SightFault(f"{text}: there is no such file or folder, and it is not camera or an address")
    if not path.is_file() or path.suffix.lower() not in VIDEOS:
        raise SightFault(f"{text}: is no video file ({', '.join(sorted(VIDEOS))}) and no folder")
    if _is_list(path):
        raise SightFault(f"{text}: is a play list; name the video itself")
    return Sight(kind=SightKind.FILE, where=str(path.resolve()))


def _stream(told: str) -> Sight:
    url = QUrl(told, QUrl.ParsingMode.StrictMode)
    if not url.isValid() or not url.host():
        raise SightFault(f"{_public(told)}: is not an address such as rtsp://scope.example/live")
    if url.scheme() not in SCHEMES:
        raise SightFault(f"{url.scheme()}: streams come by {', '.join(sorted(SCHEMES))}")
    return Sight(kind=SightKind.STREAM, where=told)


def _public(told: str) -> str:
    """An address as it may be shown: without the name and the password of who asks."""
    return re.sub(r"(?<=://).*@", "", told, flags=re.DOTALL)


def _is_list(path: Path) -> bool:
    try:
        with path.open("rb") as file:
            return file.read(64).lstrip(b"\xef\xbb\xbf \r\n").lower().startswith((b"#extm3u", b"ffconcat", b"v=0"))
    except OSError as fault:
        raise SightFault(f"{path}: cannot be read ({fault.strerror})") from fault


def open_source(sight: Sight, clock: Callable[[], int], worker: Executor) -> PictureSource:
    """The source, not started yet. `clock`: the steady clock, ms; `worker`: what slow looks run on."""
    match sight.kind:
        case SightKind.CAMERA:
            from kiosk.devices.camera import CameraSource

            return CameraSource(clock, wanted=sight.where)
        case SightKind.FOLDER:
            from kiosk.devices.picture_folder import FolderSource

            return FolderSource(Path(sight.where), clock, worker)
        case SightKind.FILE:
            from kiosk.devices.stream import StreamSource

            return StreamSource(QUrl.fromLocalFile(sight.where), clock)
        case SightKind.STREAM:
            from kiosk.devices.stream import StreamSource

            return StreamSource(QUrl(sight.where), clock)
