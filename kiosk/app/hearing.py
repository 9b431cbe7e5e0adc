"""What the stations beside this one and those behind the hub kept is taken in at the running bench, and followed."""

import logging
from itertools import chain
from typing import TYPE_CHECKING

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.together.kept_pictures import needed
from kiosk.store.bench_store import Outage

if TYPE_CHECKING:
    from kiosk.app.kiosk import Kiosk

log = logging.getLogger(__name__)

ANEW_AGAIN_MS = 60_000
"""After a try to go on under a new origin that the disk did not let."""


class Hearing:
    """The ear of a running bench: asked by its timer, by a rehearsal and by tests."""

    def __init__(self, kiosk: "Kiosk") -> None:
        self._kiosk = kiosk
        self._anew_not_before_ms = 0

    def listen(self) -> None:
        """Take in what the stations beside this one and those behind the hub kept meanwhile, and show it."""
        kiosk, session, post = self._kiosk, self._kiosk.session, self._kiosk.post
        session.reach(post.state())
        news, anew = self._go_on_anew(), False
        for station, kepts in chain(kiosk.ears.news(), post.news()):
            news = True
            anew |= any(isinstance(kept.event, e.IncarnationBegan) for kept in kepts)
            if station != kiosk.store.store.bench:  # a former log of this bench, or its other copy's, is not beside it
                session.hear(station, kepts)
        if anew or post.anew:  # what was heard of that station before may be of its other branch
            session.hear_anew(kiosk.store.records.benches())
            post.anew = False
        if news:
            self._stop_as_heard()
            session.send(c.Heard())
        if post.want(needed(session.bench, session.desk) if post else ()) or news:
            kiosk.repaint()
        kiosk.sounding.look(news=news)

    def _go_on_anew(self) -> bool:
        """Where the hub holds another branch of this log, or more of it: go on under a new origin, and say so."""
        kiosk = self._kiosk
        parted = kiosk.post.parted(kiosk.store.store.origin)
        if parted is None or kiosk.clock.steady_ms() < self._anew_not_before_ms:
            return False
        try:
            kiosk.session.take(kiosk.store.begin_again(*parted))
        except Outage as fault:
            log.info("the log goes on under its old name: %s", fault)
            self._anew_not_before_ms = kiosk.clock.steady_ms() + ANEW_AGAIN_MS
            if fault.doubt:
                kiosk.recover()
            return False
        kiosk.post.sent()
        return True

    def _stop_as_heard(self) -> None:
        """Another bench stopped everything: this one does too."""
        session = self._kiosk.session
        later = [name for name, bench in session.desk.others.items() if bench.stopped_ms > session.bench.stopped_ms]
        if later:
            session.send(c.StopAll(heard=later[0]))
