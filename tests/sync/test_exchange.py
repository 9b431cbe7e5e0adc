"""A round between bench and hub: whatever either lost, doubled or was set back to, the logs come together."""

import shutil
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from kiosk.store.chain import COLUMNS
from kiosk.store.database import Store
from kiosk.store.heard import Heard
from kiosk.store.outage import Outage
from kiosk.sync import exchange
from kiosk.sync.exchange import Door, Own, Sent, fetch_moved, fetch_others, send_own
from kiosk.sync.founding import Incarnation
from kiosk.sync.hub import BATCH
from kiosk.sync.own import OwnLog
from tests.sync.department import Department
from tests.sync.logs import Listed, Station
from tests.sync.rows import damaged, rows

pytestmark = pytest.mark.postgres


def send(own: Own, door: Door) -> Sent:
    return send_own(own, door, sent_ms=lambda: 0)


def said(sent: Sent) -> list[tuple[str, int]]:
    return [(verdict.kind, verdict.seq) for verdict in sent.verdicts]


def test_a_round_sends_what_the_hub_lacks_and_the_next_one_nothing(hub: Department, tmp_path: Path) -> None:
    b1 = Station(tmp_path / "b1", "B1", hub)
    b1.work(7)
    door = hub.hub(b1.lets[0])
    assert (send(b1.own, door).rows, send(b1.own, door).rows) == (7, 0)
    b1.work(2)
    sent = send(b1.own, door)
    assert (sent.rows, sent.waiting, sent.verdicts, sent.acked) == (2, 0, [], {b1.origin: 9})
    assert hub.stored(b1.origin) == b1.rows
    b1.close()


def test_a_long_log_goes_in_batches(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 2 * BATCH + 7))
    assert send(own, hub.hub(b1)).rows == 2 * BATCH + 7
    assert hub.stored(b1.origin) == own.kept


