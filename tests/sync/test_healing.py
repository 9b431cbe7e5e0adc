"""Whatever befalls a department, once it is at rest nothing was lost, nothing is there twice, nothing says otherwise.

A machine of hypothesis makes up what befalls it, on real stores and real hubs. THROUGHLIGHT_STEPS turns the count up.
"""

import os
import shutil
import sys
import tempfile
import uuid
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import suppress
from pathlib import Path
from random import Random
from typing import Any

import pytest
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.internal.cache import LRUCache
from hypothesis.internal.conjecture import providers
from hypothesis.internal.constants_ast import Constants
from hypothesis.stateful import RuleBasedStateMachine, initialize, precondition, rule, run_state_machine_as_test

from kiosk.store import incarnation
from kiosk.store.outage import Outage
from kiosk.sync import exchange
from tests.sync.department import new_department
from tests.sync.healed import at_hubs, check, heal
from tests.sync.healing import Bench, Cut, Site, World, away
from tests.sync.rows import MORNING_MS
from tests.sync.server import Server, needs_one

pytestmark = [pytest.mark.postgres, pytest.mark.slow]

STEPS = int(os.environ.get("THROUGHLIGHT_STEPS", "3000"))
LONG = 300 if "THROUGHLIGHT_STEPS" not in os.environ else 7200
A_PLAY = 50
"""Steps of one example."""
MOST = 6
"""Stations at most, copies and old stores that are opened again among them."""
JUMPS_MS = (-86_400_000 * 365 * 26, -3_600_000, -1, 1, 3_600_000, 86_400_000 * 365 * 73)
LEAST_MS, MOST_MS = 0, 1 << 46

steps: Counter[str] = Counter()
"""What was done so far, for the report."""
names = Random()
"""Where the logs have their names from."""
which, few = st.integers(0, 11), st.integers(0, 3)


def machine(sites: list[Site], ground: Path) -> Callable[[], RuleBasedStateMachine]:
    """The machine over these hubs."""

    class Department(RuleBasedStateMachine):
        def __init__(self) -> None:
            super().__init__()
            names.seed(1)
            steps["examples"] += 1
            self.world = World(sites, Path(tempfile.mkdtemp(dir=ground)))
            self.unrest = 0
            for n in range(3):
                self._answers(self.world.benches[n], 2)

        @initialize(twice=st.booleans())
        def there_is_a_backup_and_maybe_a_station_twice(self, twice: bool) -> None:
            """From the beginning: what befalls forked logs and stores put back is rare else."""
            self.world.back_up(self.world.benches[1])
            if twice:
                self.world.copy(self.world.benches[0], with_keys=True)

        def _answers(self, bench: Bench, events: int) -> None:
            bench.keep(events)
            self.world.note(bench)

        def _step(self) -> None:
            steps["steps"] += 1
            self.unrest += 1

        def _bench(self, n: int) -> Bench:
            self._step()
            return self.world.benches[n % len(self.world.benches)]

        def _site(self, n: int) -> Site:
            return sites[0 if n % 3 else 1]

        @rule(n=which, events=st.integers(1, 4))
        def a_person_answers(self, n: int, events: int) -> None:
            self._answers(self._bench(n), events)

        @rule(n=which, by=st.sampled_from(JUMPS_MS))
        def the_clock_jumps(self, n: int, by: int) -> None:
            bench = self._bench(n)
            bench.clock_ms = min(MOST_MS, max(LEAST_MS, bench.clock_ms + by))

        @rule(n=which)
        def a_head_is_signed(self, n: int) -> None:
            bench = self._bench(n)
            bench.store.sign_head(bench.clock_ms)

        @rule(n=which, at=which)
        def a_log_is_let_in(self, n: int, at: int) -> None:
            self._site(at).let_in(self._bench(n))

        @rule(n=which, at=which, events=few)
        def a_round_goes_well(self, n: int, at: int, events: int) -> None:
            bench = self._bench(n)
            self._answers(bench, events)
            bench.round(self._site(at).doors[bench.bench])

        @rule(n=which, at=which, events=few, question=st.integers(1, 8), late=st.booleans())
        def a_round_is_cut(self, n: int, at: int, events: int, question: int, late: bool) -> None:
            bench = self._bench(n)
            self._answers(bench, events)
            door = Cut(self._site(at).doors[bench.bench], question, away, late=late)
            with suppress(Outage):
                bench.round(door)
                steps["cut too late"] += 1

        @rule(n=which)
        def what_came_is_taken_in(self, n: int) -> None:
            bench = self._bench(n)
            if bench.goes_on_anew():
                steps["went on anew"] += 1
                self.world.note(bench)
            bench.hear()

        @rule(n=which)
        def what_came_is_taken_in_twice(self, n: int) -> None:
            bench = self._bench(n)
            again = list(bench.tray.segments)
            bench.hear()
            bench.tray.segments = again
            assert bench.hear() == 0, "taken in twice"

        @rule(n=which)
        def a_program_starts_again(self, n: int) -> None:
            bench = self._bench(n)
            bench.stop()
            bench.start()

        @rule(n=which)
        def a_station_is_backed_up(self, n: int) -> None:
            self.world.back_up(self._bench(n))

        @precondition(lambda self: self.world.backups)
        @rule(n=which, back=which)
        def a_backup_is_put_back(self, n: int, back: int) -> None:
            name, file = self.world.backups[back % len(self.world.backups)]
            like = [bench for bench in self.world.benches if bench.bench == name]
            self._step()
            self.world.restore(like[n % len(like)], file)

        @precondition(lambda self: self.world.asides and len(self.world.benches) < MOST)
        @rule()
        def what_was_put_aside_is_opened(self) -> None:
            self._step()
            name, path = self.world.asides.pop()
            self.world.add(path, name)

        @precondition(lambda self: len(self.world.benches) < MOST)
        @rule(n=which, with_keys=st.booleans())
        def a_store_is_copied_and_both_are_started(self, n: int, with_keys: bool) -> None:
            self.world.copy(self._bench(n), with_keys=with_keys)

        @rule(n=which)
        def a_disk_is_imaged(self, n: int) -> None:
            self.world.image(self._bench(n))

        @precondition(lambda self: self.world.images)
        @rule(back=which)
        def an_image_is_written_back_unsaid(self, back: int) -> None:
            self._step()
            self.world.roll_back(*self.world.images[back % len(self.world.images)])

        @rule(at=which)
        def a_hub_is_backed_up(self, at: int) -> None:
            self._step()
            self.world.dumps.append((self._site(at), self._site(at).dump()))

        @precondition(lambda self: self.world.dumps)
        @rule(back=which)
        def a_hub_is_set_back(self, back: int) -> None:
            self._step()
            site, dump = self.world.dumps[back % len(self.world.dumps)]
            site.set_back(dump)
            self.world.after_a_loss()

        @precondition(lambda self: self.world.dumps)
        @rule(n=which, back=which, question=st.integers(1, 8))
        def a_hub_is_set_back_while_a_round_runs(self, n: int, back: int, question: int) -> None:
            bench = self._bench(n)
            site, dump = self.world.dumps[back % len(self.world.dumps)]
            with suppress(Outage):
                bench.round(Cut(site.doors[bench.bench], question, lambda: site.set_back(dump)))
            self.world.after_a_loss()

        @rule(at=which, n=st.integers(1, 5))
        def a_standby_that_lagged_takes_over(self, at: int, n: int) -> None:
            self._step()
            self._site(at).forget(n)
            self.world.after_a_loss()

        @precondition(lambda self: self.unrest > 20)
        @rule()
        def the_department_heals(self) -> None:
            self._step()
            self._at_rest()

        def _at_rest(self) -> None:
            self.unrest, before = 0, at_hubs(self.world)
            heal(self.world)
            check(self.world, before)
            steps["healed"] += 1
            steps["events"] += len(self.world.ledger)
            steps["forks"] += sum(len(rows) for site in sites for rows in site.stored("fork").values())

        def teardown(self) -> None:
            try:
                if not sys.exc_info()[0]:
                    self._at_rest()
            finally:
                self.world.close()

    return Department


