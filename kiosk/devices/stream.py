"""Pictures of a video file or a network stream, through QMediaPlayer."""

import logging
import os
from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QObject, QTimer, QUrl, Slot

from kiosk.devices.feed_watch import FeedWatch
from kiosk.devices.multimedia import image_of, multimedia, quietly
from kiosk.devices.picture import LiveSource, State

log = logging.getLogger(__name__)

AGAIN_MS = 3_000
"""So long after a stream was cut it is asked for again (a choice)."""

PROTOCOLS = {"file": "file", "stream": "http,https,httpproxy,tcp,tls,rtsp,rtsps,rtp,rtcp,udp,crypto"}
"""What the reader may open besides the address itself: of a file on the disk nothing that lies on a network."""


class StreamSource(LiveSource):
    """`url`: of a file, which ends; or of a stream, whose end is a cut, and which is asked for again until `stop`.

    No sound of it is played. The player is asked for nothing but `url`.
    """

    def __init__(
        self,
        url: QUrl,
        clock: Callable[[], int],
        *,
        watch: FeedWatch | None = None,
        again_ms: int = AGAIN_MS,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(clock, watch=watch, parent=parent)
        self.url = url
        self._player: Any = None
        self._sink: Any = None
        self._last: Any = None
        self._again = QTimer(self, singleShot=True, interval=again_ms)
        self._again.timeout.connect(self._ask_again)

    def begin(self) -> None:
        """Make the player and ask for the pictures. On a machine that can play nothing the source is gone."""
        os.environ["QT_FFMPEG_PROTOCOL_WHITELIST"] = PROTOCOLS["file" if self.url.isLocalFile() else "stream"]
        try:
            media = multimedia()
        except ImportError as fault:
            log.info("no pictures from %s: %s", _shown(self.url), fault)
            self.say(State.GONE)
            return
        with quietly():
            self._player, self._sink = media.QMediaPlayer(self), media.QVideoSink(self)
            self._player.setVideoSink(self._sink)
        self._sink.videoFrameChanged.connect(self._came)
        self._player.mediaStatusChanged.connect(self._on_status)
        self._player.errorOccurred.connect(self._on_error)
        self._ask()

    def end(self) -> None:
        """Hang up."""
        self._again.stop()
        if self._player is None:
            return
        self._sink.videoFrameChanged.disconnect(self._came)
        self._player.mediaStatusChanged.disconnect(self._on_status)
        self._player.errorOccurred.disconnect(self._on_error)
        self._player.stop()
        self._player.setVideoSink(None)
        self._player.deleteLater()
        self._sink.deleteLater()
        self._player = self._sink = self._last = None

    @Slot()
    def _ask_again(self) -> None:
        """Not where it came back by itself meanwhile."""
        if self.state not in {State.LIVE, State.BLACK}:
            self._ask()

    def _ask(self) -> None:
        self.waits()
        with quietly():
            self._player.setSource(QUrl())
            self._player.setSource(self.url)
            self._player.play()

    @Slot()
    def _came(self) -> None:
        """The newest frame; where several came while the screen was busy, those between are left out."""
        if self._sink is None:
            return
        frame = self._sink.videoFrame()
        if frame.isValid() and frame != self._last:
            self._last = frame
            self.show(image_of(frame))

    @Slot(object)
    def _on_status(self, status: Any) -> None:
        if status == type(status).EndOfMedia:
            self._away(State.ENDED if self.url.isLocalFile() else State.GONE)
        elif status == type(status).InvalidMedia:
            self._away(State.GONE)

    @Slot(object, str)
    def _on_error(self, _error: Any, why: str) -> None:
        log.info("pictures from %s: %s", _shown(self.url), why)
        self._away(State.GONE)

    def _away(self, state: State) -> None:
        if not self.running:
            return
        self.say(state)
        if not self.url.isLocalFile():
            self._again.start()

    @Slot()
    def look(self) -> None:
        """As every source; and a stream that froze or never came is asked for again."""
        super().look()
        stuck = self.state in {State.FROZEN, State.GONE}
        if stuck and self._player is not None and not self.url.isLocalFile() and not self._again.isActive():
            self._again.start()


def _shown(url: QUrl) -> str:
    """Host and path: an address may carry a password."""
    return f"{url.host()}{url.path()}"
