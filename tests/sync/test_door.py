"""What the hub takes, what it answers, and what it never does: push and pull against a real server."""

import random
import uuid
from datetime import UTC, datetime
from typing import Any

import psycopg
import pytest

from kiosk.store.chain import COLUMNS
from kiosk.store.outage import Outage
from kiosk.sync.founding import Incarnation
from tests.sync.department import Department, Let
from tests.sync.rows import Row, damaged, relinked, rows

pytestmark = pytest.mark.postgres


def _take(hub: Department, let: Let, batch: list[Row], recv: datetime, short: int = -1) -> str:
    """The function behind push(), at a moment of our choosing, as only the superuser may call it. `short`: a column
    that lacks its last value.
    """
    columns: list[list[Any]] = [list(column) for column in zip(*batch, strict=True)]
    if short >= 0:
        columns[short].pop()
    kinds = ["int8[]"] * 7 + ["text[]"] * 6 + ["bytea[]"] * 2
    places = ", ".join(f"%s::{kind}" for kind in kinds)
    sql = (
        f"SELECT code FROM sync.take(%s, %s, %s, %s, {places}, 0, "
        "NULL::int8, NULL::int8, NULL::bytea, NULL::int8, NULL::bytea)"
    )
    return str(hub.ask(sql, let.login, recv, let.origin, batch[0][0], *columns[1:])[0][0])


def test_what_is_pushed_is_there_byte_for_byte_and_comes_back_the_same(hub: Department) -> None:
    b1, b2 = hub.let_in("B1"), hub.let_in("B2")
    log = rows(b1.origin, 40)
    answer = hub.hub(b1).push(b1.origin, log, sent_ms=0)
    assert (answer.code, answer.seq, answer.h) == ("ok", 40, log[-1][15])
    assert hub.stored(b1.origin) == log
    assert hub.hub(b2).pull(b1.origin, 0, 1000) == log
    assert hub.hub(b2).pull(b1.origin, 30, 4) == log[30:34]


def test_every_column_of_the_chain_is_stored(hub: Department) -> None:
    found = hub.ask(
        "SELECT column_name FROM information_schema.columns WHERE (table_schema, table_name) = ('sync', 'event')"
    )
    assert {name for (name,) in found} == {*COLUMNS, "recv", "origin", "dept"}


@pytest.mark.parametrize("column", range(1, 16), ids=COLUMNS[1:])
def test_a_batch_with_one_bit_turned_in_any_column_is_refused_whole_and_names_the_row(
    hub: Department, column: int
) -> None:
    b1, chance = hub.let_in("B1"), random.Random(column)
    log, door = rows(b1.origin, 9), hub.hub(b1)
    for at in (0, 4, 8):
        batch = [*log[:at], damaged(log[at], column, chance), *log[at + 1 :]]
        answer = door.push(b1.origin, batch, sent_ms=0)
        assert (answer.code, answer.seq) == ("badhash", at + 1)
        assert hub.stored(b1.origin) == []
    assert door.push(b1.origin, log, sent_ms=0).code == "ok"


def test_a_row_of_another_log_does_not_hold_here(hub: Department) -> None:
    b1 = hub.let_in("B1")
    assert hub.hub(b1).push(b1.origin, rows(str(uuid.uuid4()), 3), sent_ms=0).code == "badhash"


def test_what_comes_twice_late_or_too_early_changes_nothing(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 60), hub.hub(b1)
    for first, last, code, head in (
        (0, 20, "ok", 20), (0, 20, "ok", 20),    # the same again
        (30, 40, "gap", 20),                     # reordered: the later half first
        (10, 30, "ok", 30),                      # half of it known
        (20, 25, "ok", 30),                      # known in the middle
        (31, 60, "gap", 30), (30, 60, "ok", 60), (0, 60, "ok", 60),
    ):  # fmt: skip
        answer = door.push(b1.origin, log[first:last], sent_ms=0)
        assert (answer.code, answer.seq, answer.h) == (code, head, log[head - 1][15]), (first, last)
    assert hub.stored(b1.origin) == log


def test_batches_in_any_order_any_number_of_times_end_as_the_log_itself(hub: Department) -> None:
    b1, chance = hub.let_in("B1"), random.Random(3)
    log, door = rows(b1.origin, 120), hub.hub(b1)
    for _ in range(200):
        first = chance.randrange(120)
        door.push(b1.origin, log[first : first + chance.randrange(1, 40)], sent_ms=0)
    head = door.heads()[b1.origin].seq
    assert hub.stored(b1.origin) == log[:head]
    assert head > 60


