"""A department comes to rest, and what must hold then: nothing lost, nothing doubled, nothing said differently."""

from collections import Counter
from collections.abc import Iterable

from kiosk.store.chain import Span, Walk
from kiosk.store.proving import prove_store
from kiosk.sync.exchange import Sent
from tests.sync.healing import Bench, Named, Site, World, told
from tests.sync.rows import Row

ROUNDS = 60
"""In which a department must have come to rest."""


def heal(world: World) -> None:
    """Every line is up, every log is let in, everybody does what the screen says, until nothing moves any more."""
    before: object = None
    for _ in range(ROUNDS):
        for site in world.sites:
            for bench in world.benches:
                site.let_in(bench)
                bench.store.sign_head(bench.clock_ms)
                bench.hear()
                sent = bench.round(site.doors[bench.bench])
                bench.hear()
                _obey(world, bench, sent)
        now = _standing(world)
        if now == before:
            return
        before = now
    raise AssertionError(f"no rest after {ROUNDS} rounds: {before}")


def _obey(world: World, bench: Bench, sent: Sent) -> None:
    """A station that is told that its log has another branch, or goes further, goes on under a new one."""
    assert {verdict.kind for verdict in sent.verdicts} <= {"fork", "ahead"}, sent.verdicts
    if bench.goes_on_anew():
        world.note(bench)


def _standing(world: World) -> object:
    heads = [site.root.execute("SELECT origin, seq FROM sync.head ORDER BY 1").fetchall() for site in world.sites]
    for site in world.sites:
        site.root.commit()
    own = [(bench.own.heard(), bench.store.log.head().seq) for bench in world.benches]
    return (heads, own)


def check(world: World, at_hub_before: dict[int, set[Named]]) -> None:
    """What must hold of a department at rest. `at_hub_before`: what each hub held when the healing began."""
    own = {bench.folder: dict(bench.spans()) for bench in world.benches}
    heard = {bench.folder: bench.heard() for bench in world.benches}
    stored = {id(site): (site.stored(), site.stored("fork")) for site in world.sites}
    every: list[tuple[str, Row]] = [
        (origin, row)
        for logs in (*own.values(), *heard.values(), *(logs for pair in stored.values() for logs in pair))
        for origin, rows in logs.items()
        for row in rows
    ]
    _one_meaning(world, every)
    there = {told(row) for _, row in every}
    lost = [named[:2] for named, row in world.ledger.items() if told(row) not in there]
    assert not lost, f"lost: {lost}"
    for site in world.sites:
        _hub_holds(world, site, stored[id(site)], at_hub_before[id(site)])
    for bench in world.benches:
        _station_holds(world, bench, own[bench.folder], heard[bench.folder], [stored[id(s)][0] for s in world.sites])


def at_hubs(world: World) -> dict[int, set[Named]]:
    """What each hub holds now."""
    return {
        id(site): {
            _named(origin, row)
            for logs in (site.stored(), site.stored("fork"))
            for origin, rows in logs.items()
            for row in rows
        }
        for site in world.sites
    }


def _named(origin: str, row: Row) -> Named:
    return (origin, row[0], bytes(row[15]))


def _one_meaning(world: World, every: Iterable[tuple[str, Row]]) -> None:
    """An id has the same bytes everywhere, and a number of a log too, but in the two branches of a fork."""
    by_id: dict[str, tuple[str, Row]] = {}
    by_number: dict[tuple[str, int], Row] = {}
    for origin, row in every:
        row = _plain(row)
        known, first = by_id.setdefault(row[8], (origin, row))
        assert row[:15] == first[:15], f"one id, two events: {origin} {row[0]}"
        told_again = bool(world.may_fork)  # after a fork, by an origin that follows, linked anew
        assert known == origin or told_again, f"one event, two logs: {known} {origin} {row[0]}"
        if by_number.setdefault((origin, row[0]), row) != row:
            assert origin in world.may_fork, f"one number, two events: {origin} {row[0]}"
        told = world.ledger.get(_named(origin, row))
        assert told is None or _plain(told) == row, f"other bytes than were kept: {origin} {row[0]}"


def _plain(row: Row) -> Row:
    return tuple(bytes(value) if isinstance(value, bytes | memoryview) else value for value in row)


def _hub_holds(
    world: World, site: Site, stored: tuple[dict[str, list[Row]], dict[str, list[Row]]], before: set[Named]
) -> None:
    """Each log whole and once, every branch, and everything that it held or that a station has of its own."""
    events, forks = stored
    begins = {
        origin: (after, bytes(h), seq, bytes(head))
        for origin, after, h, seq, head in site.root.execute(
            "SELECT o.origin::text, o.after_seq, o.was_h, d.seq, d.h FROM sync.origin o JOIN sync.head d USING (origin)"
        ).fetchall()
    }
    conflicts = {row[0] for row in site.root.execute("SELECT origin::text FROM sync.conflict").fetchall()}
    site.root.commit()
    for origin, (after, h, last, head) in begins.items():
        walk = Walk((Span(after, origin, h),), seq=after, before=h)
        assert all(walk.step(row) for row in events.get(origin, [])), f"the chain at the hub: {origin} {walk.seq}"
        assert (walk.seq, walk.before) == (last, head), f"head at the hub: {origin} {walk.seq} {last}"
    count = Counter(_named(origin, row) for logs in (events, forks) for origin, rows in logs.items() for row in rows)
    assert max(count.values(), default=1) == 1, "an event twice at the hub"
    assert set(forks) <= world.may_fork, f"a fork where none can be: {set(forks) - world.may_fork}"
    assert set(forks) <= conflicts, "a fork that no person is asked about"
    own = {_named(origin, row) for bench in world.benches for origin, rows in bench.spans() for row in rows}
    missing = sorted(named[:2] for named in (own | before) - set(count))
    assert not missing, f"not at the hub: {missing}"


def _station_holds(
    world: World,
    bench: Bench,
    own: dict[str, list[Row]],
    heard: dict[str, list[Row]],
    hubs: list[dict[str, list[Row]]],
) -> None:
    """Its own chains and those it heard hold, and it has every log as far as any hub has it."""
    proof = prove_store(bench.folder)
    assert not proof.faults, [str(fault) for fault in proof.faults]
    for origin in {origin for logs in hubs for origin in logs}:
        here = {row[0]: bytes(row[15]) for rows in (own.get(origin, []), heard.get(origin, [])) for row in rows}
        for logs in hubs:
            for row in logs.get(origin, []):
                if here.get(row[0]) != bytes(row[15]):
                    assert origin in world.may_fork, f"{bench.bench} lacks {origin} {row[0]}"