def test_sending_can_be_stopped_between_two_batches(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own, asked = Listed(b1, rows(b1.origin, 3 * BATCH)), iter([False, True])
    sent = send_own(own, hub.hub(b1), sent_ms=lambda: 0, stop=lambda: next(asked))
    assert (sent.rows, sent.waiting, sent.acked) == (BATCH, 2 * BATCH, {b1.origin: BATCH})


def test_two_benches_hear_each_other_and_take_in_what_they_heard(hub: Department, tmp_path: Path) -> None:
    b1, b2 = (Station(tmp_path / name, name, hub) for name in ("B1", "B2"))
    b1.work(5)
    b2.work(9)
    for here, there in ((b1, b2), (b2, b1)):
        send(here.own, hub.hub(here.lets[0]))
        send(there.own, hub.hub(there.lets[0]))
        door = hub.hub(here.lets[0])
        for segment in fetch_others(door, here.own.heard(), own=frozenset({here.origin}), limit=100):
            assert segment.bench == there.bench
            here.heard.take(segment.origin, segment.rows)
        assert here.own.heard() == {there.origin: len(there.rows)}
        assert fetch_others(door, here.own.heard(), own=frozenset({here.origin}), limit=100) == []
        columns = ", ".join(COLUMNS)
        found = here.store.db.conn.execute(f"SELECT {columns} FROM remote_event ORDER BY seq").fetchall()
        assert [tuple(row) for row in found] == there.rows
    b1.close()
    b2.close()


def test_what_is_fetched_is_no_more_than_was_asked_for(hub: Department) -> None:
    b1, b2, b3 = (hub.let_in(name) for name in ("B1", "B2", "B3"))
    for let in (b1, b2):
        send(Listed(let, rows(let.origin, 30)), hub.hub(let))
    door, known = hub.hub(b3), dict[str, int]()
    while got := fetch_others(door, known, own=frozenset({b3.origin}), limit=7):
        assert sum(len(segment.rows) for segment in got) <= 7
        known |= {segment.origin: segment.rows[-1][0] for segment in got}
    assert known == {b1.origin: 30, b2.origin: 30}


def test_a_log_that_is_not_taken_in_here_keeps_no_other_from_coming(hub: Department) -> None:
    """As that of a neighbor of whom this bench has heard another branch."""
    lets = [hub.let_in(name) for name in ("B1", "B2", "B3")]
    for let in lets[:2]:
        send(Listed(let, rows(let.origin, 30)), hub.hub(let))
    got = fetch_others(hub.hub(lets[2]), {}, own=frozenset(), limit=7)
    assert [len(segment.rows) for segment in got] == [3, 4]
    got = fetch_others(hub.hub(lets[2]), {}, own=frozenset(), limit=1)
    assert [len(segment.rows) for segment in got] == [1, 1]


def test_a_log_waits_for_the_one_that_it_follows_but_not_for_one_that_is_refused_here(hub: Department) -> None:
    """Folded onto half of the log before it, a bench would be noted as it never was."""
    b1, b3 = hub.let_in("B1"), hub.let_in("B3")
    log = rows(b1.origin, 30)
    send(Listed(b1, log), hub.hub(b1))
    next_log = hub.let_in("B1", known=b1, follows=Incarnation(30, b1.origin, log[-1][15]))
    more = rows(next_log.origin, 5, after=30, before=log[-1][15])
    send(Listed(next_log, more, after=30, was_h=log[-1][15]), hub.hub(next_log))
    door, known, seen = hub.hub(b3), dict[str, int](), []
    while got := fetch_others(door, known, own=frozenset(), limit=9):
        seen += [(segment.origin, row[0]) for segment in got for row in segment.rows]
        known |= {segment.origin: segment.rows[-1][0] for segment in got}
    assert seen == [(b1.origin, n) for n in range(1, 31)] + [(next_log.origin, n) for n in range(31, 36)]
    got = fetch_others(door, {}, own=frozenset(), limit=9, refused={b1.origin: 30})
    assert [segment.origin for segment in got] == [next_log.origin]
    got = fetch_others(door, {}, own=frozenset(), limit=9, refused={b1.origin: 29})
    assert [segment.origin for segment in got] == [b1.origin, next_log.origin]
    with hub.root() as root:  # as where it follows the branch that the hub keeps aside
        root.execute("DELETE FROM sync.event WHERE origin = %s AND seq > 20", (b1.origin,))
        root.execute("UPDATE sync.head SET seq = 20, h = %s WHERE origin = %s", (log[19][15], b1.origin))
    got = fetch_others(door, {b1.origin: 20}, own=frozenset(), limit=9)
    assert [segment.origin for segment in got] == [next_log.origin]


def test_a_contradiction_that_the_hub_itself_does_not_see_is_no_fork(hub: Department) -> None:
    """One wrong word of the hub about its head, and what is here is taken as it is."""
    b1 = hub.let_in("B1")
    own, door = Listed(b1, rows(b1.origin, 30)), hub.hub(b1)
    send(own, door)

    class Wrong:
        push, pull = door.push, door.pull

        def heads(self) -> dict[str, Any]:
            return {origin: replace(head, h=bytes(32)) for origin, head in door.heads().items()}

    assert send(own, Wrong()).verdicts == []
    assert send(own, door).verdicts == []


def test_a_hub_that_was_set_back_to_yesterday_is_sent_the_rest_again(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 40))
    send(own, hub.hub(b1))
    hub.server_copy("yesterday")
    own.kept += rows(b1.origin, 60, after=40, before=own.kept[-1][15])
    assert send(own, hub.hub(b1)).rows == 60
    hub.set_back("yesterday")
    assert len(hub.stored(b1.origin)) == 40
    sent = send(own, hub.hub(b1))
    assert (sent.rows, sent.verdicts) == (60, [])
    assert hub.stored(b1.origin) == own.kept


