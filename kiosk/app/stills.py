"""Stills at the running bench: measured and written on the worker, told to the log once they are on the disk."""

import logging
import re
from collections.abc import Callable, Sequence
from concurrent.futures import Executor, Future
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Qt, Signal, Slot
from PySide6.QtGui import QImage

from kiosk.app.comparing import Comparing
from kiosk.app.picture_fault import why_words
from kiosk.app.picture_place import CarriesPlace, carries_place
from kiosk.app.shelf import linked_pictures, make_room_for
from kiosk.app.still_pictures import Measured, measured, png_of, suffix_of
from kiosk.app.thumbnails import Thumbnails
from kiosk.core.commands import KeepStill, Page, TellRoomMade
from kiosk.core.events import StillKept
from kiosk.core.stamp import Kept
from kiosk.core.viewing.stills import of_words
from kiosk.devices.picture import PictureSource, Still
from kiosk.store.bench_store import Outage

if TYPE_CHECKING:
    from kiosk.app.kiosk import Kiosk

log = logging.getLogger(__name__)


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What came of writing a still: `told`, to be kept in the log; or `fault`. `gone`: pictures that made room."""

    told: KeepStill | None = None
    fault: Exception | None = None
    gone: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """A still on its way to the disk: what it is of, and who measures it."""

    still: Still
    of: KeepStill
    measuring: Future[Measured | None] | None


class Stills(QObject):
    """Follows the camera page of one running bench.

    The original is kept as it came; a file that says where on the map it was taken is refused, because taking that
    out would make it another file. Nothing is told as kept before the disk and the log have it.
    """

    _done = Signal()

    def __init__(self, kiosk: "Kiosk", worker: Executor, looker: Executor, source: PictureSource | None) -> None:
        super().__init__()
        self._kiosk, self._worker = kiosk, worker
        self._still: Still | None = None
        self._name = ""
        self._measuring: Future[Measured | None] | None = None
        self._told: Still | None = None  # of which a sentence was said
        self._roomed: Still | None = None  # for which room was made
        self._writing: dict[Future[Written], Going] = {}
        self.thumbs = Thumbnails(kiosk.store.store.folder / "thumbnails", kiosk.still, looker, kiosk.repaint)
        self._done.connect(self.take, Qt.ConnectionType.QueuedConnection)  # never before `_writing` has it
        window: Any = kiosk.window
        window.set_source(source, self.thumbs.find)
        window.still_frozen.connect(self.freeze)
        window.still_wanted.connect(self.keep)
        window.still_said.connect(self.heard)
        self.comparing = Comparing(kiosk, looker)

    @property
    def busy(self) -> bool:
        """Is a still on its way to the disk?"""
        return bool(self._writing)

    @Slot(object)
    def freeze(self, still: Still) -> None:
        """A still was frozen: measure it, and say one quiet sentence where it can hardly be read."""
        self._still, self._name = still, f"{self._kiosk.clock.now().at_ms}{suffix_of(still.name)}"
        self.say("")
        self._measuring = self._submit(_measured, still.frame.image)

    @Slot(object, object)
    def keep(self, still: Still, of: KeepStill) -> None:
        """Write the still, then tell it to the log. Touched again after a fault, it is written under the same name."""
        if still is not self._still:
            self.freeze(still)
        self.say("")
        parts = "_".join((of.trip, of.piece, of.lumen or "piece", self._name))
        named = replace(of, file=re.sub(r"[^\w.-]+", "-", parts))
        self._write(Going(still=still, of=named, measuring=self._measuring), make_room=False)

    def _write(self, going: Going, *, make_room: bool) -> None:
        names = frozenset({going.of.file, *(other.of.file for other in self._writing.values())})
        writing = self._submit(self._written, going, names if make_room else None)
        if writing is None:
            self._kiosk.window.still_settled(going.still, kept=False)
        else:
            self._writing[writing] = going

    def _submit(self, run: Callable[..., Any], *args: Any) -> Future[Any] | None:
        with suppress(RuntimeError):  # the worker is being shut down
            future = self._worker.submit(run, *args)
            future.add_done_callback(self._poke)
            return future
        return None

    def _poke(self, _future: object) -> None:
        with suppress(RuntimeError):  # the bench may have ended meanwhile
            self._done.emit()

    def _written(self, going: Going, names: frozenset[str] | None) -> Written:
        """On the worker: the bytes as they came, or the frame without loss; durably; then how it looks in small.

        `names`: room is to be made, and these are on their way to the log; None: no room is made. What the log names
        is asked here, after every still that was written before, so that none of them makes room.
        """
        still, of, store, gone = going.still, going.of, self._kiosk.store, 0
        image = still.frame.image
        try:
            data = png_of(image) if still.original is None else still.original
            if still.original is not None and carries_place(data):
                return Written(fault=CarriesPlace("a place on the map"))
            if names is not None:
                gone = make_room_for(store, len(data), self._kiosk.shelves.incoming, linked_pictures(store) | names)
            digest = store.keep_picture(of.file, data)
        except Exception as fault:  # whatever it is, whoever stands here is told
            if not isinstance(fault, OSError | ValueError | Outage):
                log.exception("a still could not be written")
            return Written(fault=fault, gone=gone)
        found = going.measuring.result() if going.measuring is not None else None
        told = replace(
            of,
            sha256=digest,
            size=len(data),
            width=image.width(),
            height=image.height(),
            quality=found.quality if found else None,
        )
        try:
            self.thumbs.make_of(of.file, image)
        except Exception:
            log.exception("a kept still could not be made small")
        return Written(told=told, gone=gone)

    @Slot()
    def take(self) -> None:
        """What the worker has done by now: tell it to the log, and to whoever stands here."""
        measuring = self._measuring
        if measuring is not None and measuring.done() and not measuring.cancelled() and not self.busy:
            self._measuring_said(measuring)
        for writing in [each for each in self._writing if each.done()]:
            going = self._writing.pop(writing)
            if not writing.cancelled():  # the bench ends
                self._settle(going, writing.result())

    def _measuring_said(self, measuring: "Future[Measured | None]") -> None:
        found, still = measuring.result(), self._still
        if found is not None and still is not None and found.said and self._told is not still:
            self._told = still
            self.say(found.said)

    def _settle(self, going: Going, written: Written) -> None:
        still, of, fault, kiosk = going.still, going.of, written.fault, self._kiosk
        if isinstance(fault, Outage) and fault.key == "disk_full" and not written.gone:
            self._once_more(going, fault)
            return
        if written.told is None:
            log.info("a still was not kept: %s", fault)
            self._tell_room(written.gone)
            self._fail(still, of, fault)
            return
        kepts = kiosk.session.send(written.told)
        kiosk.window.still_settled(still, kept=bool(kepts))
        if kepts:
            if self._still is still:
                self._still = None
            self._say("notice.still_kept", {"n": _number(kepts)})
        self._tell_room(written.gone)
        kiosk.repaint()

    def _tell_room(self, gone: int) -> None:
        """The lead is told of pictures that made room; whoever is at another page stays there."""
        session = self._kiosk.session
        if gone:
            turn = session.turn
            session.send(TellRoomMade(count=gone))
            session.turn = turn

    def _once_more(self, going: Going, fault: Outage) -> None:
        """The disk is full: once, pictures that nothing in the log names make room."""
        if self._roomed is going.still:
            self._fail(going.still, going.of, fault)
            return
        self._roomed = going.still
        self._write(going, make_room=True)

    def _fail(self, still: Still, of: KeepStill, fault: Exception | None) -> None:
        """Say why, on the page where it stands frozen again; on any other page also of what it was."""
        session, place = self._kiosk.session, isinstance(fault, CarriesPlace)
        names = {} if place else {"why": why_words(fault)}
        if self._kiosk.window.still_settled(still, kept=False) and self._at_camera:
            self._say("refused.still_place" if place else "refused.still_not_kept", names)
        else:
            key = "refused.still_place_lost" if place else "refused.still_lost"
            session.notice = key, {**names, "piece": self._piece_words(of)}
        self._kiosk.repaint()

    def _piece_words(self, of: KeepStill) -> str:
        glance = self._kiosk.session.glance()
        trip = glance.bench.trips.get(of.trip)
        piece = trip.pieces.get(of.piece) if trip else None
        return of_words(glance, piece, of.lumen) if piece else of.piece

    @Slot(str)
    def heard(self, key: str) -> None:
        """What the camera page says; "" where a frozen still was given up: of that one nothing more is said."""
        if not key:
            self._still = None
            self._leave_unmeasured()
        self.say(key)

    def _leave_unmeasured(self) -> None:
        """Nobody waits for the measures of a still that was given up: the worker need not begin with them."""
        if self._measuring is not None:
            self._measuring.cancel()
            self._measuring = None

    @Slot(str)
    def say(self, key: str) -> None:
        """A quiet sentence on the camera page, by its key; "" takes the one before away."""
        self._say(key, {})
        self._kiosk.repaint()

    def _say(self, key: str, names: dict[str, Any]) -> None:
        if self._at_camera:
            self._kiosk.session.notice = (key, names) if key else None

    @property
    def _at_camera(self) -> bool:
        turn = self._kiosk.session.turn
        return turn is not None and turn.page is Page.CAMERA


def _measured(image: QImage) -> Measured | None:
    """On the worker: a still that can not be measured, for whatever reason, is kept all the same."""
    try:
        return measured(image)
    except Exception:
        log.exception("a still could not be measured")
        return None


def _number(kepts: Sequence[Kept]) -> int:
    return next((kept.event.n for kept in kepts if isinstance(kept.event, StillKept)), 0)
