"""The department put straight into the tables of facts is the one that its events would have left there."""

from pathlib import Path

import pytest

from kiosk.resources import findings
from kiosk.store.bench_store import BenchStore
from kiosk.store.database import Store
from kiosk.store.facts import FACTS, rows_of, unlike_facts
from kiosk.store.identity import uuid7
from kiosk.store.log import Log
from kiosk.sync.beside import Beside
from tests.speed.department import BENCHES, Answered, FoundSo, telling
from tests.speed.department_store import Rows, as_kept, chance_bits, make_department

ANSWERS, SOME_DAYS = 3000, 12


def facts(store: Store) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table, in order."""
    return {name: sorted(store.db.conn.execute(rows_of(name))) for name in FACTS}


@pytest.fixture
def known_ids(monkeypatch: pytest.MonkeyPatch) -> None:
    """Ids of events as ever, but for the chance in them."""

    def new_id(hlc: int) -> str:
        return str(uuid7(hlc >> 16, (hlc & 0xFFFF) >> 4, (hlc & 0xF) << 58 | chance_bits(hlc >> 16)))

    monkeypatch.setattr("kiosk.store.rows.new_id", new_id)


@pytest.mark.usefixtures("known_ids")
def test_eight_benches_that_kept_everything_as_events_have_the_same_facts(tmp_path: Path) -> None:
    """Each bench's own log, heard by the first as stations hear each other, against rows put in as they are."""
    days = list(telling(ANSWERS, SOME_DAYS))
    for bench in BENCHES:
        with Store(tmp_path / bench, bench) as store:
            Log(store).append([as_kept(one, day.offset_min) for day in days for one in day.said[bench]])
    here = BenchStore(tmp_path / BENCHES[0], BENCHES[0])
    for bench in BENCHES[1:]:
        ear = Beside(tmp_path / bench)
        while said := ear.fetch(here.heard.heads()):
            here.heard.take(said.origin, said.rows, was=said.was, public_key=said.public_key)
        ear.close()
    assert unlike_facts(here.store.db.conn) == {}
    kept = facts(here.store)
    here.close()
    rows = Rows()
    with Store(tmp_path / "rows", "B1") as store:
        with store.transaction() as connection:
            for day in days:
                for bench in BENCHES:
                    rows.add(bench, day.day, day.offset_min, day.said[bench])
                rows.put(connection)
        put = facts(store)
    for name in FACTS:
        assert put[name] == kept[name], name
        assert put[name], name
    assert len(put["answer"]) > 0.95 * ANSWERS


@pytest.mark.usefixtures("known_ids")
def test_a_department_of_both_kinds_has_the_facts_of_one_that_is_all_rows(tmp_path: Path) -> None:
    both = make_department(tmp_path / "both", ANSWERS, through_log=200, days=SOME_DAYS)
    rows = make_department(tmp_path / "rows", ANSWERS, through_log=0, days=SOME_DAYS)
    assert (both.answers, rows.kept_as_events) == (rows.answers, 0)
    assert 200 <= both.kept_as_events < both.answers
    with Store(tmp_path / "both") as one, Store(tmp_path / "rows") as other:
        mine, others = facts(one), facts(other)
        told = Log(one).verify(), len(list(Log(one).rows()))
    assert told[0] is None
    assert told[1] > both.kept_as_events
    assert [row[1:] for row in mine.pop("lot")] == [row[1:] for row in others.pop("lot")]
    assert mine == others


def test_the_same_seed_tells_the_same_department_and_another_seed_another() -> None:
    first, again, other = (list(telling(500, 5, seed)) for seed in (1, 1, 2))
    assert first == again
    assert first != other


@pytest.mark.parametrize("answers", [400, 4000])
def test_so_many_answers_are_told_over_all_days_each_bench_in_order(answers: int) -> None:
    days = list(telling(answers, 40))
    told = [one for day in days for said in day.said.values() for one in said if isinstance(one, Answered)]
    assert len(days) == 40
    assert abs(len(told) - answers) < 60
    times = sorted(one.at_ms for day in days for said in day.said.values() for one in said)
    assert len(set(times)) == len(times)
    for day in days:
        for said in day.said.values():
            assert [one.at_ms for one in said] == sorted(one.at_ms for one in said)


def test_what_is_found_is_in_the_words_of_the_trade_and_in_its_group() -> None:
    known = {code: kind.group for code, kind in findings().kinds.items()}
    said = [one for day in telling(60_000, 30) for kept in day.said.values() for one in kept]
    found = {(one.code, one.group) for one in said if isinstance(one, FoundSo)}
    assert len(found) > 12
    assert all(known[code] == group for code, group in found)