def test_a_hub_that_is_set_back_in_the_middle_of_a_round_is_met_from_its_head(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own = Listed(b1, rows(b1.origin, 3 * BATCH))

    def set_back() -> int:
        if hub.stored(b1.origin)[-1:] == own.kept[2 * BATCH - 1 : 2 * BATCH]:
            with hub.root() as root:
                root.execute("DELETE FROM sync.event WHERE seq > 10")
                root.execute("UPDATE sync.head SET seq = 10, h = %s", (own.kept[9][15],))
        return 0

    sent = send_own(own, hub.hub(b1), sent_ms=set_back)
    assert sent.verdicts == []
    assert hub.stored(b1.origin) == own.kept


def test_a_bench_that_lost_its_end_is_told_from_where_on_the_hub_has_more(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 30), hub.hub(b1)
    send(Listed(b1, log), door)
    assert said(send(Listed(b1, log[:22]), door)) == [("ahead", 23)]


@pytest.mark.parametrize(("alike", "first", "second"), [(0, 5, 3), (20, 30, 25), (20, 22, 60), (29, 30, 30)])
def test_numbers_that_were_used_twice_are_found_where_the_branches_part(
    hub: Department, alike: int, first: int, second: int
) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, first), hub.hub(b1)
    send(Listed(b1, log), door)
    before = log[alike - 1][15] if alike else bytes(32)
    own = Listed(
        b1, [*log[:alike], *rows(b1.origin, second - alike, after=alike, before=before, took_ms=1)], signs=True
    )
    sent = send(own, door)
    assert said(sent) == [("fork", alike + 1)]
    assert hub.stored(b1.origin) == log
    assert hub.ask("SELECT seq, h FROM sync.fork ORDER BY seq") == [(row[0], row[15]) for row in own.kept[alike:]]
    assert hub.ask("SELECT state FROM sync.origin") == [("forked",)]
    assert said(send(own, door)) == [("fork", alike + 1)]
    assert said(send(Listed(b1, log), door)) == [("fork", first + 1)]  # the other copy is told too


def test_a_fork_that_comes_about_while_a_round_runs_is_found_in_it(hub: Department) -> None:
    """Two copies of one bench, both awake: the other one is faster."""
    b1 = hub.let_in("B1")
    log = rows(b1.origin, 10)
    mine = Listed(b1, [*log, *rows(b1.origin, 5, after=10, before=log[-1][15], took_ms=1)], signs=True)
    other = Listed(b1, [*log, *rows(b1.origin, 8, after=10, before=log[-1][15], took_ms=2)])
    send(Listed(b1, log), hub.hub(b1))
    waiting = [other]

    def sent_ms() -> int:
        while waiting:
            send(waiting.pop(), hub.hub(b1))
        return 0

    sent = send_own(mine, hub.hub(b1), sent_ms=sent_ms)
    assert (said(sent), sent.acked) == ([("fork", 11)], {})
    assert hub.stored(b1.origin) == other.kept


@pytest.mark.parametrize("signs", [True, False])
def test_a_branch_that_goes_far_beyond_the_hubs_head_is_kept_whole(
    hub: Department, monkeypatch: pytest.MonkeyPatch, signs: bool
) -> None:
    """The signature that marks the fork comes with the last batch only, or never."""
    monkeypatch.setattr(exchange, "BATCH", 3)
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 6), hub.hub(b1)
    send(Listed(b1, log), door)
    own = Listed(b1, [*log[:3], *rows(b1.origin, 11, after=3, before=log[2][15], took_ms=1)], signs=signs)
    assert said(send(own, door)) == [("fork", 4)]
    assert hub.ask("SELECT seq, h FROM sync.fork ORDER BY seq") == [(row[0], row[15]) for row in own.kept[3:]]
    assert hub.stored(b1.origin) == log


def test_what_was_kept_before_a_bench_heard_of_the_fork_is_kept_at_the_hub_too(hub: Department) -> None:
    """Its branch is the hub's own, and goes on: the log takes nothing more, the record does."""
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 10), hub.hub(b1)
    send(Listed(b1, log[:6]), door)
    other = Listed(b1, [*log[:4], *rows(b1.origin, 2, after=4, before=log[3][15], took_ms=1)], signs=True)
    send(other, door)
    assert said(send(Listed(b1, log), door)) == [("fork", 7)]
    kept = [*other.kept[4:], *log[6:]]
    assert hub.ask("SELECT seq, h FROM sync.fork ORDER BY seq") == [(row[0], row[15]) for row in kept]


