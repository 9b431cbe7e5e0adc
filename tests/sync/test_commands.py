"""The hub by command, and a kiosk that carries its log there: against a real server."""

import json
import shutil
import uuid
from pathlib import Path

import psycopg
import pytest

from kiosk.app.post import Post
from kiosk.app.stage import Stage
from kiosk.cli import main
from kiosk.rehearsal.play import play_files
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import Store
from kiosk.store.heard import Heard
from kiosk.sync.courier import Courier
from kiosk.sync.entry import Entry, read_entry
from kiosk.sync.exchange import send_own
from kiosk.sync.hub import Hub
from kiosk.sync.own import OwnLog
from kiosk.sync.segment import Segment
from tests.store.shift import yes
from tests.sync.department import Department
from tests.sync.logs import Station
from tests.sync.rows import rows
from tests.sync.test_courier import until

pytestmark = pytest.mark.postgres

SCENARIO = Path(__file__).parents[1] / "scenarios" / "S06.yaml"
KEY = "ab" * 32
KEY_BYTES = bytes.fromhex(KEY)


def test_a_hub_is_laid_and_a_bench_let_in_by_command(
    hub: Department, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    url, out, origin = hub.server.socket_url(hub.name), tmp_path / "keys" / "hub.yaml", str(uuid.uuid4())
    assert main(["hub", "init", url]) == 0
    assert "nothing was to be done" in capsys.readouterr().out
    call = ["hub", "enroll", url, "--department", hub.dept, "--bench", "B1", "--origin", origin, "--public-key", KEY]
    assert main([*call, "--out", str(out)]) == 0
    entry = read_entry(out)
    assert entry.password not in capsys.readouterr().out
    with psycopg.connect(hub.server.url(hub.name), user=entry.login, password=entry.password) as bench:
        assert bench.execute("SELECT origin::text FROM sync_api.heads()").fetchall() == [(origin,)]
    assert main(call) == 0
    assert "its password stays" in capsys.readouterr().out


def test_what_a_station_says_of_its_log_lets_it_in_and_its_log_goes_there(
    hub: Department, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A bench with a log, copied once: both of its origins are let in as the command prints them."""
    url, first, copy = hub.server.socket_url(hub.name), tmp_path / "b1", tmp_path / "copy"
    store = BenchStore(first, "B1")
    store.keep([yes(n) for n in range(5)])
    store.store.close()
    shutil.copytree(first, copy)
    store = BenchStore(copy)
    store.keep([yes(n) for n in range(5, 8)])
    assert main(["hub", "bench", "--store", str(copy)]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 2
    for n, line in enumerate(lines):
        call = ["hub", "enroll", url, "--department", hub.dept, *line.split(), "--out", str(tmp_path / f"{n}.yaml")]
        assert main(call) == 0
    entry = read_entry(tmp_path / "0.yaml")
    own = OwnLog(copy)
    with Hub(hub.server.url(hub.name), plain=True, user=entry.login, password=entry.password) as door:
        sent = send_own(own, door, sent_ms=lambda: 0)
    own.close()
    last = store.log.head().seq
    store.store.close()
    assert (sent.rows, sent.waiting, sent.verdicts) == (last, 0, [])


def test_a_password_is_shown_once_and_the_status_tells_every_log(
    hub: Department, capsys: pytest.CaptureFixture[str]
) -> None:
    url, origin = hub.server.socket_url(hub.name), str(uuid.uuid4())
    call = ["hub", "enroll", url, "--department", hub.dept, "--bench", "B2", "--origin", origin, "--public-key", KEY]
    assert main([*call, "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert len(told["password"]) == 43
    assert main(["hub", "status", url, "--json"]) == 0
    status = json.loads(capsys.readouterr().out)
    assert [(log["bench"], log["origin"], log["seq"]) for log in status["logs"]] == [("B2", origin, 0)]
    assert status["months_ahead"] == 3


def test_a_hub_with_a_fork_or_with_a_hole_does_not_hold(hub: Department, capsys: pytest.CaptureFixture[str]) -> None:
    b1, url = hub.let_in("B1"), hub.server.socket_url(hub.name)
    door = hub.hub(b1)
    log = rows(b1.origin, 9)
    door.push(b1.origin, log, sent_ms=0)
    assert main(["hub", "status", url]) == 0
    with hub.root() as root:
        root.execute("DELETE FROM sync.event WHERE seq = 4")
    assert main(["hub", "status", url]) == 1
    assert "more or fewer events" in capsys.readouterr().err
    other = rows(b1.origin, 1, after=8, before=log[7][15], took_ms=1)
    door.push(b1.origin, other, sent_ms=0)
    assert main(["hub", "status", url]) == 1
    assert "1 events of another branch" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["--origin", "x", "--public-key", KEY], "no origin"),
        (["--origin", str(uuid.uuid4()), "--public-key", "zz"], "0 to 9 and a to f"),
        (["--origin", str(uuid.uuid4()), "--public-key", "abab"], "64 figures"),
        (["--origin", str(uuid.uuid4()), "--public-key", KEY, "--after", "3"], "--was"),
    ],
)
def test_what_is_wrong_with_a_call_is_said(
    hub: Department, more: list[str], says: str, capsys: pytest.CaptureFixture[str]
) -> None:
    url = hub.server.socket_url(hub.name)
    assert main(["hub", "enroll", url, "--department", "d", "--bench", "B1", *more]) == 2
    assert says in capsys.readouterr().err


def test_a_reader_is_let_in_by_command(hub: Department, capsys: pytest.CaptureFixture[str]) -> None:
    url = hub.server.socket_url(hub.name)
    assert main(["hub", "reader", url, "--department", hub.dept, "--name", "audit", "--json"]) == 0
    told = json.loads(capsys.readouterr().out)
    with psycopg.connect(hub.server.url(hub.name), user=told["login"], password=told["password"]) as reader:
        assert reader.execute("SELECT count(*) FROM sync.event").fetchone() == (0,)


@pytest.mark.slow
def test_a_played_tray_is_at_the_hub_as_the_kiosk_kept_it(hub: Department, qapp: object, tmp_path: Path) -> None:
    """The real kiosk, played through its screens, with the courier running beside it."""
    stores: list[Path] = []

    def courier(folder: Path) -> Courier:
        own = OwnLog(folder)
        origin = own.stretches()[0].origin
        own.close()
        let = hub.let_in("B1", origin=origin)
        stores.append(folder)
        entry = Entry(login=let.login, password=let.password, department=hub.dept)
        return Courier(folder, hub.server.url(hub.name), entry, plain=True, quick=True)

    class WithHub(Stage):
        def __init__(self, *args: object, **more: object) -> None:
            super().__init__(*args, courier=courier, **more)  # type: ignore[arg-type]

        def close(self) -> None:
            self.kiosk.post.sent()
            until(lambda: len(hub.stored(self.kiosk.store.store.origin)) == self.kiosk.store.log.head().seq)
            super().close()

    (result,) = play_files([SCENARIO], WithHub, out=tmp_path, pictures=False, size=(1280, 800), show=False)
    assert result.held, result.missed
    own = OwnLog(stores[0])
    kept = [tuple(row) for row in own.rows(0, 1 << 60, 1 << 30)]
    assert len(kept) > 20
    assert hub.stored(own.stretches()[0].origin) == kept
    own.close()


def test_what_another_bench_kept_is_taken_in_and_given_to_the_screen_once(hub: Department, tmp_path: Path) -> None:
    b1, b2 = (Station(tmp_path / name, name, hub) for name in ("B1", "B2"))
    b2.work(3)
    send_own(b2.own, hub.hub(b2.lets[0]), sent_ms=lambda: 0)
    let = b1.lets[0]
    entry = Entry(login=let.login, password=let.password, department=hub.dept)
    post = Post(Courier(b1.folder, hub.server.url(hub.name), entry, plain=True, quick=True), b1.heard, began_ms=5)
    state = post.state()
    assert state is not None
    assert state.ok_ms == 5
    post.start()
    news: list[tuple[str, int]] = []

    def came() -> bool:
        news.extend((station, len(kepts)) for station, kepts in post.news())
        return bool(news)

    until(came)
    for _ in range(3):
        news.extend((station, len(kepts)) for station, kepts in post.news())
    assert news == [("B2", 3)]
    post.close()
    assert list(post.news()) == []
    b1.close()
    b2.close()


def test_what_is_refused_is_not_asked_for_again_without_a_pause(tmp_path: Path) -> None:
    class Brought:
        """A courier that always has the same in its tray."""

        def __init__(self) -> None:
            self.nudged, self.refused = 0, list[str]()

        def take(self) -> list[Segment]:
            return [Segment(origin=origin, bench="B2", public_key=KEY_BYTES, was=None, rows=brought, head=None)]

        def nudge(self) -> None:
            self.nudged += 1

        def refuse(self, segment: Segment) -> None:
            self.refused.append(segment.origin)

    origin, courier = str(uuid.uuid4()), Brought()
    sound = rows(origin, 3, bench="B2")
    with Store(tmp_path / "s", "B1") as store:
        post = Post(courier, Heard(store), began_ms=0)  # type: ignore[arg-type]
        brought = sound[1:]
        assert list(post.news()) == []
        assert (courier.nudged, courier.refused) == (0, [origin])
        store.db.conn.execute("PRAGMA query_only = ON")  # a disk that takes nothing: the log is none the worse for it
        brought = sound
        assert list(post.news()) == []
        assert courier.refused == [origin]
        store.db.conn.execute("PRAGMA query_only = OFF")
        assert [station for station, _ in post.news()] == ["B2"]
        assert courier.nudged == 1


def test_a_station_without_a_hub_has_no_post(tmp_path: Path) -> None:
    with Store(tmp_path / "s", "B1"):
        post = Post(None, None, began_ms=0)  # type: ignore[arg-type]
        assert not post
        assert post.state() is None
        assert list(post.news()) == []
