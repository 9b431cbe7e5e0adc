"""A source of pictures: the one seam behind which a camera, a stream, a video file or a folder stands.

What is shown of a source is its newest frame and one sentence. A source never raises once it runs: what goes wrong is
a state, and the work goes on without a picture.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

from PySide6.QtCore import QObject, QTimer, Signal, SignalInstance, Slot
from PySide6.QtGui import QImage

from kiosk.devices.feed_watch import Feed, FeedWatch
from kiosk.devices.picture_content import content_of, lightest_of

LOOK_EVERY_MS = 250
"""So often a source looks whether its feed still lives, and at most so often at what a frame holds (a choice)."""

ABOUT_MOST = 60
"""Letters of a foreign name that are shown."""


class State(StrEnum):
    """How a source stands. Each is a sentence in the words files, under `source`."""

    NONE = "none"  # there is no source to take pictures from
    STARTING = "starting"  # asked for, no picture yet
    LIVE = "live"
    FROZEN = "frozen"  # nothing new comes
    BLACK = "black"  # pictures come, and show nothing
    ENDED = "ended"  # a video file was shown to its end
    GONE = "gone"  # it was unplugged, cut, or can not be reached
    UNREADABLE = "unreadable"  # what came is no picture; `about` names it


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """One picture: its running number from 1, and when it came by the steady clock, in ms."""

    image: QImage
    number: int
    at_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Still:
    """A frame to be kept. `original`: the bytes of the file that it came in, unchanged, named `name`; None: no file."""

    frame: Frame
    original: bytes | None = None
    name: str = ""


class PictureSource(Protocol):
    """What the screens know of a source. `framed` carries a Frame, `state_changed` a State; both on the main thread."""

    framed: SignalInstance
    state_changed: SignalInstance

    @property
    def state(self) -> State:
        """How it stands now."""
        ...

    @property
    def about(self) -> str:
        """The name that goes into the sentence of the state, or ""."""
        ...

    def start(self) -> None:
        """Begin to give frames. A second call changes nothing."""
        ...

    def stop(self) -> None:
        """Let go of the device, the connection, the folder."""
        ...

    def still(self) -> Still | None:
        """The newest frame; None where none came since the start."""
        ...


def shown_name(name: str) -> str:
    """A foreign file's or device's name as it may be shown: printable, and not longer than a line."""
    clear = re.sub(r"\s+", " ", "".join(each if each.isprintable() else " " for each in name)).strip()
    return clear if len(clear) <= ABOUT_MOST else clear[: ABOUT_MOST - 1] + "…"


class LiveSource(QObject):
    """What all sources share: frames counted and timed, the feed watched, the state told when it changes.

    A kind of source overrides `begin` and `end`, hands its pictures to `show`, and tells with `say` what the watch can
    not see (unplugged, ended). `clock`: the steady clock, ms.
    """

    framed = Signal(object)
    state_changed = Signal(object)

    def __init__(
        self, clock: Callable[[], int], *, watch: FeedWatch | None = None, parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self.clock = clock
        self._watch = watch or FeedWatch()
        self._state, self._about = State.NONE, ""
        self._running = False
        self._newest: Still | None = None
        self._count = 0
        self._looked_at = 0
        self._timer = QTimer(self, interval=LOOK_EVERY_MS)
        self._timer.timeout.connect(self.look)

    @property
    def state(self) -> State:
        return self._state

    @property
    def about(self) -> str:
        return self._about

    @property
    def running(self) -> bool:
        """Was it started, and not stopped?"""
        return self._running

    def start(self) -> None:
        """Begin to give frames."""
        if self._running:
            return
        self._running, self._newest = True, None
        self.waits()
        self.begin()
        self._timer.start()

    def stop(self) -> None:
        """Let go of everything; the state is that of no source."""
        if not self._running:
            return
        self._running = False
        self._timer.stop()
        self.end()
        self._newest = None
        self.say(State.NONE)

    def still(self) -> Still | None:
        return self._newest

    def begin(self) -> None:
        """Take hold of the device."""
        raise NotImplementedError

    def end(self) -> None:
        """Let go of it."""
        raise NotImplementedError

    def waits(self) -> None:
        """From now on a first picture is waited for."""
        self._watch.begin(self.clock())
        self.say(State.STARTING)

    def anew(self) -> None:
        """The next picture stands for itself: that it is as the one before says nothing."""
        self._watch.begin(self.clock())

    def show(self, image: QImage, *, original: bytes | None = None, name: str = "") -> None:
        """A picture came. An empty one is none."""
        if not self._running or image.isNull():
            return
        now = self.clock()
        self._count += 1
        frame = Frame(image=image, number=self._count, at_ms=now)
        self._newest = Still(frame=frame, original=original, name=name)
        if self._state is not State.LIVE or now - self._looked_at >= LOOK_EVERY_MS:
            self._looked_at = now
            self._watch.saw(content_of(image), lightest_of(image), now)
            self.say(_STATES[self._watch.feed(now)])
        self.framed.emit(frame)

    @Slot()
    def look(self) -> None:
        """Does the feed still live? Called by itself; what was said of a source that is away stays."""
        if self._state in {State.STARTING, State.LIVE, State.FROZEN, State.BLACK}:
            self.say(_STATES[self._watch.feed(self.clock())])

    def say(self, state: State, about: str = "") -> None:
        """How it stands from now on; told only where it is another than before."""
        about = shown_name(about)
        if (state, about) != (self._state, self._about):
            self._state, self._about = state, about
            self.state_changed.emit(state)


_STATES = {
    Feed.WAITING: State.STARTING,
    Feed.LIVE: State.LIVE,
    Feed.FROZEN: State.FROZEN,
    Feed.BLACK: State.BLACK,
    Feed.NEVER_CAME: State.GONE,
}