def test_the_signed_head_that_is_told_is_of_the_branch_that_is_given_out(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 5), hub.hub(b1)
    first = Listed(b1, log, signs=True)
    send(first, door)
    send(Listed(b1, [*log[:3], *rows(b1.origin, 6, after=3, before=log[2][15], took_ms=1)], signs=True), door)
    assert door.heads()[b1.origin].state == "forked"
    assert door.heads()[b1.origin].signed == first.signed(b1.origin)


def test_a_hub_that_is_set_back_while_the_branches_are_compared_is_asked_again_later(hub: Department) -> None:
    b1 = hub.let_in("B1")
    log, door = rows(b1.origin, 9), hub.hub(b1)
    send(Listed(b1, log), door)
    with hub.root() as root:
        root.execute("DELETE FROM sync.event WHERE seq > 3")
    with pytest.raises(Outage):
        send(Listed(b1, log[:7]), door)


def test_a_bench_that_was_put_back_hears_again_what_it_had_sent(hub: Department, tmp_path: Path) -> None:
    b1 = Station(tmp_path / "b1", "B1", hub)
    old, door = b1.origin, hub.hub(b1.lets[0])
    b1.work(6)
    log = b1.rows
    send(b1.own, door)
    b1.close()
    shutil.rmtree(tmp_path / "b1")
    with Store(tmp_path / "b1", "B1") as store:  # as a backup of the fourth event would bring it back
        store.db.conn.execute("UPDATE meta SET v = ? WHERE k = 'origin'", (old,))
        store.db.conn.execute("DROP TRIGGER incarnation_never_changes")
        store.db.conn.execute("UPDATE incarnation SET origin = ?", (old,))
        marks = ", ".join("?" * len(COLUMNS))
        columns = ", ".join(COLUMNS)
        store.db.conn.executemany(f"INSERT INTO event ({columns}) VALUES ({marks})", log[:4])
    with Store(tmp_path / "b1", "B1") as store:
        own, heard = OwnLog(tmp_path / "b1"), Heard(store)
        assert store.origin != old
        got = []
        while segments := fetch_moved(own, door, Sent(), limit=1):
            got += [kept for one in segments for _, kept in heard.take(one.origin, one.rows, was=one.was)]
        assert len(got) == 2
        columns = ", ".join(COLUMNS)
        found = store.db.conn.execute(f"SELECT {columns} FROM remote_event ORDER BY seq").fetchall()
        assert [tuple(row) for row in found] == log[4:]
        own.close()


def test_a_log_that_the_hub_was_not_told_of_waits(hub: Department) -> None:
    b1 = hub.let_in("B1")
    stranger = hub.let_in("B1", dept=f"{hub.dept}x")
    sent = send(Listed(stranger, rows(stranger.origin, 4)), hub.hub(b1))
    assert (said(sent), sent.waiting, sent.rows) == ([("unknown", 0)], 4, 0)


def test_nothing_is_sent_to_a_log_that_is_closed(hub: Department) -> None:
    b1 = hub.let_in("B1")
    with hub.root() as root:
        root.execute("UPDATE sync.origin SET state = 'retired'")
    sent = send(Listed(b1, rows(b1.origin, 4)), hub.hub(b1))
    assert (said(sent), sent.waiting) == ([("retired", 0)], 4)
    assert hub.hub(b1).push(b1.origin, rows(b1.origin, 4), sent_ms=0).code == "retired"


