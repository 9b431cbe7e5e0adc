"""Who may do what at the hub: benches through its functions, readers one department, strangers nothing."""

import subprocess
import uuid
from pathlib import Path
from typing import Any

import psycopg
import pytest

from kiosk.store.outage import Outage
from kiosk.sync.founding import BENCH, OWNER, READER, administrator, enroll_reader, lay
from tests.sync.department import Department, Let
from tests.sync.rows import rows

pytestmark = pytest.mark.postgres

PROBES = {
    "read events": "SELECT * FROM sync.event",
    "read a month": "SELECT * FROM sync.{month}",
    "read logins": "SELECT * FROM sync.bench",
    "read pictures": "SELECT * FROM sync.picture",
    "read a picture's parts": "SELECT * FROM sync.picture_part",
    "read what others bring": "SELECT * FROM sync.picture_coming",
    "delete a picture": "DELETE FROM sync.picture_part",
    "write an event": "INSERT INTO sync.head VALUES (gen_random_uuid(), 'x', 1, '\\x00')",
    "change an event": "UPDATE sync.event SET who = 'P-1'",
    "delete an event": "DELETE FROM sync.event",
    "empty the table": "TRUNCATE sync.event",
    "copy in": "COPY sync.event FROM STDIN",
    "a table of its own": "CREATE TABLE sync_api.mine (n int)",
    "a temporary table": "CREATE TEMP TABLE mine (n int)",
    "a schema": "CREATE SCHEMA mine",
    "the function behind the door": "SELECT sync.make_partitions(now(), 1)",
    "the owner's role": "SET ROLE throughlight_owner",
    "a table in public": "CREATE TABLE public.mine (n int)",
}


def _as(hub: Department, login: str, password: str) -> "psycopg.Connection[tuple[Any, ...]]":
    return psycopg.connect(hub.server.url(hub.name), user=login, password=password, autocommit=True)


@pytest.mark.parametrize("probe", PROBES)
def test_a_bench_may_touch_nothing_but_the_door(hub: Department, probe: str) -> None:
    b1 = hub.let_in("B1")
    hub.hub(b1).push(b1.origin, rows(b1.origin, 3), sent_ms=0)
    month = hub.ask("SELECT relname FROM pg_class WHERE relispartition AND relname LIKE 'event_%%' ORDER BY 1")[0][0]
    with _as(hub, b1.login, b1.password) as bench, pytest.raises(psycopg.errors.InsufficientPrivilege):
        bench.execute(PROBES[probe].format(month=month).encode())


def test_the_same_probes_succeed_for_the_superuser_so_each_could_have(hub: Department) -> None:
    month = hub.ask("SELECT relname FROM pg_class WHERE relispartition AND relname LIKE 'event_%%' ORDER BY 1")[0][0]
    refused = []
    for name, sql in PROBES.items():
        if name in {"copy in", "write an event"}:  # one waits for rows, the other breaks a reference
            continue
        with hub.root() as root:
            try:
                root.execute(sql.format(month=month).encode())
            except psycopg.Error as fault:
                refused.append((name, str(fault)))
    assert refused == []


def test_a_bench_may_not_write_the_log_of_another(hub: Department) -> None:
    b1, b2 = hub.let_in("B1"), hub.let_in("B2")
    with pytest.raises(Outage) as told:
        hub.hub(b2).push(b1.origin, rows(b1.origin, 3), sent_ms=0)
    assert told.value.key == "hub_not_ours"
    with pytest.raises(Outage):
        hub.hub(b2).push(str(uuid.uuid4()), rows(b1.origin, 3), sent_ms=0)
    assert hub.stored(b1.origin) == []


def test_a_bench_sees_its_own_department_only(hub: Department) -> None:
    b1, far = hub.let_in("B1"), hub.let_in("B1", dept=f"{hub.dept}far")
    hub.hub(far).push(far.origin, rows(far.origin, 3), sent_ms=0)
    assert set(hub.hub(b1).heads()) == {b1.origin}
    with pytest.raises(Outage) as told:
        hub.hub(b1).pull(far.origin, 0, 10)
    assert told.value.key == "hub_not_ours"


