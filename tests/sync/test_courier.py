"""The courier: the log goes and comes by itself, and a hub that is away is waited for without a sign on the screen."""

from collections.abc import Callable, Iterator
from pathlib import Path
from time import sleep

import pytest

from kiosk.store.outage import Outage
from kiosk.sync.courier import LEAST_BACK_S, MOST_BACK_S, SEEN, Courier, acknowledged, back_off
from kiosk.sync.entry import FILE, Entry, keys_of, read_entry, write_entry
from tests.sync.department import Department, Let
from tests.sync.logs import Station
from tests.sync.proxy import Line, Proxy


def until(holds: Callable[[], bool]) -> None:
    """Wait for what other threads bring about; the test's own time limit ends it where it never comes."""
    while not holds():
        sleep(0.02)


def _entry(hub: Department, let: Let) -> Entry:
    return Entry(login=let.login, password=let.password, department=hub.dept)


@pytest.fixture
def b1(hub: Department, tmp_path: Path) -> Iterator[Station]:
    station = Station(tmp_path / "b1", "B1", hub)
    yield station
    station.close()


@pytest.mark.postgres
def test_what_is_kept_is_at_the_hub_and_at_the_other_bench_by_itself(
    hub: Department, b1: Station, tmp_path: Path
) -> None:
    b2 = Station(tmp_path / "b2", "B2", hub)
    url = hub.server.url(hub.name)
    couriers = [Courier(each.folder, url, _entry(hub, each.lets[0]), plain=True) for each in (b1, b2)]
    for courier in couriers:
        courier.start()
    b1.work(6)
    couriers[0].nudge()

    def heard() -> bool:
        for segment in couriers[1].take():
            b2.heard.take(segment.origin, segment.rows)
        return b2.own.heard() == {b1.origin: 6}

    until(heard)
    assert hub.stored(b1.origin) == b1.rows
    until(lambda: couriers[0].state.ok_ms > 0)
    assert (couriers[0].state.waiting, couriers[0].state.key) == (0, "")
    for courier in couriers:
        courier.stop()
    b2.close()


@pytest.mark.postgres
def test_what_was_fetched_lies_in_the_tray_until_it_is_taken_and_is_not_fetched_twice(
    hub: Department, b1: Station, tmp_path: Path
) -> None:
    b2 = Station(tmp_path / "b2", "B2", hub)
    b2.work(4)
    door = hub.hub(b2.lets[0])
    door.push(b2.origin, b2.rows, sent_ms=0)
    courier = Courier(b1.folder, hub.server.url(hub.name), _entry(hub, b1.lets[0]), plain=True, quick=True)
    courier.start()
    until(lambda: courier.state.ok_ms > 0)
    for _ in range(2):
        last = courier.state.ok_ms
        until(lambda last=last: courier.state.ok_ms > last)  # type: ignore[misc]
    assert [len(segment.rows) for segment in courier.take()] == [4]
    courier.stop()
    b2.close()


@pytest.mark.postgres
def test_a_hub_that_goes_away_and_comes_back_is_met_where_it_was_left(hub: Department, b1: Station) -> None:
    lines = [Line(), Line(to_hub=0, hole=True), Line(to_hub=200), Line()]
    with Proxy(hub.server.port, lambda n: lines[min(n, 3)]) as proxy:
        url = hub.server.url(hub.name, proxy.port)
        courier = Courier(b1.folder, url, _entry(hub, b1.lets[0]), plain=True, quick=True, patience_s=0.3)
        courier.start()
        until(lambda: courier.state.ok_ms > 0)
        b1.work(5)
        with hub.root() as root:
            root.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE usename = %s", (b1.lets[0].login,)
            )
        until(lambda: courier.state.key in {"hub_away", "hub_silent"})
        assert courier.state.said
        until(lambda: courier.state.key == "" and courier.state.waiting == 0)
        courier.stop()
    assert hub.stored(b1.origin) == b1.rows


@pytest.mark.postgres
def test_when_the_hub_last_answered_outlives_a_restart(hub: Department, b1: Station) -> None:
    entry, url = _entry(hub, b1.lets[0]), hub.server.url(hub.name)
    courier = Courier(b1.folder, url, entry, plain=True)
    assert courier.state.ok_ms == 0
    courier.start()
    until((b1.folder / SEEN).exists)
    courier.stop()
    assert acknowledged(b1.folder) == {b1.origin: len(b1.rows)}
    again = Courier(b1.folder, url, entry, plain=True)
    assert abs(again.state.ok_ms - courier.state.ok_ms) < 60_000
    again.start()
    again.stop()


def test_a_hub_that_stays_away_is_asked_ever_more_seldom() -> None:
    waits = [back_off(tries) for tries in range(1, 40)]
    assert waits[:4] == [1, 2, 4, 8]
    assert waits == sorted(waits)
    assert (waits[0], waits[-1]) == (LEAST_BACK_S, MOST_BACK_S)


ENTRY = Entry(login="bench_day_b1", password="secret", department="Día", ca="/etc/hub.crt")


def test_the_login_lies_beside_the_store_for_its_owner_alone(tmp_path: Path) -> None:
    path = keys_of(tmp_path / "store") / FILE
    write_entry(path, ENTRY)
    assert read_entry(path) == ENTRY
    assert path == tmp_path / "store.keys" / FILE
    assert (path.stat().st_mode & 0o777, path.parent.stat().st_mode & 0o777) == (0o600, 0o700)


@pytest.mark.parametrize("mode", [0o640, 0o604, 0o660, 0o601])
def test_a_login_that_others_may_read_is_refused(tmp_path: Path, mode: int) -> None:
    path = tmp_path / FILE
    write_entry(path, ENTRY)
    path.chmod(mode)
    with pytest.raises(Outage, match="chmod 600"):
        read_entry(path)


NO_LOGIN = ("login: ''\npassword: ''\ndepartment: d", "a: b: c", "login: x\nother: y")


@pytest.mark.parametrize("text", ["", "[1, 2]", "login: x", *NO_LOGIN])
def test_a_file_that_holds_no_login_is_refused(tmp_path: Path, text: str) -> None:
    path = tmp_path / FILE
    path.touch(mode=0o600)
    path.write_text(text)
    with pytest.raises(Outage, match="does not hold a login"):
        read_entry(path)


def test_a_login_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(Outage, match=r"There is no hub\.yaml"):
        read_entry(tmp_path / FILE)
