"""Pictures over a real hub: after the events, in parts, whole or not at all, and only in their own department.

SHA-256 is hashlib's (FIPS 180-4), and PostgreSQL's own sha256() beside it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from hashlib import sha256
from pathlib import Path
from random import Random
from time import monotonic

import psycopg
import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.post import Post
from kiosk.core import events as e
from kiosk.core.readings import ReadingPicture
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.codec import encode
from kiosk.store.fetched import FOLDER, Fetched, fetched_as, keep_fetched
from kiosk.store.outage import Outage
from kiosk.store.pictures import keep_picture
from kiosk.sync.courier import Courier
from kiosk.sync.hub import Hub
from kiosk.sync.pictures import LARGEST, NAMING, PART, PictureCarrier, Wanted, named
from tests.faults.glass import GlassShift
from tests.sync.department import Department
from tests.sync.logs import Station
from tests.sync.proxy import Line, Proxy
from tests.sync.rows import MORNING_MS
from tests.sync.test_courier import _entry, until

STAMP = Stamp(at_ms=MORNING_MS, offset_min=0, trusted=True, who="P-014", trip="T-1", policy=1, record=1)


def noise(size: int, seed: int = 1) -> bytes:
    """Bytes that nothing makes smaller, as a picture's are."""
    return Random(seed).randbytes(size)


def photo(station: Station, name: str, data: bytes) -> Wanted:
    """A finding's picture: its file, then its event."""
    digest = keep_picture(station.folder, name, data)
    station.log.append([Kept(event=e.PhotoTaken(n=1, file=name, sha256=digest), stamp=STAMP)])
    return Wanted(file=name, sha256=digest)


@pytest.fixture
def b1(hub: Department, tmp_path: Path) -> Iterator[Station]:
    station = Station(tmp_path / "b1", "B1", hub)
    yield station
    station.close()


@pytest.fixture
def d1(hub: Department, tmp_path: Path) -> Iterator[Station]:
    station = Station(tmp_path / "d1", "D1", hub)
    yield station
    station.close()


def carrier(station: Station, hub: Hub) -> PictureCarrier:
    """A carrier that has read the station's log."""
    made = PictureCarrier(station.folder, hub)
    made.take(station.own.naming(NAMING, {})[0])
    return made


def carry(station: Station, hub: Hub, *wanted: Wanted) -> PictureCarrier:
    """Everything that is to be carried now."""
    made = carrier(station, hub)
    while made.carry(wanted, monotonic()):
        pass
    return made


def at_hub(hub: Department) -> set[tuple[str, str, int]]:
    """Department, SHA-256 as the server reckons it over the parts, size."""
    return set(
        hub.ask(
            "SELECT dept, encode(sha256(string_agg(t.body, ''::bytea ORDER BY t.n)), 'hex'), "
            "sum(octet_length(t.body))::int FROM sync.picture_part t GROUP BY dept, t.sha256"
        )
    )


@pytest.mark.postgres
@pytest.mark.parametrize("size", [1, PART - 1, PART, PART + 1, 3 * PART, 700_001])
def test_a_picture_comes_over_the_hub_byte_for_byte(hub: Department, b1: Station, d1: Station, size: int) -> None:
    data = noise(size)
    one = photo(b1, "T-1_A3-1_bore_1_5.png", data)
    carry(b1, hub.hub(b1.lets[0]))
    assert at_hub(hub) == {(hub.dept, sha256(data).hexdigest(), size)}
    assert carry(d1, hub.hub(d1.lets[0]), one).got == 1
    found = Fetched(d1.folder).find(one.file)
    assert found is not None
    assert found.read_bytes() == data
    assert hub.ask("SELECT count(*) FROM sync.picture_coming") == [(0,)]