@pytest.fixture
def audit(hub: Department) -> tuple[Let, Let, str, str]:
    """Two departments with events and a fork each, and a reader of the first."""
    near, far = hub.let_in("B1"), hub.let_in("B1", dept=f"{hub.dept}far")
    for let in (near, far):
        hub.hub(let).push(let.origin, rows(let.origin, 3), sent_ms=0)
        hub.hub(let).push(let.origin, rows(let.origin, 3, took_ms=1), sent_ms=0)
    with administrator(hub.server.socket_url(hub.name)) as connection:
        login, password = enroll_reader(connection, department=hub.dept, name="audit")
    return near, far, login, password or ""


@pytest.mark.parametrize("table", ["event", "head", "origin", "bench", "fork", "conflict"])
def test_a_reader_sees_one_department_by_the_tables_own_rules(
    hub: Department, audit: tuple[Let, Let, str, str], table: str
) -> None:
    _, _, login, password = audit
    assert {dept for (dept,) in hub.ask(f"SELECT dept FROM sync.{table}")} == {hub.dept, f"{hub.dept}far"}
    with _as(hub, login, password) as reader:
        seen = reader.execute(f"SELECT DISTINCT dept FROM sync.{table}".encode()).fetchall()
        assert seen == [(hub.dept,)]
        with pytest.raises(psycopg.errors.InsufficientPrivilege):
            reader.execute(f"DELETE FROM sync.{table}".encode())


def test_a_reader_may_not_push_nor_go_round_the_rules_by_a_month(
    hub: Department, audit: tuple[Let, Let, str, str]
) -> None:
    _, _, login, password = audit
    month = hub.ask("SELECT tableoid::regclass::text FROM sync.event LIMIT 1")[0][0]
    with _as(hub, login, password) as reader:
        for sql in (f"SELECT * FROM {month}", "SELECT * FROM sync_api.heads()", "SELECT * FROM sync.reader"):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                reader.execute(sql.encode())


def test_a_login_that_was_never_let_in_does_not_come_in(hub: Department) -> None:
    b1 = hub.let_in("B1")
    for login, password in (("postgres", ""), (b1.login, "guess"), (OWNER, ""), (BENCH, ""), ("nobody", "x")):
        with pytest.raises(psycopg.OperationalError):
            _as(hub, login, password).close()
    with pytest.raises(Outage) as told:
        hub.hub(Let(b1.name, b1.login, "guess", b1.origin, b1.key)).heads()
    assert told.value.key == "hub_refused"


def test_what_owns_the_functions_can_not_sign_in_and_is_no_superuser(hub: Department) -> None:
    found = hub.ask(
        "SELECT rolname, rolcanlogin, rolsuper, rolbypassrls, rolcreaterole, rolcreatedb FROM pg_roles "
        "WHERE rolname LIKE 'throughlight%%' ORDER BY 1"
    )
    assert found == [(name, False, False, False, False, False) for name in sorted((BENCH, OWNER, READER))]
    owned = hub.ask(
        "SELECT p.proname FROM pg_proc p JOIN pg_roles r ON r.oid = p.proowner JOIN pg_namespace n "
        "ON n.oid = p.pronamespace WHERE n.nspname IN ('sync', 'sync_api') AND r.rolname <> %s",
        OWNER,
    )
    assert owned == []


def test_every_function_that_runs_as_its_owner_fixes_where_names_are_looked_up(hub: Department) -> None:
    loose = hub.ask(
        "SELECT proname FROM pg_proc WHERE prosecdef AND pronamespace = 'sync_api'::regnamespace "
        "AND NOT coalesce(proconfig @> ARRAY['search_path=pg_catalog, pg_temp'], false)"
    )
    assert loose == []
    owned = "SELECT count(*) FROM pg_proc WHERE prosecdef AND pronamespace = 'sync_api'::regnamespace"
    assert hub.ask(owned) == [(7,)]


