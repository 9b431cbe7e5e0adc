"""A badge that is stopped, let go on at the machine: for a department whose only supervisor typed wrong too often."""

from pathlib import Path

from kiosk.core.catalogue import Catalogue, Person
from kiosk.core.events import SignInRefused, TriesForgiven
from kiosk.core.stamp import Kept
from kiosk.core.state.bench import Bench
from kiosk.core.tries import STOP_AFTER, stopped
from kiosk.core.vocabulary import Role
from kiosk.store.bench_store import BenchStore
from tests.cli.running import Run
from tests.store.shift import kept

LEAD = Person(id="P-29", name="Henrike Dovelane", role=Role.SUPERVISOR, badge="7031226")


def a_stopped_lead(folder: Path) -> None:
    store = BenchStore(folder, "B1")
    store.keep_catalogue(Catalogue(people={LEAD.id: LEAD}), at_ms=1)
    store.keep([kept(SignInRefused(person=LEAD.id, tries=n + 1)) for n in range(STOP_AFTER)])
    store.close()


def bench_of(folder: Path) -> tuple[Bench, Kept]:
    store = BenchStore(folder)
    bench, last = store.bench(), list(store.read())[-1]
    store.close()
    return bench, last


def test_the_wrong_numbers_of_the_only_supervisor_are_forgiven_at_the_machine_and_nobodys_name_stands_on_it(
    run: Run, tmp_path: Path
) -> None:
    folder = tmp_path / "store"
    a_stopped_lead(folder)
    assert stopped(bench_of(folder)[0], (), LEAD.id)
    ran = run("people", "forgive", LEAD.id, "--store", str(folder), "--json")
    assert (ran.status, ran.json) == (0, {"person": LEAD.id, "forgiven": STOP_AFTER})
    bench, last = bench_of(folder)
    assert not stopped(bench, (), LEAD.id)
    assert (last.event, last.stamp.who) == (TriesForgiven(person=LEAD.id), None)
    again = run("people", "forgive", LEAD.id, "--store", str(folder))
    assert again.out == f"{LEAD.id}: 0 wrong PINs are forgiven\n"
    assert bench_of(folder)[1] == last


def test_nobody_is_made_up_and_no_store_either(run: Run, tmp_path: Path) -> None:
    folder = tmp_path / "store"
    a_stopped_lead(folder)
    assert "knows nobody" in run("people", "forgive", "P-30", "--store", str(folder)).complaint
    assert "there is no store here" in run("people", "forgive", LEAD.id, "--store", str(tmp_path / "no")).complaint
