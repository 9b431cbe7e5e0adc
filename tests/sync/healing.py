"""A small department to which everything happens: real stores, real hubs, the product's own exchange and taking in.

What people do is done here as they would: logs are let in. What must hold at rest is in `tests.sync.healed`.
"""

import shutil
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, TypeVar

import psycopg

from kiosk.app.post import Post
from kiosk.core.events import CheckYes
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.backup import write_backup
from kiosk.store.bench_store import BenchStore
from kiosk.store.chain import COLUMNS
from kiosk.store.database import FILE
from kiosk.store.incarnation import incarnations
from kiosk.store.keys import SignedHead
from kiosk.store.outage import Outage
from kiosk.store.restore import restore
from kiosk.sync import exchange
from kiosk.sync.courier import CourierState
from kiosk.sync.founding import Incarnation, enroll
from kiosk.sync.hub import Answer, Hub, HubHead
from kiosk.sync.own import OwnLog
from kiosk.sync.segment import Segment
from tests.sync.department import Department
from tests.sync.rows import MORNING_MS, Row

BENCHES = ("B1", "B2", "B3")
AT_ONCE = 5
"""Rows fetched in a round: few, so that a round is seldom all."""

_TABLES = ("origin", "head", "event", "fork", "signed_head", "conflict")
_ROW = ", ".join(COLUMNS)

_SHORTER = (
    "UPDATE sync.head d SET seq = b.seq, h = coalesce((SELECT h FROM sync.event e WHERE e.origin = d.origin "
    "AND e.seq = b.seq), o.was_h) FROM sync.origin o, LATERAL (SELECT greatest(o.after_seq, x.seq - %s) AS seq "
    "FROM sync.head x WHERE x.origin = o.origin) b WHERE o.origin = d.origin AND o.state = 'active'"
)
_UNSIGNED = (
    "DELETE FROM sync.signed_head s USING sync.head d, sync.origin o WHERE d.origin = s.origin "
    "AND o.origin = d.origin AND o.state = 'active' AND s.seq > d.seq AND %s > 0"
)
_GONE = "DELETE FROM sync.event e USING sync.head d WHERE d.origin = e.origin AND e.seq > d.seq AND %s > 0"
_FORGET = (_SHORTER, _GONE, _UNSIGNED)

Back = TypeVar("Back")
Named = tuple[str, int, bytes]
"""An event by its log, its number and its hash."""


class Cut:
    """A hub at which something befalls the n-th question: before it is asked, or when its answer comes back."""

    def __init__(
        self, hub: Hub, at: int = 0, befalls: Callable[[], None] = lambda: None, *, late: bool = False
    ) -> None:
        self._hub, self._left, self._befalls, self._late = hub, at, befalls, late

    def heads(self) -> Mapping[str, HubHead]:
        return self._through(self._hub.heads)

    def pull(self, origin: str, after: int, limit: int) -> list[tuple[Any, ...]]:
        return self._through(lambda: self._hub.pull(origin, after, limit))

    def push(
        self, origin: str, rows: Sequence[Sequence[Any]], *, sent_ms: int, signed: SignedHead | None = None
    ) -> Answer:
        return self._through(lambda: self._hub.push(origin, rows, sent_ms=sent_ms, signed=signed))

    def _through(self, ask: Callable[[], Back]) -> Back:
        self._left -= 1
        if self._left or not self._late:
            if not self._left:
                self._befalls()
            return ask()
        answer = ask()
        self._befalls()
        return answer


def away() -> None:
    """The line is cut."""
    raise Outage("hub_away")


