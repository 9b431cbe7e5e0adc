"""A hub proves who it is, or nothing is sent to it. Against a real server with certificates of an own authority."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from kiosk.store.outage import Outage
from kiosk.sync.address import conninfo
from kiosk.sync.hub import Hub
from tests.sync.certificates import Authority
from tests.sync.department import Department, Let, new_department
from tests.sync.rows import rows
from tests.sync.server import Server, needs_one


@pytest.fixture(scope="module")
def authority(ground: Path) -> Authority:
    """The hub's own."""
    return Authority(ground, "own")


@pytest.fixture(scope="module")
def tls(ground: Path, authority: Authority) -> Iterator[Department]:
    """A hub that speaks nothing but TLS over the network; its certificate is for 127.0.0.1."""
    needs_one()
    server = Server(ground / "tls", tls=authority.server("127.0.0.1", "postgres" if os.geteuid() == 0 else ""))
    yield new_department(server)
    server.stop()


def _heads(tls: Department, let: Let, url: str = "", *, plain: bool = False, ca: str) -> int:
    with Hub(
        url or tls.server.url(tls.name), plain=plain, user=let.login, password=let.password, sslrootcert=ca
    ) as door:
        return len(door.heads())


@pytest.mark.postgres
@pytest.mark.slow
def test_a_hub_with_a_certificate_of_its_own_authority_is_spoken_to(tls: Department, authority: Authority) -> None:
    b1 = tls.let_in("B1")
    url, ca = tls.server.url(tls.name), str(authority.path)
    with Hub(url, user=b1.login, password=b1.password, sslrootcert=ca) as door:
        assert door.push(b1.origin, rows(b1.origin, 3), sent_ms=0).code == "ok"
        found = tls.ask(
            "SELECT version FROM pg_stat_ssl JOIN pg_stat_activity USING (pid) WHERE usename = %s", b1.login
        )
        assert found == [("TLSv1.3",)]


@pytest.mark.postgres
@pytest.mark.slow
def test_a_hub_that_another_authority_vouches_for_is_not(tls: Department, ground: Path) -> None:
    b1, other = tls.let_in("B2"), Authority(ground, "other")
    for ca in (str(other.path), "system"):
        with pytest.raises(Outage) as told:
            _heads(tls, b1, ca=ca)
        assert told.value.key == "hub_not_proved"


@pytest.mark.postgres
@pytest.mark.slow
def test_a_hub_under_a_name_that_its_certificate_does_not_hold_is_not(tls: Department, authority: Authority) -> None:
    b1 = tls.let_in("B3")
    with pytest.raises(Outage) as told:
        _heads(
            tls, b1, f"postgresql://127.0.0.2:{tls.server.port}/{tls.name}?hostaddr=127.0.0.1", ca=str(authority.path)
        )
    assert told.value.key == "hub_not_proved"


@pytest.mark.postgres
@pytest.mark.slow
def test_a_hub_that_wants_tls_lets_nobody_in_without(tls: Department, authority: Authority) -> None:
    b1 = tls.let_in("B4")
    with pytest.raises(Outage) as told:
        _heads(tls, b1, plain=True, ca=str(authority.path))
    assert told.value.key == "hub_refused"


@pytest.mark.postgres
def test_a_hub_that_has_no_tls_is_not_spoken_to_unless_asked_for(hub: Department, ground: Path) -> None:
    b1, ca = hub.let_in("B1"), str(Authority(ground, "none").path)
    with pytest.raises(Outage) as told:
        _heads(hub, b1, ca=ca)
    assert told.value.key == "hub_not_proved"
    assert _heads(hub, b1, plain=True, ca=ca) == 1


@pytest.mark.parametrize(
    ("url", "key"),
    [
        ("hub.example", "hub_url"),
        ("http://hub.example/day", "hub_url"),
        ("postgresql://hub.example", "hub_url"),
        ("postgresql://one.example,two.example/day", "hub_url"),
        ("postgresql://hub.example/day?options=-csearch_path%3Dmine", "hub_url"),
        ("postgresql://hub.example/day?sslmode=require", "hub_not_proved"),
        ("postgresql://hub.example/day?sslmode=disable", "hub_not_proved"),
    ],
)
def test_an_address_that_is_none_or_weakens_the_proof_is_refused(url: str, key: str) -> None:
    with pytest.raises(Outage) as told:
        conninfo(url)
    assert told.value.key == key


@pytest.mark.parametrize("host", ["hub.example", "10.0.0.7", "::2"])
def test_without_tls_only_this_machine_is_spoken_to(host: str) -> None:
    url = f"postgresql://[{host}]/day" if ":" in host else f"postgresql://{host}/day"
    with pytest.raises(Outage) as told:
        conninfo(url, plain=True)
    assert told.value.key == "hub_plain"


def test_what_libpq_is_told_for_each_kind_of_way() -> None:
    assert conninfo("postgresql://hub.example/day")["sslmode"] == "verify-full"
    assert conninfo("postgresql://hub.example/day")["sslrootcert"] == "system"
    assert conninfo("postgresql://127.0.0.1/day")["sslmode"] == "verify-full"
    assert conninfo("postgresql://127.0.0.1/day", plain=True)["sslmode"] == "disable"
    assert conninfo("postgresql:///day?host=/run/postgresql")["sslmode"] == "disable"


@pytest.mark.postgres
@pytest.mark.slow
def test_a_server_that_asks_for_the_password_in_clear_is_not_told_it(ground: Path, authority: Authority) -> None:
    """Whoever stands in between with a certificate of the authority learns nothing: the login is bound to the line."""
    needs_one()
    keys = authority.server("127.0.0.1", "postgres" if os.geteuid() == 0 else "")
    server = Server(ground / "curious", tls=keys, asks="password")
    curious = new_department(server)
    with pytest.raises(Outage) as told:
        _heads(curious, curious.let_in("B1"), ca=str(authority.path))
    assert told.value.key == "hub_not_proved"
    server.stop()
