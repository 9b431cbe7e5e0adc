"""Pictures of a UVC camera through Qt Multimedia, plugged in and out while the bench works."""

import logging
from collections.abc import Callable, Sequence
from typing import Any, Protocol

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance, Slot

from kiosk.devices.feed_watch import FeedWatch
from kiosk.devices.multimedia import image_of, multimedia, quietly
from kiosk.devices.picture import LiveSource, State

log = logging.getLogger(__name__)

WANTED_PX = (1280, 720)
WANTED_RATE = 30.0
LOOK_AGAIN_MS = 2_000
"""So long after a camera failed it is tried again (a choice)."""


class Ports(Protocol):
    """What cameras there are, and how one is opened. `changed`: one was plugged in or out."""

    changed: SignalInstance

    def there(self) -> Sequence[tuple[str, str]]:
        """Id and name of each camera, the default one first."""
        ...

    def open(self, camera: str, came: Callable[[Any], None], broke: Callable[[str], None]) -> Callable[[], None]:
        """Open one: `came` is given each QVideoFrame, `broke` a reason. Returns what closes it.

        Raises LookupError where it was pulled out meanwhile.
        """
        ...


class QtPorts(QObject):
    """The cameras of this machine, as QMediaDevices tells them. Raises ImportError where there is no Qt Multimedia."""

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._media = multimedia()
        with quietly():
            self._devices = self._media.QMediaDevices(self)
            self._devices.videoInputsChanged.connect(self.changed)

    def there(self) -> Sequence[tuple[str, str]]:
        """Id and name of each camera, the default one first."""
        with quietly():
            found = [(_id_of(each), each.description()) for each in self._media.QMediaDevices.videoInputs()]
            default = _id_of(self._media.QMediaDevices.defaultVideoInput())
        return sorted(found, key=lambda each: each[0] != default)

    def open(self, camera: str, came: Callable[[Any], None], broke: Callable[[str], None]) -> Callable[[], None]:
        """Open the camera with this id. Raises LookupError where it is there no more."""
        media = self._media
        with quietly():
            device = next((each for each in media.QMediaDevices.videoInputs() if _id_of(each) == camera), None)
            if device is None:
                raise LookupError(f"no camera {camera}")
            lens, session, sink = media.QCamera(device, self), media.QMediaCaptureSession(self), media.QVideoSink(self)
            chosen = best_format(device.videoFormats())
            if chosen is not None:
                lens.setCameraFormat(chosen)
            session.setCamera(lens)
            session.setVideoSink(sink)
        taking = _Taking(sink, lens, came, broke, self)
        lens.start()

        def close() -> None:
            taking.let_go()
            lens.stop()
            session.setVideoSink(None)
            session.setCamera(None)
            for each in (taking, session, sink, lens):
                each.deleteLater()

        return close


class _Taking(QObject):
    """Takes frames and faults over to the main thread."""

    def __init__(
        self, sink: Any, lens: Any, came: Callable[[Any], None], broke: Callable[[str], None], parent: QObject
    ) -> None:
        super().__init__(parent)
        self._sink, self._lens, self._tell, self._broke, self._last = sink, lens, came, broke, None
        sink.videoFrameChanged.connect(self._came)
        lens.errorOccurred.connect(self._on_error)

    def let_go(self) -> None:
        self._sink.videoFrameChanged.disconnect(self._came)
        self._lens.errorOccurred.disconnect(self._on_error)
        self._sink = None

    @Slot()
    def _came(self) -> None:
        if self._sink is None:
            return
        frame = self._sink.videoFrame()
        if frame.isValid() and frame != self._last:
            self._last = frame
            self._tell(frame)

    @Slot(object, str)
    def _on_error(self, _error: Any, why: str) -> None:
        if self._sink is not None:
            self._broke(why)


def _id_of(device: Any) -> str:
    return bytes(device.id().data()).decode("utf-8", "replace")


def best_format(formats: Sequence[Any]) -> Any:
    """Of QCameraFormats the one nearest to 1280x720, then nearest to 30 frames a second; None of none."""

    def off(each: Any) -> tuple[int, float]:
        size = each.resolution()
        return (
            abs(size.width() - WANTED_PX[0]) + abs(size.height() - WANTED_PX[1]),
            abs(each.maxFrameRate() - WANTED_RATE),
        )

    return min(formats, key=off, default=None)


class CameraSource(LiveSource):
    """The camera named `wanted` (a part of its name; "": the machine's default), now or when it is plugged in."""

    def __init__(
        self,
        clock: Callable[[], int],
        *,
        wanted: str = "",
        ports: Ports | None = None,
        watch: FeedWatch | None = None,
        again_ms: int = LOOK_AGAIN_MS,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(clock, watch=watch, parent=parent)
        self.wanted = wanted
        self._ports = ports
        self._camera = ""
        self._close: Callable[[], None] | None = None
        self._again = QTimer(self, singleShot=True, interval=again_ms)
        self._again.timeout.connect(self._plugged)

    def begin(self) -> None:
        """Look for the camera, and listen for plugs."""
        if self._ports is None:
            try:
                self._ports = QtPorts(self)
            except ImportError as fault:
                log.info("no camera: %s", fault)
                self.say(State.NONE)
                return
        self._ports.changed.connect(self._plugged)
        self._plugged()

    def end(self) -> None:
        """Let go of the camera."""
        self._again.stop()
        if self._ports is not None:
            self._ports.changed.disconnect(self._plugged)
        self._let_go()

    @Slot()
    def _plugged(self) -> None:
        """Something was plugged in or out, or a fault is long enough ago to try again."""
        if self._ports is None or not self.running:
            return
        there = self._ports.there()
        if self._close is not None and self._camera in {camera for camera, _ in there}:
            return
        was_there = bool(self._camera)
        self._let_go()
        fits = [(camera, name) for camera, name in there if self.wanted.casefold() in name.casefold()]
        if not fits:
            self.say(State.GONE if was_there or self.state is State.GONE else State.NONE)
            return
        self._camera, name = fits[0]
        log.info("the camera is %s", name)
        self.waits()
        try:
            self._close = self._ports.open(self._camera, self._came, self._broke)
        except LookupError:
            self._broke("it was pulled out before it was opened")

    def _came(self, frame: Any) -> None:
        self.show(image_of(frame))

    def _broke(self, why: str) -> None:
        log.info("the camera: %s", why)
        self._let_go()
        self.say(State.GONE)
        self._again.start()

    def _let_go(self) -> None:
        close, self._close, self._camera = self._close, None, ""
        if close is not None:
            close()
