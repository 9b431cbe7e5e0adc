"""The desk's figures say the same as DuckDB on a small department, and read no table through."""

from collections.abc import Iterator
from datetime import date

import duckdb
import pytest

from kiosk.store.database import Store
from kiosk.store.records import StoreRecords
from tests.speed.columns import copied
from tests.speed.department_store import make_department
from tests.speed.desk_questions import QUESTIONS, Days, Question, named

SOME_DAYS = Days(first=date(2026, 1, 3), last=date(2026, 1, 9))
A_DAY = Days(first=date(2026, 1, 5), last=date(2026, 1, 5))
NONE = Days(first=date(2025, 1, 1), last=date(2025, 1, 31))

Both = tuple[StoreRecords, duckdb.DuckDBPyConnection]


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Both]:
    ground = tmp_path_factory.mktemp("small")
    make_department(ground / "store", 12_000, through_log=50, days=12)
    with Store(ground / "store") as store, copied(store.db.conn, ground / "columns.duckdb") as columns:
        records = StoreRecords(store)
        yield records, columns
        records.close()


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.what)
def test_a_figure_of_some_days_is_that_of_duckdb(both: Both, question: Question) -> None:
    records, columns = both
    span = A_DAY if question.span.first == question.span.last else SOME_DAYS
    ours = question.answer(records, span)
    assert ours == columns.execute(question.duckdb, named(question, span)).fetchall()
    assert all(any(row[place] for row in ours) for place in range(len(ours[0])))


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.what)
def test_days_without_a_check_give_no_row(both: Both, question: Question) -> None:
    records, columns = both
    assert question.answer(records, NONE) == []
    assert columns.execute(question.duckdb, named(question, NONE)).fetchall() == []


def test_no_figure_reads_a_table_through(both: Both) -> None:
    """Every statement of a figure finds its rows by an index or a key: it grows with the days that it shows."""
    records, _ = both
    asked: list[tuple[str, object]] = []

    class Listening(StoreRecords):
        def ask(self, sql: str, values=()):  # type: ignore[no-untyped-def]
            asked.append((sql, values))
            return records.ask(sql, values)

    listening = Listening.__new__(Listening)
    for question in QUESTIONS:
        question.answer(listening, A_DAY if question.span.first == question.span.last else SOME_DAYS)
    assert len(asked) >= len(QUESTIONS)
    for sql, values in asked:
        plan = [row[3] for row in records.ask(f"EXPLAIN QUERY PLAN {sql}", values)]  # type: ignore[arg-type]
        made = {step.split()[-1] for step in plan if step.startswith(("CO-ROUTINE ", "MATERIALIZE "))}  # no table
        through = {f"SCAN {name}" for name in {"f", "k", "l", "m", "t"} - made}
        assert not [step for step in plan if step.startswith("SCAN fact_") or step in through], (sql, plan)