@pytest.fixture(scope="module")
def memory() -> Iterator[Path]:
    """A folder in memory: what is tried here is not the disk."""
    shared = Path("/dev/shm")  # noqa: S108
    folder = Path(tempfile.mkdtemp(prefix="throughlight-", dir=shared if os.access(shared, os.W_OK) else None))
    folder.chmod(0o755)
    yield folder
    shutil.rmtree(folder)


@pytest.fixture(scope="module")
def quick(memory: Path) -> Iterator[Server]:
    """A server of its own whose files lie in memory."""
    needs_one()
    server = Server(memory / "server")
    yield server
    server.stop()


@pytest.fixture
def sites(quick: Server) -> Iterator[list[Site]]:
    """Two hubs."""
    hubs = [new_department(quick), new_department(quick)]
    found = [Site(hub) for hub in hubs]
    yield found
    for site in found:
        site.close()
    for hub in hubs:
        hub.close()


def play(make: Any, examples: int) -> None:
    """Let the machine make up so many plays, the same each time.

    Logs are met in the order of their names, so these are made from a seed. Hypothesis also draws numbers that stand in
    the modules that happen to be loaded: here it knows of none, else the plays would hang on what was tested before.
    """
    plays = settings(
        max_examples=examples,
        stateful_step_count=A_PLAY,
        deadline=None,
        derandomize=True,
        database=None,
        report_multiple_bugs=False,
        phases=(Phase.generate,),
        suppress_health_check=list(HealthCheck),
    )
    with pytest.MonkeyPatch.context() as same:
        same.setattr(uuid, "uuid4", _name)
        same.setattr(incarnation, "_now_ms", lambda: MORNING_MS)
        same.setattr(providers, "_get_local_constants", Constants)
        same.setattr(providers, "CONSTANTS_CACHE", LRUCache(1024))
        run_state_machine_as_test(make, settings=plays)


def _name() -> uuid.UUID:
    return uuid.UUID(int=names.getrandbits(128), version=4)


@pytest.mark.timeout(LONG)
def test_whatever_befalls_a_department_heals(
    sites: list[Site], memory: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(exchange, "BATCH", 3)
    steps.clear()
    try:
        play(machine(sites, memory), max(1, STEPS // A_PLAY))
    finally:
        with capsys.disabled():
            sys.stdout.write(f"\n{dict(steps)}")
    assert steps["forks"] > 0  # else nothing was shown of them