@pytest.mark.postgres
@pytest.mark.slow
def test_two_couriers_bring_a_findings_picture_to_the_station_that_shows_it(
    hub: Department, b1: Station, d1: Station
) -> None:
    url = hub.server.url(hub.name)
    data = noise(900_000)
    one = photo(b1, "found.png", data)
    couriers = [Courier(each.folder, url, _entry(hub, each.lets[0]), plain=True, quick=True) for each in (b1, d1)]
    couriers[1].want([one])
    for courier in couriers:
        courier.start()

    def came() -> bool:
        for segment in couriers[1].take():
            d1.heard.take(segment.origin, segment.rows)
            couriers[1].nudge()
        return Fetched(d1.folder).find("found.png") is not None

    until(came)
    path = Fetched(d1.folder).find("found.png")
    assert path is not None
    assert path.read_bytes() == data
    until(lambda: couriers[1].state.pictures == 1)
    for courier in couriers:
        courier.stop()


@pytest.mark.postgres
@pytest.mark.slow
def test_no_picture_comes_while_an_event_waits_to_be_taken_in(hub: Department, b1: Station, d1: Station) -> None:
    one = photo(b1, "found.png", noise(1000))
    carry(b1, hub.hub(b1.lets[0]))
    hub.hub(b1.lets[0]).push(b1.origin, b1.rows, sent_ms=0)
    courier = Courier(d1.folder, hub.server.url(hub.name), _entry(hub, d1.lets[0]), plain=True, quick=True)
    courier.want([one])
    courier.start()
    until(lambda: courier.state.ok_ms > 0)
    for _ in range(2):
        last = courier.state.ok_ms
        until(lambda last=last: courier.state.ok_ms > last)  # type: ignore[misc]
    assert courier.state.pictures == 0
    assert Fetched(d1.folder).find("found.png") is None
    for segment in courier.take():
        d1.heard.take(segment.origin, segment.rows)
    until(lambda: courier.state.pictures == 1)
    courier.stop()


@pytest.mark.postgres
@pytest.mark.slow
def test_a_hub_without_room_for_pictures_takes_the_events_all_the_same(hub: Department, b1: Station) -> None:
    photo(b1, "found.png", noise(1000))
    with hub.root() as root:
        root.execute("DROP FUNCTION sync_api.pictures_lacking(bytea[])")
    courier = Courier(b1.folder, hub.server.url(hub.name), _entry(hub, b1.lets[0]), plain=True, quick=True)
    courier.start()
    until(lambda: courier.state.ok_ms > 0)
    b1.work(3)
    courier.nudge()
    until(lambda: hub.stored(b1.origin) == b1.rows)
    assert courier.state.key == ""
    courier.stop()


@pytest.mark.postgres
def test_a_picture_goes_on_where_the_line_broke(hub: Department, b1: Station) -> None:
    data = noise(40 * PART)
    one = photo(b1, "found.png", data)
    lines = [Line(to_hub=30 * PART), Line()]
    with Proxy(hub.server.port, lambda n: lines[min(n, 1)]) as proxy:
        cut = hub.hub(b1.lets[0], port=proxy.port)
        with pytest.raises(Outage):
            carry(b1, cut)
        (there,) = hub.ask("SELECT count(*) FROM sync.picture_coming")[0]
        assert 20 <= there < 40
        carry(b1, hub.hub(b1.lets[0], port=proxy.port))
        assert proxy.passed[1] < (40 - there + 2) * PART + 20_000, "one part is sent again to ask, then what is missing"
    assert at_hub(hub) == {(hub.dept, one.sha256, len(data))}


@pytest.mark.postgres
def test_bytes_of_another_hash_are_not_kept_at_the_hub(hub: Department, b1: Station) -> None:
    data, door = noise(PART + 5), hub.hub(b1.lets[0])
    wrong = sha256(b"another").digest()
    assert door.push_picture(wrong, len(data), 0, data[:PART]) == ("more", 1)
    assert door.push_picture(wrong, len(data), 1, data[PART:]) == ("bad", 0)
    assert at_hub(hub) == set()
    assert hub.ask("SELECT count(*) FROM sync.picture_coming") == [(0,)]


