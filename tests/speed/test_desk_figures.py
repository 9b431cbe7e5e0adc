"""What the desk's figures of a month and of a shift cost on five years of checks, against DuckDB over the same rows.

Nothing is passed or failed on its time; that both say the same is.
"""

import statistics
from functools import partial
from pathlib import Path

import pytest

from kiosk.core.catalogue import Item, Lumen, Tray
from kiosk.core.events import CheckYes, Event, TrayOpened
from kiosk.core.stamp import Kept, Stamp
from kiosk.store.bench_store import BenchStore
from tests.speed.conftest import Tell
from tests.speed.desk_questions import QUESTIONS, Question, named
from tests.speed.figures import Figure, in_turn, took_ms
from tests.speed.five_years import AGAINST, ANSWERS, Department

RUNS = 15
TAPS, TURNS = 150, 5

pytestmark = [pytest.mark.slow, pytest.mark.timeout(3600)]


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.what)
def test_a_figure_is_the_same_in_both_and_the_times_are_told(
    department: Department, tell: Tell, question: Question
) -> None:
    """Both have been asked once before the clock starts, so what is read is in memory where the system holds it."""
    asked = named(question, question.span)
    records = department.opened().records
    ours = question.answer(records, question.span)
    assert ours
    assert any(cell for row in ours for cell in row if isinstance(cell, int))
    assert ours == department.columns.execute(question.duckdb, asked).fetchall()
    mine, others = in_turn(
        lambda: question.answer(records, question.span),
        lambda: department.columns.execute(question.duckdb, asked).fetchall(),
        runs=RUNS,
    )
    what = f"{question.what}, of {ANSWERS:,} checks"
    tell(Figure(what=what, against=AGAINST, ours=mine, base=others, goal=question.goal))


def test_bytes_and_time_of_a_department(department: Department, tell: Tell, capsys: pytest.CaptureFixture[str]) -> None:
    """The facts with all their indexes, against DuckDB's file of the tables that are asked."""
    made, rows = department.made, department.made.answers - department.made.kept_as_events
    assert made.answers == pytest.approx(ANSWERS, rel=0.001)
    with capsys.disabled():
        print(
            f"\n{made.answers:,} answers: {made.kept_as_events:,} as events in {made.events_s:,.1f} s, "
            f"{rows:,} as rows in {made.rows_s:,.1f} s"
        )
    tell(
        Figure(
            what=f"bytes on the disk per check, {ANSWERS:,} checks, facts and their indexes",
            against="DuckDB's file of the tables that are asked", unit="B",
            ours=[department.size / made.answers], base=[department.columns_size / made.answers],
        )
    )  # fmt: skip
    tell(
        Figure(
            what="a check kept as an event, a tray in a transaction, facts with it", against="a row of facts put in",
            ours=[1000 * made.events_s / made.kept_as_events], base=[1000 * made.rows_s / rows],
        )
    )  # fmt: skip


def taps(trip: str, at_ms: int) -> tuple[Kept, list[Kept]]:
    """A tray of many pieces, and the first swab through each."""
    bore = Lumen(name="bore", inside_mm=None, length_mm=None)
    item = Item(id="A1", name="Suction tube", type="tonsil_suction", lumens=(bore,), qty=TAPS)
    tray = Tray(code="TR-2001", name="Many tubes", items=(item,))
    events: list[Event] = [
        TrayOpened(tray=tray, load="W-1"),
        *(CheckYes(piece=f"A1#{n}", key="bore.swab", took_ms=4000, tool="2.0 mm") for n in range(1, TAPS + 1)),
    ]
    opened, *asked = [
        Kept(
            event=event,
            stamp=Stamp(
                at_ms=at_ms + 5000 * n, offset_min=-300, trusted=True, who="P-014", trip=trip, policy=1, record=1
            ),
        )
        for n, event in enumerate(events)
    ]
    return opened, asked


def test_a_tap_kept_on_five_years_of_facts_against_an_empty_store(
    department: Department, tmp_path: Path, tell: Tell
) -> None:
    """On the morning after the last day. Each tap gives an answer and a lumen, in their tables and every index."""
    full, empty = department.opened(), BenchStore(tmp_path / "empty", "B1")
    answers = "SELECT count(*) FROM fact_answer WHERE day = '2031-01-02'"
    ours: list[float] = []
    base: list[float] = []
    for turn in range(TURNS):
        opened, asked = taps(f"1-9{turn:05}", 1_925_121_600_000 + 3_600_000 * turn)  # 2031-01-02 12:00 UTC
        for store, times in ((empty, base), (full, ours)):
            store.keep([opened])
            times.append(statistics.median(took_ms(partial(store.keep, [one])) for one in asked))
    for store in (full, empty):
        assert store.store.db.conn.execute(answers).fetchone() == (TURNS * TAPS,)
    empty.close()
    what = f"one tap kept, facts of {ANSWERS:,} checks beside it"
    tell(Figure(what=what, against="the same on an empty store", ours=ours, base=base))