class Site:
    """One hub, emptied at the beginning, with the logins of every bench."""

    def __init__(self, hub: Department) -> None:
        self.hub = hub
        self.root = psycopg.connect(hub.server.socket_url(hub.name))
        self.lets = {bench: hub.let_in(bench) for bench in BENCHES}
        self.doors = {bench: hub.hub(let, patience_s=20) for bench, let in self.lets.items()}
        self.empty()

    def empty(self) -> None:
        """Nothing was ever sent here."""
        self.root.execute(f"TRUNCATE {', '.join(f'sync.{name}' for name in _TABLES)}".encode())
        self.root.commit()

    def dump(self) -> dict[str, bytes]:
        """A backup of every table that logs are in."""
        out = {}
        with self.root.cursor() as cursor:
            for name in _TABLES:
                with cursor.copy(f"COPY (SELECT * FROM sync.{name}) TO STDOUT".encode()) as copy:
                    out[name] = b"".join(bytes(block) for block in copy)
        self.root.commit()
        return out

    def set_back(self, dump: Mapping[str, bytes]) -> None:
        """The hub as it was at that backup."""
        with self.root.cursor() as cursor:
            cursor.execute(f"TRUNCATE {', '.join(f'sync.{name}' for name in _TABLES)}".encode())
            for name in _TABLES:
                with cursor.copy(f"COPY sync.{name} FROM STDIN".encode()) as copy:
                    copy.write(dump[name])
        self.root.commit()

    def forget(self, n: int) -> None:
        """A standby that lagged takes over: the newest events of every log are not there, nor their signatures."""
        for line in _FORGET:
            self.root.execute(line.encode(), (n,))
        self.root.commit()

    def stored(self, table: str = "event") -> dict[str, list[Row]]:
        """Every event here, by log, in order."""
        out: dict[str, list[Row]] = {}
        sql = f"SELECT origin::text, {_ROW} FROM sync.{table} ORDER BY origin, seq, recv"
        for origin, *row in self.root.execute(sql.encode()).fetchall():
            out.setdefault(origin, []).append(tuple(row))
        self.root.commit()
        return out

    def let_in(self, station: "Bench") -> None:
        """The administrator lets in every log that the station tells of."""
        known = {row[0] for row in self.root.execute("SELECT origin::text FROM sync.origin").fetchall()}
        for one in incarnations(station.store.store.db.conn):
            if one.origin not in known:
                follows = Incarnation(one.after_seq, one.was_origin, one.was_h) if one.was_origin else None
                enroll(
                    self.root,
                    department=self.hub.dept,
                    bench=station.bench,
                    origin=one.origin,
                    public_key=one.public_key,
                    follows=follows,
                )
        self.root.commit()

    def close(self) -> None:
        """Let go of the superuser's connection."""
        self.root.close()


class _Tray:
    """What a courier brought, as `kiosk.app.post.Post` empties it."""

    def __init__(self) -> None:
        self.segments: list[Segment] = []
        self.refused: dict[str, int] = {}
        self.state = CourierState()

    def take(self) -> list[Segment]:
        taken, self.segments = self.segments, []
        return taken

    def refuse(self, segment: Segment) -> None:
        self.refused[segment.origin] = segment.last

    def nudge(self) -> None:
        """The next round comes when it comes."""


class Bench:
    """A station: a store in a folder, with its keys beside it, and a clock that may say anything."""

    def __init__(self, folder: Path, bench: str, clock_ms: int = MORNING_MS) -> None:
        self.folder, self.bench, self.clock_ms = folder, bench, clock_ms
        self.tray = _Tray()
        self.told = 0
        self.start()

    def start(self) -> None:
        """The program starts on what the folder holds."""
        self.store = BenchStore(self.folder, self.bench)
        self.store.check()
        self.own = OwnLog(self.folder)
        self.post = Post(self.tray, self.store.heard, began_ms=0)  # type: ignore[arg-type]

    def stop(self) -> None:
        """The program ends; what was fetched and not taken in is gone."""
        self.tray.segments, self.tray.refused, self.tray.state = [], {}, CourierState()
        self.own.close()
        self.store.close()

    @property
    def origin(self) -> str:
        """The log that goes on now."""
        return self.store.store.origin

    def keep(self, n: int) -> None:
        """So many answers of a person, a command each."""
        for _ in range(n):
            self.clock_ms += 1000
            self.told += 1
            stamp = Stamp(
                at_ms=self.clock_ms,
                offset_min=0,
                trusted=True,
                who="P-014",
                trip="T-1",
                policy=1,
                record=1,
            )
            self.store.keep([Kept(event=CheckYes(piece=f"A3#{self.told}", key="bore.swab", took_ms=900), stamp=stamp)])

    def round(self, door: exchange.Door) -> exchange.Sent:
        """What a courier does in a round."""
        sent = exchange.send_own(self.own, door, sent_ms=lambda: self.clock_ms)
        self.tray.state = CourierState(verdicts=tuple(sent.verdicts))
        if not self.tray.segments:
            self.tray.segments = exchange.fetch_moved(self.own, door, sent, limit=AT_ONCE, refused=self.tray.refused)
        return sent

    def goes_on_anew(self) -> bool:
        """What the kiosk does where the hub holds another branch, or more."""
        parted = self.post.parted(self.origin)
        if parted is not None:
            self.store.begin_again(*parted)
        return parted is not None

    def hear(self) -> int:
        """What the station does with what came; events that were new."""
        return sum(len(kepts) for _, kepts in self.post.news())

    def spans(self) -> Iterator[tuple[str, list[Row]]]:
        """The log's own events, by the origin that wrote them."""
        for stretch in self.own.stretches():
            yield stretch.origin, [tuple(row) for row in self.own.rows(stretch.after, stretch.last, 1 << 30)]

    def heard(self) -> dict[str, list[Row]]:
        """What it heard, by origin, in order."""
        out: dict[str, list[Row]] = {}
        sql = f"SELECT origin, {_ROW} FROM remote_event ORDER BY origin, seq"
        for origin, *row in self.store.store.db.conn.execute(sql):
            out.setdefault(origin, []).append(tuple(row))
        return out


