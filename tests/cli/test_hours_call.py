"""`hours`: minutes of checks, benches for a wait and a policy's cost, as a table with its limits and as JSON."""

from pathlib import Path
from typing import Any

import pytest

from kiosk.core import events as e
from kiosk.places import RESOURCES
from kiosk.store.bench_store import BenchStore
from kiosk.store.catalogue_files import load_catalogue
from kiosk.store.database import Store
from kiosk.store.log import Log
from kiosk.sync.beside import Beside
from tests.cli.running import Run
from tests.quality.small_log import answers, at, opening, store_of, told

CALL = ("hours", "--store", "store", "--from", "2031-03-03", "--to", "2031-03-09")


@pytest.fixture
def _store(tmp_path: Path) -> None:
    """Five days of five trays an hour, each twelve minutes, two swabs of 10 and 20 s and a scope check of 30 s."""
    store = store_of(tmp_path / "store")
    store.keep_catalogue(load_catalogue(RESOURCES / "demo", "B1"), at_ms=1)
    for n in range(25):
        trip, begun = f"1-{n:06}", at(n % 5, f"09:{n:02}")
        store.keep(
            [
                *opening(trip, begun),
                *answers("swab", [10, 20], begun + 60_000, trip),
                *answers("scope", [30], begun + 120_000, trip),
                told(e.Packed(number=f"1-P{n}"), begun + 12 * 60_000, trip),
            ]
        )
    store.close()


@pytest.fixture
def _policy(tmp_path: Path) -> None:
    text = "by_size: {wide: [light], middle: [swab], narrow: [swab], tiny: [air]}\nmax_dry_tries: 5\n"
    (tmp_path / "swab.yaml").write_text(text, "utf-8")


@pytest.mark.usefixtures("_store", "_policy")
def test_the_json_has_the_times_the_cost_the_benches_and_the_other_policy(run: Run) -> None:
    found = run(*CALL, "--under", "swab.yaml", "--wait", "20", "--json").json
    assert (found["from"], found["to"], found["trays"], found["let_go"]) == ("2031-03-03", "2031-03-09", 25, 0)
    rows: dict[str, dict[str, Any]] = {row["method"]: row for row in found["times"]["by_method"]}
    assert (rows["swab"]["answers"], rows["swab"]["median_s"], rows["scope"]["median_s"]) == (50, 15, 30)
    assert rows["swab"]["minutes_a_shift"] == 25 * 30 / 60 / 5
    assert found["times"]["shifts"] == found["every_lumen"]["shifts"] == 5
    assert found["every_lumen"]["lumens"] == 50
    assert found["every_lumen"]["now"]["asked"]["swab"] == 50
    assert found["every_lumen"]["now"]["not_measured"] == {"dry": 50}
    (hour,) = found["benches"]["hours"]
    assert (hour["hour"], hour["trays"], hour["an_hour"]) == (9, 25, 5)
    assert hour["needs"]["load"] == pytest.approx(5 * 12 / 60, abs=1e-3)
    assert hour["as_now"]["grows"]  # five an hour of twelve minutes each are the whole of one bench
    assert hour["as_now"]["wait_min"] is None
    under = found["under"]
    assert (under["policy"], under["trays"], under["compared"]) == ("swab.yaml", 25, 25)
    assert under["more"] == {"scope": -50}
    assert under["minutes"]["middle"] == pytest.approx(-50 * 30 / 60)
    assert [(row["lumen"], row["times"], row["sight"]) for row in under["lumens"]] == [
        ("bore", 50, "not seen any more")
    ]
    assert under["not_counted"] == ["max_dry_tries"]
    assert len(found["limits"]) == 4


@pytest.mark.usefixtures("_store")
def test_without_another_policy_nothing_is_told_of_one(run: Run) -> None:
    found = run(*CALL, "--json").json
    assert found["under"] is None
    assert len(found["limits"]) == 3


@pytest.mark.usefixtures("_store", "_policy")
def test_the_table_has_the_limits_of_each_method_under_it(run: Run) -> None:
    ran = run(*CALL, "--under", "swab.yaml")
    assert ran.status == 0
    words = " ".join(ran.out.split())
    for part in (
        "25 trays opened, 75 answers",
        "No figure is by person",
        "In force: no time is known here for dry 50 checks of the span: they are in no figure",
        "WARNING: at hour 09 more comes in than the benches seen at work then can pack",
        "Trays of one washer load come together, so real waits are longer",
        "A tray counts as come when it was opened",
        "50 times: TR-0100 E1 Suction tube, bore: not seen any more",
        "not what would have been found",
        "The policies differ in these too, which is in no figure: max_dry_tries",
    ):
        assert part in words, part
    assert "P-014" not in ran.out


@pytest.mark.usefixtures("_store")
def test_the_policy_in_force_against_itself_changes_nothing(run: Run) -> None:
    Path("same.yaml").write_text("{}\n", "utf-8")
    under = run(*CALL, "--under", "same.yaml", "--json").json["under"]
    assert under["more"] == {}
    assert under["minutes"] == {"low": 0, "middle": 0, "high": 0, "mean": 0}
    assert (under["lumens"], under["now"], under["not_counted"]) == ([], under["then"], [])
    assert "every check is the same" in run(*CALL, "--under", "same.yaml").out


@pytest.mark.usefixtures("_store")
def test_days_in_which_nothing_was_done_are_told_so(run: Run) -> None:
    ran = run("hours", "--store", "store", "--from", "2030-03-03", "--to", "2030-03-30")
    assert ran.status == 0
    assert "no answer in these days" in ran.out
    assert "no tray was opened in these days" in ran.out
    assert "nan" not in ran.out


@pytest.mark.usefixtures("_store")
def test_without_dates_four_weeks_up_to_today_are_told(run: Run) -> None:
    found = run("hours", "--store", "store", "--to", "2031-03-09", "--json").json
    assert (found["from"], found["trays"]) == ("2031-02-10", 25)


@pytest.mark.usefixtures("_store")
@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--to", "2031-03-08"), "under 7 days: that would be the work of one or two people"),
        (("--to", "2031-03-01"), "2031-03-01 is before 2031-03-03"),
        (("--wait", "-1"), "--wait -1: give minutes, from 0"),
        (("--wait", "nan"), "--wait nan: give minutes, from 0"),
        (("--under", "none.yaml"), "none.yaml"),
        (("--under", "bad.yaml"), "bad.yaml line 2: policy key unknown_lumens: this tool does not know it"),
        (("--store", "nowhere"), "there is no store here"),
    ],
)
def test_a_wrong_call_is_told_in_one_line(run: Run, words: tuple[str, ...], said: str) -> None:
    Path("bad.yaml").write_text("max_dry_tries: 2\nunknown_lumens: hold\n", "utf-8")
    assert said in run(*CALL, *words).complaint


@pytest.mark.usefixtures("_store", "_policy")
def test_trays_of_other_stations_are_said_to_stand_with_this_bench_s_kit(run: Run, tmp_path: Path) -> None:
    with Store(tmp_path / "other", "B2") as other:
        Log(other).append(opening("2-000001", at(2, "14:00")))
    here, ear = BenchStore(tmp_path / "store"), Beside(tmp_path / "other")
    while rows := ear.fetch(here.heard.heads()):
        here.heard.take(rows.origin, rows.rows, was=rows.was, public_key=rows.public_key)
    ear.close()
    here.close()
    assert "1 tray opened at other stations" in run(*CALL, "--under", "swab.yaml").out
    found = run(*CALL, "--under", "swab.yaml", "--json").json
    assert (found["trays"], found["under"]["elsewhere"]) == (26, 1)
