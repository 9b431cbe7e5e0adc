"""The questions say the same in SQLite and in DuckDB on a small department, and SQLite goes by their indexes."""

from collections.abc import Iterator

import duckdb
import pytest
from sqlite_utils.utils import sqlite3

from kiosk.store.database import Store
from tests.speed.columns import copied
from tests.speed.department_store import make_department
from tests.speed.desk_questions import BY_LOT, BY_SCOPE, BY_TYPE, OF_SHIFT, QUESTIONS, Asked, Question

SOME_DAYS: Asked = {"first": "2026-01-03", "last": "2026-01-09"}
A_SHIFT: Asked = {"first": "2026-01-05", "last": "2026-01-05", "from": 7 * 60, "until": 15 * 60}
NONE: Asked = {"first": "2025-01-01", "last": "2025-01-31", "from": 0, "until": 1440}

Both = tuple[sqlite3.Connection, duckdb.DuckDBPyConnection]


@pytest.fixture(scope="module")
def both(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Both]:
    ground = tmp_path_factory.mktemp("small")
    make_department(ground / "store", 12_000, through_log=50, days=12)
    with Store(ground / "store") as store, copied(store.db.conn, ground / "columns.duckdb") as columns:
        yield store.db.conn, columns


def asked_of_duckdb(columns: duckdb.DuckDBPyConnection, question: Question, asked: Asked) -> list[tuple[object, ...]]:
    names = {name: value for name, value in asked.items() if f"${name}" in question.duckdb}
    return columns.execute(question.duckdb, names).fetchall()


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.what)
def test_a_figure_of_some_days_is_that_of_duckdb(both: Both, question: Question) -> None:
    facts, columns = both
    asked = A_SHIFT if "from" in question.asked else SOME_DAYS
    ours = question.answer(facts, asked)
    assert ours == asked_of_duckdb(columns, question, asked)
    assert all(any(row[place] for row in ours) for place in range(len(ours[0])))


@pytest.mark.parametrize("question", QUESTIONS, ids=lambda question: question.what)
def test_days_without_a_check_give_no_row_or_nought(both: Both, question: Question) -> None:
    facts, columns = both
    asked = NONE if "from" in question.asked else {name: NONE[name] for name in SOME_DAYS}
    ours = question.answer(facts, asked)
    assert ours == asked_of_duckdb(columns, question, asked)
    assert ours in ([], [(0, 0)])


def test_a_finding_that_was_taken_back_is_not_counted(both: Both) -> None:
    facts, _ = both
    ((whole,),) = facts.execute(
        "SELECT count(*) FROM fact_finding WHERE day BETWEEN $first AND $last AND grp != 'identity'", SOME_DAYS
    )
    (pareto,) = (question for question in QUESTIONS if question.what.startswith("findings"))
    stand = sum(row[1] for row in pareto.answer(facts, SOME_DAYS))
    ((taken_back,),) = facts.execute(
        "SELECT count(*) FROM fact_finding JOIN fact_withdrawn USING (trip, n) WHERE day BETWEEN $first AND $last",
        SOME_DAYS,
    )
    assert taken_back > 0
    assert stand == whole - taken_back


@pytest.mark.parametrize(
    ("sql", "index"),
    [
        (BY_TYPE, "fact_lumen_by_type (type=? AND day>? AND day<?)"),
        (BY_SCOPE, "fact_answer_counted_by_scope (tool=? AND yes=? AND day>? AND day<?)"),
        (BY_LOT, "fact_answer_counted_by_lot (lot=? AND yes=? AND day>? AND day<?)"),
        (OF_SHIFT, "fact_lumen_by_day (day=? AND minute>? AND minute<?)"),
    ],
    ids=["type", "scope", "lot", "shift"],
)
def test_rows_are_counted_in_an_index_and_no_table_is_read_through(both: Both, sql: str, index: str) -> None:
    facts, _ = both
    plan = [row[3] for row in facts.execute(f"EXPLAIN QUERY PLAN {sql}", A_SHIFT)]
    assert any(step.endswith(f"USING COVERING INDEX {index}") for step in plan), plan
    assert not [step for step in plan if step.startswith("SCAN fact_")]