def test_a_row_that_is_damaged_here_is_named_and_what_stands_before_it_is_sent_no_further(hub: Department) -> None:
    import random

    b1 = hub.let_in("B1")
    log = rows(b1.origin, 20)
    own = Listed(b1, [*log[:12], damaged(log[12], 14, random.Random(1)), *log[13:]])
    sent = send(own, hub.hub(b1))
    assert (said(sent), sent.waiting) == ([("damaged", 13)], 20)
    assert hub.stored(b1.origin) == []


def test_a_bench_that_begins_anew_sends_the_rest_of_the_old_log_first(hub: Department) -> None:
    b1 = hub.let_in("B1")
    old = rows(b1.origin, 20)
    send(Listed(b1, old[:12]), hub.hub(b1))
    new = hub.let_in("B1", known=b1, follows=Incarnation(20, b1.origin, old[-1][15]))
    more = rows(new.origin, 5, after=20, before=old[-1][15])

    class Both(Listed):
        def stretches(self) -> list:  # type: ignore[type-arg]
            return [*Listed(b1, old).stretches(), *Listed(new, more, 20, old[-1][15]).stretches()]

    sent = send(Both(b1, [*old, *more]), hub.hub(b1))
    assert (sent.rows, sent.verdicts) == (13, [])
    assert (hub.stored(b1.origin), hub.stored(new.origin)) == (old, more)
    b2 = hub.let_in("B2")
    got = fetch_others(hub.hub(b2), {}, own=frozenset({b2.origin}), limit=100)
    assert [(segment.origin, segment.was) for segment in got] == [
        (b1.origin, None),
        (new.origin, (b1.origin, 20, old[-1][15])),
    ]


def test_a_head_that_is_signed_after_its_event_was_sent_follows_it(hub: Department) -> None:
    b1 = hub.let_in("B1")
    own, door = Listed(b1, rows(b1.origin, 6)), hub.hub(b1)
    send(own, door)
    assert door.heads()[b1.origin].signed is None
    own.signs = True
    assert send(own, door).rows == 0
    assert door.heads()[b1.origin].signed == b1.signed(own.kept[-1])


def test_two_hubs_hold_the_union_and_either_finds_a_fork(hub: Department, second: Department, tmp_path: Path) -> None:
    b1, b2 = (Station(tmp_path / name, name, hub, second) for name in ("B1", "B2"))
    b1.work(20)
    b2.work(11)
    send(b1.own, hub.hub(b1.lets[0]))
    b1.work(5)
    send(b1.own, second.hub(b1.lets[1]))
    send(b2.own, second.hub(b2.lets[1]))
    for n, each in enumerate((hub, second)):
        for station in (b1, b2):
            assert send(station.own, each.hub(station.lets[n])).verdicts == []
        assert each.stored(b1.origin) == b1.rows
        assert each.stored(b2.origin) == b2.rows
    before = b1.rows[-1][15]
    one, other = (rows(b1.origin, 2, after=25, before=before, took_ms=took) for took in (1, 2))
    for n, (each, branch) in enumerate(((hub, one), (second, other))):
        assert send(Listed(b1.lets[n], [*b1.rows, *branch]), each.hub(b1.lets[n])).verdicts == []
    for n, (each, branch) in enumerate(((hub, other), (second, one))):
        assert said(send(Listed(b1.lets[n], [*b1.rows, *branch]), each.hub(b1.lets[n]))) == [("fork", 26)]
    b1.close()
    b2.close()


def test_a_reader_of_the_hub_alone_has_what_every_bench_kept(hub: Department, tmp_path: Path) -> None:
    """A bench with an empty store, set up anew, gets the whole department."""
    b1, b2 = (Station(tmp_path / name, name, hub) for name in ("B1", "B2"))
    b1.work(6)
    send(b1.own, hub.hub(b1.lets[0]))
    for segment in fetch_others(hub.hub(b2.lets[0]), {}, own=frozenset({b2.origin}), limit=1000):
        taken = b2.heard.take(segment.origin, segment.rows)
        assert [station for station, _ in taken] == ["B1"] * 6
    assert [kept for _, kept in b2.heard.read()] == list(b1.log.read())
    b1.close()
    b2.close()