@pytest.mark.postgres
@pytest.mark.expect_log("the bytes are not those that were kept")
def test_a_picture_that_was_changed_at_the_hub_is_not_kept_here(hub: Department, b1: Station, d1: Station) -> None:
    one = photo(b1, "found.png", noise(3000))
    carry(b1, hub.hub(b1.lets[0]))
    with hub.root() as root:
        root.execute("UPDATE sync.picture_part SET body = set_byte(body, 1500, (get_byte(body, 1500) + 1) % 256)")
    assert carry(d1, hub.hub(d1.lets[0]), one).got == 0
    assert not (d1.folder / FOLDER).exists()


@pytest.mark.postgres
@pytest.mark.expect_log("found.png is not what was kept: it is not sent")
def test_a_file_that_is_not_what_the_log_says_is_not_sent(hub: Department, b1: Station) -> None:
    photo(b1, "found.png", noise(3000))
    (b1.folder / "pictures" / "found.png").write_bytes(noise(3000, seed=2))
    carry(b1, hub.hub(b1.lets[0]))
    assert at_hub(hub) == set()


@pytest.mark.postgres
def test_two_benches_with_one_picture_and_a_part_that_comes_twice_make_one(
    hub: Department, b1: Station, d1: Station
) -> None:
    data = noise(PART + 9)
    digest, one, two = sha256(data).digest(), hub.hub(b1.lets[0]), hub.hub(d1.lets[0])
    for door in (one, two, one):
        assert door.push_picture(digest, len(data), 0, data[:PART]) == ("more", 1)
    assert two.push_picture(digest, len(data), 1, data[PART:]) == ("kept", 2)
    assert one.push_picture(digest, len(data), 1, data[PART:]) == ("kept", 2)
    assert at_hub(hub) == {(hub.dept, digest.hex(), len(data))}


@pytest.mark.postgres
def test_a_part_out_of_order_is_not_taken_and_the_hub_says_which_it_waits_for(hub: Department, b1: Station) -> None:
    data = noise(2 * PART + 1)
    assert hub.hub(b1.lets[0]).push_picture(sha256(data).digest(), len(data), 1, data[PART : 2 * PART]) == ("gap", 0)


@pytest.mark.postgres
@pytest.mark.parametrize(
    ("size", "n", "body"),
    [(0, 0, 0), (LARGEST + 1, 0, PART), (10, 1, 10), (10, 0, 9), (2 * PART, 0, PART - 1), (PART + 1, 1, 2), (5, -1, 5)],
)
def test_a_part_that_is_not_whole_or_a_picture_that_is_too_large_is_refused(
    hub: Department, b1: Station, size: int, n: int, body: int
) -> None:
    with pytest.raises(Outage):
        hub.hub(b1.lets[0]).push_picture(bytes(32), size, n, bytes(body))
    assert hub.ask("SELECT count(*) FROM sync.picture_coming") == [(0,)]


@pytest.mark.postgres
def test_a_picture_stays_in_its_department(hub: Department, b1: Station) -> None:
    one = photo(b1, "found.png", noise(3000))
    carry(b1, hub.hub(b1.lets[0]))
    far = hub.hub(hub.let_in("B1", dept=f"{hub.dept}far"))
    assert far.pull_picture(bytes.fromhex(one.sha256), 0) is None
    assert far.pictures_lacking([bytes.fromhex(one.sha256)]) == {bytes.fromhex(one.sha256)}


@pytest.mark.postgres
def test_readers_have_no_way_to_pictures(hub: Department, b1: Station) -> None:
    from kiosk.sync.founding import administrator, enroll_reader

    with administrator(hub.server.socket_url(hub.name)) as connection:
        login, password = enroll_reader(connection, department=hub.dept, name="audit")
    url = hub.server.url(hub.name)
    with psycopg.connect(url, user=login, password=password or "", autocommit=True) as reader:
        for sql in ("SELECT * FROM sync.picture", "SELECT sync_api.pull_picture('\\x00', 0)"):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                reader.execute(sql.encode())