def test_every_table_holds_its_own_owner_to_its_rules(hub: Department) -> None:
    found = hub.ask(
        "SELECT relname FROM pg_class WHERE relnamespace = 'sync'::regnamespace AND relkind IN ('r', 'p') "
        "AND NOT relispartition AND NOT relforcerowsecurity ORDER BY 1"
    )
    assert [name for (name,) in found] == ["laid", "reader"]  # neither is granted to anybody


def test_a_login_has_its_limits(hub: Department) -> None:
    b1 = hub.let_in("B1")
    with _as(hub, b1.login, b1.password) as bench:
        limits = {"statement_timeout": "10s", "idle_in_transaction_session_timeout": "10s", "lock_timeout": "5s"}
        for name, value in {**limits, "idle_session_timeout": "1min"}.items():
            row = bench.execute(f"SHOW {name}".encode()).fetchone()
            assert row == (value,)
    open_ = [_as(hub, b1.login, b1.password) for _ in range(4)]
    with pytest.raises(psycopg.OperationalError, match="too many connections"):
        _as(hub, b1.login, b1.password)
    for each in open_:
        each.close()


def test_a_password_is_kept_hashed_as_scram_and_a_bench_that_is_known_keeps_it(hub: Department) -> None:
    b1 = hub.let_in("B1")
    (kept,) = hub.ask("SELECT rolpassword FROM pg_authid WHERE rolname = %s", b1.login)[0]
    assert kept.startswith("SCRAM-SHA-256$")
    assert b1.password not in kept
    again = hub.let_in("B1", origin=str(uuid.uuid4()))
    assert (again.login, again.password) == (b1.login, "")
    assert set(hub.hub(b1).heads()) == {b1.origin, again.origin}


def test_a_log_can_not_be_given_to_a_second_bench(hub: Department) -> None:
    b1 = hub.let_in("B1")
    with pytest.raises(Outage) as told:
        hub.let_in("B2", origin=b1.origin)
    assert told.value.key == "hub_taken"


def test_laying_a_hub_again_changes_nothing(hub: Department) -> None:
    def shape() -> str:
        words = ["/usr/bin/pg_dump", "--schema-only", hub.server.socket_url(hub.name)]
        out = subprocess.run(words, check=True, capture_output=True, text=True, timeout=60).stdout
        return "\n".join(line for line in out.splitlines() if not line.startswith(("--", "\\")))

    before = shape()
    with administrator(hub.server.socket_url(hub.name)) as connection:
        assert lay(connection) == (3, 3)
    assert shape() == before
    assert "CREATE FUNCTION sync_api.push" in before


def test_a_hub_that_a_newer_program_laid_is_left_alone(hub: Department) -> None:
    with hub.root() as root:
        root.execute("INSERT INTO sync.laid VALUES (99, '0099_later')")
    with (
        pytest.raises(Outage, match="newer program laid this hub"),
        administrator(hub.server.socket_url(hub.name)) as connection,
    ):
        lay(connection)


def test_a_migration_that_breaks_leaves_no_trace(hub: Department, tmp_path: Path) -> None:
    last = "CREATE TABLE sync.new (n int); SELECT 1/0"
    for name, sql in (("0001_a", ""), ("0002_b", ""), ("0003_c", ""), ("0004_d", last)):
        (tmp_path / f"{name}.sql").write_text(sql)
    with pytest.raises(Outage), administrator(hub.server.socket_url(hub.name)) as connection:
        lay(connection, tmp_path)
    assert hub.ask("SELECT max(number), to_regclass('sync.new') IS NULL FROM sync.laid") == [(3, True)]


def test_a_server_that_may_forget_what_it_answered_for_is_refused(hub: Department) -> None:
    with hub.root() as root:
        root.execute(f"ALTER DATABASE {hub.name} SET synchronous_commit = off".encode())
    with (
        pytest.raises(Outage, match="synchronous_commit is off"),
        administrator(hub.server.socket_url(hub.name)) as connection,
    ):
        lay(connection)