def test_rows_that_come_again_in_the_next_month_are_not_doubled(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log = rows(b1.origin, 30)
    november, december = datetime(2031, 11, 30, 23, 59, tzinfo=UTC), datetime(2031, 12, 1, 0, 1, tzinfo=UTC)
    assert _take(hub, b1, log[:20], november) == "ok"
    assert _take(hub, b1, log[:20], december) == "ok"
    assert _take(hub, b1, log[10:30], december) == "ok"
    assert hub.stored(b1.origin) == log
    months = hub.ask("SELECT tableoid::regclass::text, count(*) FROM sync.event GROUP BY 1 ORDER BY 1")
    assert months == [("sync.event_2031_11", 20), ("sync.event_2031_12", 10)]
    assert hub.hub(b1).pull(b1.origin, 15, 10) == log[15:25]


def test_months_are_made_ahead_and_one_that_lacks_is_made_when_it_is_needed(hub: Department) -> None:
    (made,) = hub.ask("SELECT count(*) FROM pg_inherits WHERE inhparent = 'sync.event'::regclass")[0]
    assert made == 4
    assert hub.ask("SELECT sync.make_partitions('2040-01-31 23:30-05', 1)") == [(2,)]
    assert hub.ask("SELECT sync.make_partitions('2040-01-31 23:30-05', 1)") == [(0,)]
    assert hub.ask("SELECT to_regclass('sync.event_2040_02') IS NOT NULL, to_regclass('sync.event_2040_01') IS NULL")[
        0
    ] == (True, True)


def test_a_bench_that_uses_its_numbers_twice_is_found_and_both_branches_are_kept(hub: Department) -> None:
    b1, b2 = hub.let_in("B1"), hub.let_in("B2")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    other = rows(b1.origin, 10, after=20, before=log[19][15], took_ms=1)
    assert door.push(b1.origin, log, sent_ms=0).code == "ok"
    answer = door.push(b1.origin, other, sent_ms=0, signed=b1.signed(other[-1]))
    assert (answer.code, answer.seq, answer.h) == ("fork", 30, log[-1][15])
    assert hub.stored(b1.origin) == log
    assert hub.ask("SELECT seq, h FROM sync.fork ORDER BY seq") == [(row[0], row[15]) for row in other]
    assert hub.ask("SELECT kind, seq, closed_by_event FROM sync.conflict") == [("fork", 21, None)]
    assert hub.hub(b2).heads()[b1.origin].state == "forked"
    assert door.push(b1.origin, rows(b1.origin, 1, after=30, before=log[-1][15]), sent_ms=0).code == "fork"
    assert hub.stored(b1.origin) == log


def test_the_rest_of_the_other_branch_is_kept_too(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    other = rows(b1.origin, 40, after=20, before=log[19][15], took_ms=1)
    door.push(b1.origin, log, sent_ms=0)
    door.push(b1.origin, other[:15], sent_ms=0, signed=b1.signed(other[14]))
    assert door.push(b1.origin, other[15:], sent_ms=0).code == "fork"
    assert door.push(b1.origin, rows(b1.origin, 3, after=80, before=bytes(32)), sent_ms=0).code == "forked"
    assert [seq for (seq,) in hub.ask("SELECT seq FROM sync.fork ORDER BY seq")] == list(range(21, 61))


def test_a_contradiction_that_no_key_signed_is_kept_but_marks_no_bench(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    door.push(b1.origin, log[:29], sent_ms=0)
    other = rows(b1.origin, 5, after=20, before=log[19][15], took_ms=1)
    assert door.push(b1.origin, other, sent_ms=0).code == "fork"
    assert door.heads()[b1.origin].state == "active"
    assert door.push(b1.origin, log[29:], sent_ms=0).code == "ok"


def test_a_hub_that_lost_the_end_of_a_log_holds_whichever_branch_comes_first_and_no_event_twice(
    hub: Department,
) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    other = rows(b1.origin, 15, after=20, before=log[19][15], took_ms=1)
    door.push(b1.origin, log, sent_ms=0)
    assert door.push(b1.origin, other, sent_ms=0).code == "fork"
    with hub.root() as root:
        root.execute("DELETE FROM sync.event WHERE seq > 20")
        root.execute("UPDATE sync.head SET seq = 20, h = %s", (log[19][15],))
    assert door.push(b1.origin, other[:10], sent_ms=0).code == "ok"
    assert hub.stored(b1.origin) == [*log[:20], *other[:10]]
    assert [seq for (seq,) in hub.ask("SELECT seq FROM sync.fork ORDER BY seq")] == list(range(31, 36))
    assert door.push(b1.origin, log[20:], sent_ms=0).code == "fork"
    assert len(hub.ask("SELECT FROM sync.fork")) == 15


def test_damage_in_what_is_known_already_is_no_fork(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    door.push(b1.origin, log, sent_ms=0)
    bad = (*log[29][:15], bytes(32))
    assert door.push(b1.origin, [*log[20:29], bad], sent_ms=0, signed=b1.signed(bad)).code == "badhash"
    assert hub.ask("SELECT count(*) FROM sync.fork") == [(0,)]
    assert door.heads()[b1.origin].state == "active"


def test_a_log_that_follows_another_begins_at_its_number_and_hash(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 20), hub.hub(b1)
    door.push(b1.origin, log, sent_ms=0)
    follows = Incarnation(15, b1.origin, log[14][15])
    second = hub.let_in("B1", known=b1, follows=follows)
    assert second.login == b1.login
    head = door.heads()[second.origin]
    assert (head.seq, head.h, head.was) == (15, log[14][15], (b1.origin, 15, log[14][15]))
    more = rows(second.origin, 10, after=15, before=log[14][15])
    assert door.push(second.origin, more, sent_ms=0).code == "ok"
    assert hub.stored(second.origin) == more
    with pytest.raises(Outage) as told:
        door.push(second.origin, rows(second.origin, 3), sent_ms=0)
    assert told.value.key == "hub_said"


def test_the_newest_signed_head_comes_with_the_heads(hub: Department) -> None:
    b1, b2 = hub.let_in("B1"), hub.let_in("B2")
    log, door = rows(b1.origin, 12), hub.hub(b1)
    signed = b1.signed(log[-1])
    door.push(b1.origin, log, sent_ms=0, signed=signed)
    head = hub.hub(b2).heads()[b1.origin]
    assert head.signed == signed
    assert head.public_key == b1.key.public_key().public_bytes_raw()
    said = b"spl-head1" + b1.origin.encode() + (12).to_bytes(8, "big") + signed.hlc.to_bytes(8, "big") + signed.h
    b1.key.public_key().verify(head.signed.sig, said)


def test_a_signed_head_that_contradicts_the_log_is_not_kept(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 12), hub.hub(b1)
    other = rows(b1.origin, 12, took_ms=1)
    door.push(b1.origin, log, sent_ms=0, signed=b1.signed(other[5]))
    assert door.heads()[b1.origin].signed is None
    door.push(b1.origin, log[5:6], sent_ms=0, signed=b1.signed(log[5]))
    assert door.heads()[b1.origin].signed == b1.signed(log[5])


def test_the_hub_says_how_far_a_benchs_clock_is_off(hub: Department) -> None:
    b1 = hub.let_in("B1")
    hub.hub(b1).push(b1.origin, rows(b1.origin, 1), sent_ms=1000)
    (behind, now) = hub.ask("SELECT behind_ms, (extract(epoch FROM recv) * 1000)::bigint FROM sync.head")[0]
    assert behind == now - 1000


@pytest.mark.parametrize("mode", ["off", "local", "remote_write"])
def test_nothing_is_taken_while_commits_may_be_lost(hub: Department, mode: str) -> None:
    b1 = hub.let_in("B1")
    with hub.root() as root:
        root.execute(f"ALTER DATABASE {hub.name} SET synchronous_commit = '{mode}'".encode())
    with pytest.raises(Outage) as told:
        hub.hub(b1).push(b1.origin, rows(b1.origin, 1), sent_ms=0)
    assert "synchronous_commit" in str(told.value)
    assert hub.stored(b1.origin) == []


def test_a_batch_of_too_much_or_of_ragged_columns_is_refused(hub: Department) -> None:
    b1, log = hub.let_in("B1"), rows(str(uuid.uuid4()), 3)
    with pytest.raises(Outage, match="1 to 5000 rows"):
        hub.hub(b1).push(b1.origin, rows(b1.origin, 5001), sent_ms=0)
    for column in range(1, 15):
        with pytest.raises(psycopg.errors.InvalidParameterValue):
            _take(hub, b1, log, datetime.now(UTC), short=column)


def test_a_text_that_another_writing_of_the_same_letters_would_change_is_told_apart(hub: Department) -> None:
    """The e with its accent as one sign and as two: the same to a reader, not the same bytes."""
    b1 = hub.let_in("B1")
    (row,) = rows(b1.origin, 1)
    one = relinked(b1.origin, row, bytes(32), who="P-\u00e9")
    two = (*one[:12], "P-e\u0301", *one[13:])
    door = hub.hub(b1)
    assert door.push(b1.origin, [two], sent_ms=0).code == "badhash"
    assert door.push(b1.origin, [one], sent_ms=0).code == "ok"