class World:
    """Stations and hubs, and the ledger: which events somebody was told are kept, and that some place still holds."""

    def __init__(self, sites: Sequence[Site], folder: Path) -> None:
        self.sites, self._folder = sites, folder
        for site in sites:
            site.empty()
        self.benches = [Bench(folder / name, name) for name in BENCHES]
        self.backups: list[tuple[str, Path]] = []
        self.images: list[tuple[Bench, Path]] = []
        self.dumps: list[tuple[Site, dict[str, bytes]]] = []
        self.asides: list[tuple[str, Path]] = []
        self.ledger: dict[Named, Row] = {}
        self.may_fork: set[str] = set()
        self._n = 0
        for site in sites:
            for bench in self.benches:
                site.let_in(bench)

    def _path(self, name: str) -> Path:
        self._n += 1
        return self._folder / f"{name}{self._n}"

    def note(self, bench: Bench) -> None:
        """Write into the ledger what the station has kept of its own."""
        for origin, rows in bench.spans():
            self.ledger.update({(origin, row[0], row[15]): row for row in rows})

    def held(self) -> set[Row]:
        """Every event that any place holds now, as it is told."""
        own = [logs for bench in self.benches for logs in (dict(bench.spans()), bench.heard())]
        stored = [logs for site in self.sites for logs in (site.stored(), site.stored("fork"))]
        return {told(row) for logs in (*own, *stored) for rows in logs.values() for row in rows}

    def after_a_loss(self) -> None:
        """A place was set back: what nobody holds any more is lost, and nobody could have kept it."""
        held = self.held()
        self.ledger = {named: row for named, row in self.ledger.items() if told(row) in held}

    def back_up(self, bench: Bench) -> None:
        """A backup while the station works."""
        path = self._path("backup") / "one.backup"
        write_backup(bench.folder, path)
        self.backups.append((bench.bench, path))

    def restore(self, bench: Bench, file: Path) -> None:
        """A backup is put back; the old store is put aside."""
        bench.stop()
        aside = restore(file, bench.folder).aside
        bench.start()
        if aside is not None:
            away = self._path("aside")
            aside.rename(away)
            self.asides.append((bench.bench, away))
        self.after_a_loss()
        self.note(bench)

    def copy(self, bench: Bench, *, with_keys: bool) -> None:
        """The store's folder is copied while it stands still, and both are started; with the keys both say the same."""
        bench.stop()
        path = self._path("copy")
        shutil.copytree(bench.folder, path)
        if with_keys and keys_of(bench.folder).is_dir():
            shutil.copytree(keys_of(bench.folder), keys_of(path))
        bench.start()
        if with_keys:
            self.may_fork.add(bench.origin)
        self.add(path, bench.bench, bench.clock_ms)

    def add(self, path: Path, name: str, clock_ms: int = MORNING_MS) -> None:
        """A store that lies somewhere is started."""
        self.benches.append(Bench(path, name, clock_ms))
        self.note(self.benches[-1])

    def image(self, bench: Bench) -> None:
        """The disk is imaged, without the keys beside it."""
        bench.stop()
        path = self._path("image")
        path.mkdir()
        shutil.copy(bench.folder / FILE, path / FILE)
        bench.start()
        self.images.append((bench, path / FILE))

    def roll_back(self, bench: Bench, image: Path) -> None:
        """An image is written back over the disk, and nobody says so: where nothing was signed since, nothing tells."""
        bench.stop()
        for file in bench.folder.glob(f"{FILE}*"):
            file.unlink()
        shutil.copy(image, bench.folder / FILE)
        bench.start()
        self.may_fork.add(bench.origin)
        self.after_a_loss()
        self.note(bench)

    def close(self) -> None:
        """Everything is put away."""
        for bench in self.benches:
            bench.stop()
        shutil.rmtree(self._folder)


def told(row: Row) -> Row:
    """The event itself, without its hash in one log's chain: after a fork it may be told again in another."""
    return (*row[:14], bytes(row[14]))


def keys_of(folder: Path) -> Path:
    """Where the keys of a store lie."""
    return folder.with_name(f"{folder.name}.keys")