@pytest.mark.postgres
def test_a_hub_that_was_set_back_is_sent_its_pictures_again(hub: Department, b1: Station) -> None:
    hub.server_copy("before")
    one = photo(b1, "found.png", noise(3000))
    made = carry(b1, hub.hub(b1.lets[0]))
    hub.set_back("before")
    assert at_hub(hub) == set()
    made.forget()  # the courier does so on every new line
    assert not made.carry((), monotonic())
    assert {row[1] for row in at_hub(hub)} == {one.sha256}


def test_what_travels_are_pictures_of_findings_references_looks_and_sets_and_no_other_still() -> None:
    kept = e.StillKept(
        n=1, piece="A1", lumen="bore", at_mm=None, file="still.png", sha256="a" * 64, size=1, width=1, height=1,
        source="camera",
    )  # fmt: skip
    sets = (
        ReadingPicture(name="1", file="s1.png", sha256="b" * 64),
        ReadingPicture(name="2", file="s2.png", sha256="c" * 64),
    )
    told: Sequence[e.Event] = (
        kept,
        replace(kept, file="of-finding.png", finding=2),
        e.PhotoTaken(n=1, file="photo.png", sha256="d" * 64),
        e.ReferenceOffered(number="RF-1", type="t", finding="f", file="reference.png", sha256="e" * 64),
        e.LookAccepted(n=1, piece="A1", lumen="bore", file="look.png", sha256="f" * 64, at_mm=1, tray="T", item="A1"),
        e.ReadingSetMade(set="0f" * 16, name="Q1", pictures=sets),
    )
    bodies = [(name, body) for name, _, body in map(encode, told)]
    files = [one.file for one in named([*bodies, ("photo_taken", b"{"), ("photo_taken", b"[1]")])]
    assert files == ["of-finding.png", "photo.png", "reference.png", "look.png", "s1.png", "s2.png"]


@pytest.mark.parametrize("name", ["../x.png", "", ".hidden", "a/b.png", "x" * 200])
def test_a_copy_of_a_name_that_is_no_file_name_is_not_kept(tmp_path: Path, name: str) -> None:
    with pytest.raises(ValueError, match="not a picture's name"):
        keep_fetched(tmp_path, name, sha256(b"x").hexdigest(), b"x")
    assert list(tmp_path.iterdir()) == []
    assert fetched_as("x.png", "no hash") == ""


@pytest.mark.postgres
@pytest.mark.slow
def test_a_running_bench_comes_to_show_a_reference_that_another_station_offered(
    qapp: QApplication, hub: Department, tmp_path: Path
) -> None:
    there, data = Station(tmp_path / "b2", "B2", hub), noise(300_000)
    digest = keep_picture(there.folder, "reference.png", data)
    offered = e.ReferenceOffered(number="RF-1", type="fine_suction", finding="x", file="reference.png", sha256=digest)
    there.log.append([Kept(event=offered, stamp=STAMP)])
    url = hub.server.url(hub.name)
    sender = Courier(there.folder, url, _entry(hub, there.lets[0]), plain=True, quick=True)
    sender.start()
    shift = GlassShift(folder=tmp_path / "store")
    kiosk = shift.kiosk
    assert kiosk is not None
    let = hub.let_in("B1", origin=kiosk.store.store.origin)
    courier = Courier(kiosk.store.store.folder, url, _entry(hub, let), plain=True, quick=True)
    kiosk.post = Post(courier, kiosk.store.heard, began_ms=MORNING_MS)
    kiosk.start(looks_for_quiet=False)
    assert not kiosk.still("reference.png").is_file()

    def here() -> bool:
        kiosk.listen()
        return kiosk.still("reference.png").is_file()

    until(here)
    assert kiosk.still("reference.png").read_bytes() == data
    assert kiosk.still("reference.png").parent.name == FOLDER
    kiosk.stop()
    kiosk.window.close()
    sender.stop()
    there.close()
