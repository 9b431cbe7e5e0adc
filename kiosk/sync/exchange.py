"""One round with a hub: send what it lacks of the own log, fetch what moved in the others'.

The hub's head is the truth, asked for anew each time; what was once acknowledged is not remembered. So a hub that was
set back to an older state is sent everything again, and a reply that was lost changes nothing.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Any, Protocol

from kiosk.store.chain import holds
from kiosk.store.keys import SignedHead
from kiosk.store.outage import Outage
from kiosk.sync.hub import BATCH, Answer, HubHead
from kiosk.sync.own import Stretch
from kiosk.sync.segment import Segment

NONE_REFUSED: Mapping[str, int] = MappingProxyType({})


class Door(Protocol):
    """What a round needs of a hub; `kiosk.sync.hub.Hub` is one."""

    def heads(self) -> Mapping[str, HubHead]: ...
    def pull(self, origin: str, after: int, limit: int) -> list[tuple[Any, ...]]: ...
    def push(
        self, origin: str, rows: Sequence[Sequence[Any]], *, sent_ms: int, signed: SignedHead | None = None
    ) -> Answer: ...


class Own(Protocol):
    """What a round needs of the own log; `kiosk.sync.own.OwnLog` is one."""

    def stretches(self) -> list[Stretch]: ...
    def rows(self, after: int, last: int, limit: int) -> list[Any]: ...
    def hash_of(self, seq: int) -> bytes | None: ...
    def heard(self) -> dict[str, int]: ...
    def signed(self, origin: str) -> SignedHead | None: ...


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """Why a log of this bench does not go on at the hub, or what else a person has to know.

    unknown: the hub was not told of this log · fork: from event `seq` on the hub does not take what is here, it holds
    another branch · retired: nothing more is taken · damaged: event `seq` does not hold here · garbled: it holds here,
    and came damaged twice · ahead: the hub holds more than this bench had when it was asked, from `seq` on

    Of a former log of this bench nothing is said where the hub has all that is here.
    """

    origin: str
    kind: str
    seq: int = 0


@dataclass(slots=True, kw_only=True)
class Sent:
    """What came of sending: rows sent, rows that still wait, and what has to be said.

    `acked`: of each own log the last number that the hub holds as it is here. It may lose it again: a hint, no more.
    `heads`: what the hub said before, of every log; what is fetched in this round goes by it too.
    """

    rows: int = 0
    waiting: int = 0
    verdicts: list[Verdict] = field(default_factory=list)
    acked: dict[str, int] = field(default_factory=dict)
    heads: Mapping[str, HubHead] = field(default_factory=dict)


def send_own(own: Own, hub: Door, *, sent_ms: Callable[[], int], stop: Callable[[], bool] = lambda: False) -> Sent:
    """Send what the hub lacks of every own log, the oldest first. Raises Outage."""
    heads, stretches = hub.heads(), own.stretches()
    sent = Sent(heads=heads)
    for stretch in stretches:
        head = heads.get(stretch.origin)
        if head is None:
            if stretch.last > stretch.after:
                sent.verdicts.append(Verdict(origin=stretch.origin, kind="unknown"))
                sent.waiting += stretch.last - stretch.after
            continue
        at = _Sending(own, hub, stretch, head, sent_ms, former=stretch is not stretches[-1])
        if at.meets():
            at.go(stop)
        sent.rows += at.count
        sent.waiting += max(0, stretch.last - at.seq)
        sent.verdicts += at.verdicts
        if not {"fork", "retired"} & {verdict.kind for verdict in at.verdicts}:
            sent.acked[stretch.origin] = min(at.seq, stretch.last)
    return sent


class _Sending:
    """One stretch on its way to the hub. `seq`: how far the hub has it."""

    def __init__(
        self, own: Own, hub: Door, stretch: Stretch, head: HubHead, sent_ms: Callable[[], int], *, former: bool
    ) -> None:
        self._own, self._hub, self._stretch, self._head, self._sent_ms = own, hub, stretch, head, sent_ms
        self._former = former
        self.seq, self.count = head.seq, 0
        self.verdicts: list[Verdict] = []
        self._signed = own.signed(stretch.origin)

    def _say(self, kind: str, seq: int = 0) -> None:
        self.verdicts.append(Verdict(origin=self._stretch.origin, kind=kind, seq=seq))

    def meets(self) -> bool:
        """Do both hold the same event where the shorter one ends? Says so where they do not."""
        last, head = self._stretch.last, self._head
        if head.state == "retired" and not (self._former and head.seq >= last):
            self._say("retired")
            return False
        if head.seq > last:
            theirs = self._theirs(last)
            same = theirs is None or theirs == self._own.hash_of(last)
        else:
            same = head.seq == self._stretch.after or head.h == self._own.hash_of(head.seq)
        if same and self._former and (head.seq > last or (head.seq == last and head.state != "active")):
            return False  # the hub has all that is here, and what else it has is fetched
        if head.state == "forked" or not same:
            self._forked(min(head.seq, last), same=same)
            return False
        if head.seq > last:
            self._say("ahead", last + 1)
            return False
        return True

    def _theirs(self, seq: int) -> bytes | None:
        if seq <= self._stretch.after:
            return None
        rows = self._hub.pull(self._stretch.origin, seq - 1, 1)
        if not rows or rows[0][0] != seq:  # the hub was set back meanwhile: the next round asks for its head anew
            raise Outage("hub_away")
        return bytes(rows[0][15])

    def _forked(self, differs: int, *, same: bool) -> None:
        """Find where the branches part, and send the own one for the record: the hub keeps both."""
        alike = self._stretch.after
        if same:  # another branch came, and this is the one that the hub took in first
            alike = differs
        while differs - alike > 1:
            middle = (alike + differs) // 2
            if self._theirs(middle) == self._own.hash_of(middle):
                alike = middle
            else:
                differs = middle
        code = self._head.state
        after = alike
        while rows := self._own.rows(after, self._stretch.last, BATCH):
            code = self._push(rows).code
            if code != "fork":
                break
            after = rows[-1][0]
        if code in {"fork", "forked"}:  # not by the hub's first word alone: it knows now what is here
            self._say("fork", alike + 1)

    def go(self, stop: Callable[[], bool]) -> None:
        """Send batch by batch until the hub has it all, or something has to be said."""
        again = gaps = 0
        while self.seq < self._stretch.last and not stop():
            rows = self._own.rows(self.seq, self._stretch.last, BATCH)
            answer = self._push(rows)
            if answer.code == "ok":
                self.count += max(0, answer.seq - self.seq)
                self.seq, again = answer.seq, 0
            elif answer.code == "gap" and gaps < 3:  # the hub was set back meanwhile
                self.seq, gaps = answer.seq, gaps + 1
            elif answer.code == "badhash" and not again:
                again = 1
            elif answer.code in {"fork", "forked"}:
                at = min(answer.seq, self._stretch.last)
                self._forked(at, same=self._theirs(at) == self._own.hash_of(at))
                return
            else:
                bad = answer.seq if answer.code == "badhash" else self.seq + 1
                self._say(self._why(bad), bad)
                return
        self._sign()

    def _push(self, rows: Sequence[Any]) -> Answer:
        signed = self._signed if self._signed and self._signed.seq <= rows[-1][0] else None
        return self._hub.push(self._stretch.origin, rows, sent_ms=self._sent_ms(), signed=signed)

    def _sign(self) -> None:
        """A head that was signed after its event was sent follows it."""
        known = self._head.signed.seq if self._head.signed else 0
        if self._signed and known < self._signed.seq <= self._head.seq:
            self._push(self._own.rows(self._signed.seq - 1, self._signed.seq, 1))

    def _why(self, bad: int) -> str:
        """A row that did not hold at the hub, twice: does it hold here?"""
        before, rows = self._own.hash_of(bad - 1), self._own.rows(bad - 1, bad, 1)
        sound = before is not None and rows and holds(before, self._stretch.origin, rows[0])
        return "garbled" if sound else "damaged"


def fetch_others(
    hub: Door,
    known: Mapping[str, int],
    *,
    own: frozenset[str],
    limit: int,
    refused: Mapping[str, int] = NONE_REFUSED,
    heads: Mapping[str, HubHead] | None = None,
) -> list[Segment]:
    """What moved in the logs of others after what is known here, by `heads` or as the hub says now. Raises Outage.

    At most `limit` rows in all, but one of each at least: a long log must not keep the others from coming. A log that
    follows another waits until that one is here as far, or as far as the hub has it. `refused`: logs that were not
    taken in here, and how far the hub had them then; nobody waits for these, and they are asked for again when they
    move.
    """
    out: list[Segment] = []
    heads = heads or hub.heads()
    here = {origin: known.get(origin, head.after_seq) for origin, head in heads.items()}
    moved = [
        head
        for origin, head in sorted(heads.items(), key=_base)
        if origin not in own and head.seq > here[origin] and refused.get(origin) != head.seq
    ]
    for left, head in zip(range(len(moved), 0, -1), moved, strict=True):
        base = heads.get(head.was.origin) if head.was else None
        if base and base.origin not in own | set(refused) and here[base.origin] < min(head.after_seq, base.seq):
            continue
        rows = hub.pull(head.origin, here[head.origin], max(1, limit // left))
        limit -= len(rows)
        here[head.origin] += len(rows)
        out.append(_segment(head, rows))
    return out


def fetch_moved(
    own: Own, hub: Door, sent: Sent, *, limit: int, refused: Mapping[str, int] = NONE_REFUSED
) -> list[Segment]:
    """What moved in every log but the one that is written here now; after what `sent` says. Raises Outage.

    A bench that was put back hears again what it had sent before. Not where the hub holds another branch: that one does
    not go on from what is here.
    """
    forked = {verdict.origin for verdict in sent.verdicts if verdict.kind == "fork"}
    running = {stretch.origin for stretch in own.stretches()[-1:]}
    return fetch_others(
        hub, own.heard(), own=frozenset(running | forked), limit=limit, refused=refused, heads=sent.heads
    )


def _segment(head: HubHead, rows: Sequence[Sequence[Any]]) -> Segment:
    return Segment(
        origin=head.origin,
        bench=head.bench,
        public_key=head.public_key,
        was=head.was,
        rows=rows,
        head=head.signed,
        last=head.seq,
    )


def _base(item: tuple[str, HubHead]) -> tuple[int, str]:
    """A log that follows another comes after it."""
    return (item[1].after_seq, item[0])
