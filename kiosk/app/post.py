"""The hub's courier as the running station has it: what came is taken in here, and how it stands is told the desk."""

import logging
from collections.abc import Iterator, Sequence

from kiosk.app.ears import by_station
from kiosk.core.desk import HubState
from kiosk.core.stamp import Kept
from kiosk.core.together.kept_pictures import Needed
from kiosk.store.bench_store import Outage
from kiosk.store.heard import REFUSALS, Heard
from kiosk.sync.courier import Courier
from kiosk.sync.pictures import Wanted

log = logging.getLogger(__name__)


class Post:
    """Takes in what the courier brought. None: this station has no hub."""

    def __init__(self, courier: Courier | None, heard: Heard, *, began_ms: int) -> None:
        self._courier, self._heard, self._began_ms = courier, heard, began_ms
        self._pictures = 0
        self.anew = False
        """Did a log come that follows another one? Who hears it is to fold that station anew, and say so here."""

    def __bool__(self) -> bool:
        return self._courier is not None

    def start(self) -> None:
        """Let the courier set out."""
        if self._courier is not None:
            self._courier.start()

    def news(self) -> Iterator[tuple[str, list[Kept]]]:
        """What others kept since, a station at a time; kept here before it is given."""
        if self._courier is None:
            return
        new = False
        for segment in self._courier.take():
            try:
                taken = self._heard.take(
                    segment.origin,
                    segment.rows,
                    was=segment.was,
                    public_key=segment.public_key,
                    head=segment.head,
                )
            except Outage as fault:
                log.info("what the hub tells of %s is not taken in: %s", segment.bench, fault)
                if fault.key in REFUSALS:
                    self._courier.refuse(segment)
                continue
            new = True
            self.anew |= segment.was is not None and bool(taken) and segment.rows[0][0] == segment.was.seq + 1
            yield from by_station(taken)
        if new:
            self._courier.nudge()  # there may be more

    def parted(self, origin: str) -> tuple[str, int] | None:
        """Must this log go on under a new origin, by what the hub says? Why, and the last event that both have.

        A hub that holds more than is here is that of a store that was put back, whoever did that.
        """
        why = {"fork": "fork", "ahead": "restored"}
        for verdict in self._courier.state.verdicts if self._courier is not None else ():
            if verdict.origin == origin and verdict.kind in why:
                return why[verdict.kind], verdict.seq - 1
        return None

    def want(self, needed: Sequence[Needed]) -> bool:
        """What is shown here and may lie elsewhere; did pictures come since this was last asked?"""
        if self._courier is None:
            return False
        self._courier.want([Wanted(file=one.file, sha256=one.sha256) for one in needed])
        before, self._pictures = self._pictures, self._courier.state.pictures
        return self._pictures != before

    def sent(self) -> None:
        """Something was kept here: it need not wait for the next round."""
        if self._courier is not None:
            self._courier.nudge()

    def state(self) -> HubState | None:
        """How far the hub is away. Counted from this start where it never answered."""
        if self._courier is None:
            return None
        now = self._courier.state
        verdict = now.verdicts[0] if now.verdicts else None
        return HubState(
            ok_ms=now.ok_ms or self._began_ms,
            waiting=now.waiting,
            said=now.said,
            verdict=verdict.kind if verdict else "",
        )

    def close(self) -> None:
        """Call the courier home."""
        if self._courier is not None:
            self._courier.stop()
            self._courier = None
