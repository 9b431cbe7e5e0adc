"""Carries the log to the hub and back, on a thread of its own: the screen never waits for it, whatever the hub does.

What was fetched waits in a tray until the bench's own thread takes it in; as long as it lies there nothing more is
fetched, so what the store says is known is always the truth. Sending goes on meanwhile. Pictures go last: only when no
event waits here or at the hub, a few parts at a time.
"""

import json
import logging
import random
import socket
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from hashlib import md5
from pathlib import Path
from selectors import EVENT_READ, DefaultSelector
from threading import Lock, Thread
from time import monotonic, sleep, time

from kiosk.store.outage import Outage
from kiosk.sync.entry import Entry
from kiosk.sync.exchange import Verdict, fetch_moved, send_own
from kiosk.sync.hub import Hub
from kiosk.sync.own import OwnLog
from kiosk.sync.pictures import AGAIN_S, NAMING, PictureCarrier, Wanted
from kiosk.sync.segment import Segment

log = logging.getLogger(__name__)

QUICK_S, CALM_S = 1.0, 5.0
"""Between two rounds: where others' answers are waited for on the screen, and elsewhere."""
LEAST_BACK_S, MOST_BACK_S = 1.0, 300.0
"""How long a hub that did not answer is left alone: twice as long each time."""
SETTLE_S = 0.2
"""From a nudge to the round: the screen is painted first, and what belongs together goes together."""
AT_MOST = 2000
"""Events fetched at once, so that the screen never waits long while they are taken in."""
SEEN = "hub.seen"
"""A file in the store whose age is the time of the last round that went well: it outlives a restart.

It says how far the hub had each own log then: a hint, for a bundle of what the hub lacks.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CourierState:
    """For the supervisor's desk. `ok_ms`: when the hub last answered, 0 never; `key`: an outage's, "" none.

    `pictures`: how many came since the start.
    """

    ok_ms: int = 0
    key: str = ""
    said: str = ""
    waiting: int = 0
    verdicts: tuple[Verdict, ...] = ()
    pictures: int = 0


class Courier:
    """One bench's courier to one hub. `start`, then `take` now and then, `stop` at the end."""

    def __init__(
        self,
        store: Path,
        url: str,
        entry: Entry,
        *,
        plain: bool = False,
        quick: bool = False,
        wall_ms: Callable[[], int] = lambda: int(time() * 1000),
        patience_s: float | None = None,
    ) -> None:
        more = {} if patience_s is None else {"patience_s": patience_s}
        self._hub = Hub(url, plain=plain, user=entry.login, password=entry.password, sslrootcert=entry.ca, **more)
        self._store, self._wall_ms = store, wall_ms
        self._channel = f"sync_{md5(entry.department.encode(), usedforsecurity=False).hexdigest()[:16]}"
        self._quick, self._every_s = quick, QUICK_S if quick else CALM_S
        self._lock = Lock()
        self._tray: list[Segment] = []
        self._refused: dict[str, int] = {}
        self._state = CourierState(ok_ms=_seen_ms(store))
        self._ended = False
        self._carrier, self._read = PictureCarrier(store, self._hub), dict[str, int]()
        self._wanted: tuple[Wanted, ...] = ()
        self._pictures_again = 0.0
        self._chance = random.Random()
        self._bell, self._ear = socket.socketpair()
        self._thread = Thread(target=self._run, name="courier", daemon=True)

    @property
    def state(self) -> CourierState:
        """How it stands now; from any thread."""
        with self._lock:
            return self._state

    def start(self) -> None:
        """Set out."""
        self._thread.start()

    def take(self) -> list[Segment]:
        """What was fetched since, for the bench's own thread; the tray is empty then."""
        with self._lock:
            taken, self._tray = self._tray, []
        return taken

    def refuse(self, segment: Segment) -> None:
        """It was not taken in: it is brought again when the hub has more of that log, or after a restart."""
        with self._lock:
            self._refused[segment.origin] = segment.last

    def want(self, wanted: Sequence[Wanted]) -> None:
        """Pictures that this station shows, what is looked at first standing first; from any thread."""
        with self._lock:
            self._wanted = tuple(wanted)

    def nudge(self) -> None:
        """Something was kept, or taken in: do not wait for the next round."""
        with suppress(OSError):
            self._bell.send(b"!")

    def stop(self) -> None:
        """Come home; at most one answer is still waited for."""
        self._ended = True
        self.nudge()
        self._thread.join()
        self._hub.close()
        self._bell.close()
        self._ear.close()

    def _run(self) -> None:
        own: OwnLog | None = None
        tries = 0
        while not self._ended:
            try:
                own = own or OwnLog(self._store)
                pause = SETTLE_S if self._round(own) else self._every_s
                tries = 0
            except Outage as outage:
                tries += 1
                pause = back_off(tries)
                self._note(key=outage.key, said=str(outage))
                log.info("the hub is asked again in %.0f s: %s", pause, outage)
            self._wait(pause * self._chance.uniform(0.8, 1.2), wakes=not tries)
        if own is not None:
            own.close()

    def _round(self, own: OwnLog) -> bool:
        """One round; are there pictures that go on at once?"""
        fresh = self._hub.handle() is None
        sent = send_own(own, self._hub, sent_ms=self._wall_ms, stop=lambda: self._ended)
        if fresh and self._quick:  # a station that is woken by every other one asks the hub more than all its rounds do
            self._hub.listen(self._channel)
        with self._lock:
            full, refused = bool(self._tray), dict(self._refused)
        if not full:
            fetched = fetch_moved(own, self._hub, sent, limit=AT_MOST, refused=refused)
            full = bool(fetched)
            with self._lock:
                self._tray = fetched
        self._note(ok_ms=self._wall_ms(), key="", said="", waiting=sent.waiting, verdicts=tuple(sent.verdicts))
        with suppress(OSError):  # a full disk says so elsewhere
            _note_seen(self._store, sent.acked)
        if fresh:
            self._carrier.forget()
        return not (full or sent.waiting or self._ended) and self._carry(own)

    def _carry(self, own: OwnLog) -> bool:
        """Nothing else waits: pictures. Is there more?

        What goes wrong with them keeps no event waiting: a slow line, a full hub, one that an older program laid.
        """
        if monotonic() < self._pictures_again:
            return False
        bodies, self._read = own.naming(NAMING, self._read)
        self._carrier.take(bodies)
        with self._lock:
            wanted = self._wanted
        try:
            more = self._carrier.carry(wanted, monotonic())
        except Outage as outage:
            log.info("pictures wait: %s", outage)
            self._pictures_again = monotonic() + AGAIN_S
            more = False
        self._note(pictures=self._carrier.got)
        return more

    def _note(self, **changed: object) -> None:
        with self._lock:
            self._state = replace(self._state, **changed)  # type: ignore[arg-type]

    def _wait(self, seconds: float, *, wakes: bool) -> None:
        """Until the next round, or what `wakes` before it: a nudge, or the hub's word that others sent something."""
        until, handle = monotonic() + seconds, self._hub.handle() if wakes else None
        with DefaultSelector() as lines:
            lines.register(self._ear, EVENT_READ)
            if handle is not None:
                lines.register(handle, EVENT_READ)
            while not self._ended and (left := until - monotonic()) > 0:
                ready = {key.fileobj for key, _ in lines.select(left)}
                if self._ear in ready:
                    self._ear.recv(4096)
                if handle in ready:
                    with suppress(Outage):  # the next round says what is wrong
                        self._hub.wakes()
                if ready and wakes and not self._ended:
                    sleep(SETTLE_S)
                    return


def back_off(tries: int) -> float:
    """Seconds until the next try after so many that went wrong one after the other."""
    return min(MOST_BACK_S, LEAST_BACK_S * 2.0 ** min(tries - 1, 30))


def acknowledged(store: Path) -> dict[str, int]:
    """How far the hub had each own log when it last answered; nothing where that is not known."""
    try:
        told = json.loads((store / SEEN).read_bytes())
        return {str(origin): int(seq) for origin, seq in told.items()}
    except (OSError, ValueError, TypeError, AttributeError):
        return {}


def _note_seen(store: Path, acked: dict[str, int]) -> None:
    path = store / SEEN
    if acknowledged(store) == acked and path.exists():
        path.touch()
        return
    part = path.with_name(f".{SEEN}.part")
    part.write_text(json.dumps(acked))
    part.replace(path)


def _seen_ms(store: Path) -> int:
    try:
        return int((store / SEEN).stat().st_mtime * 1000)
    except OSError:
        return 0
