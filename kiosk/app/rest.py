"""What follows from quiet: the glass dims, whoever is signed in is signed out, what stands there is hidden."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtCore import QObject, QTimer

from kiosk.core import commands as c
from kiosk.core.session import Session
from kiosk.core.views import DotsView, FirstAidView, IdleView, IntakeView, WipeView
from kiosk.ui.parts.veil import Rests
from kiosk.ui.window import Window

LOOK_EVERY_MS = 1_000

_ALWAYS_SEEN = (FirstAidView, WipeView, IdleView, IntakeView, DotsView)
"""First aid and the wet glass are never put away, nor what decontam reads from across the room."""


@dataclass(frozen=True, slots=True, kw_only=True)
class After:
    """Minutes of quiet until the glass dims, and until it hides what it shows; 0: never."""

    dim: float = 0.0
    hide: float = 0.0


class Rest(QObject):
    """Looks for quiet. `send` is the kiosk's; `clock` the steady clock, ms."""

    def __init__(
        self,
        session: Session,
        window: Window,
        clock: Callable[[], int],
        send: Callable[[c.Send], None],
        after: After | None = None,
    ) -> None:
        super().__init__()
        self._session, self._window, self._clock, self._send = session, window, clock, send
        self._after = after or After()
        self._touched = clock()
        self._stopped_ms = session.bench.stopped_ms
        self._timer = QTimer(self, interval=LOOK_EVERY_MS)
        self._timer.timeout.connect(self.look)

    def start(self) -> None:
        """Look for quiet by itself."""
        self._timer.start()

    def stop(self) -> None:
        """Look no more."""
        self._timer.stop()

    def touched(self) -> None:
        """Something was sent: a touch, a scan, a key. A badge shown to a resting glass wakes it too."""
        self._touched = self._clock()
        self._window.veil.rest(Rests.NOT)

    def look(self) -> None:
        """Sign out after quiet: first aid is never locked, and the work stays. Then see how the glass rests."""
        quiet = self._clock() - max(self._touched, self._window.glass.guard.touched_at or 0)
        self._lock(quiet)
        self._veil(quiet)

    def _lock(self, quiet: int) -> None:
        minutes = self._session.desk.policy.idle_lock_minutes
        bench = self._session.bench
        signed_in = bench.who is not None and bench.first_aid_ms is None
        if signed_in and minutes and not self._waits() and quiet > minutes * 60_000:
            since = self._touched
            self._send(c.SignOut(idle=True))
            self._touched = since  # nobody came: the quiet goes on

    def _waits(self) -> bool:
        """Is a wet time running, or the glass being wiped?"""
        turn = self._session.turn
        return self._session.bench.wet_since_ms is not None or (turn is not None and turn.page is c.Page.WIPE)

    def _veil(self, quiet: int) -> None:
        """Everything stopped is to be seen: a bench that rests wakes for it."""
        stopped, veil = self._session.bench.stopped_ms, self._window.veil
        if stopped > self._stopped_ms:
            self._stopped_ms, self._touched = stopped, self._clock()
            veil.rest(Rests.NOT)
            return
        if self._waits() or isinstance(self._window.shown, _ALWAYS_SEEN):
            veil.rest(Rests.NOT)
        elif self._after.hide and quiet > self._after.hide * 60_000:
            say = self._session.glance().words.say
            veil.rest(Rests.HIDDEN, (say("rest.wake"), say("rest.kept")))
        elif self._after.dim and quiet > self._after.dim * 60_000:
            veil.rest(Rests.DIM)
