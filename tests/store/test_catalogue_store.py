"""The catalogue and the policy in the store: every version whole, the newest in use."""

from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest
from sqlite_utils.utils import sqlite3

from kiosk.core.catalogue import Catalogue, Kit, Load, Person, Scope, Swabs
from kiosk.core.vocabulary import Role
from kiosk.resources import default_policy_values, policy
from kiosk.store.catalogue_store import keep_catalogue, keep_policy, latest_catalogue, latest_policy
from kiosk.store.codec import CodecFault
from kiosk.store.database import Store
from kiosk.store.outage import Outage
from tests.store.examples import ITEM, TRAY
from tests.store.shift import MORNING_MS

CATALOGUE = Catalogue(
    trays={"TR-0417": TRAY, "TR-0001": replace(TRAY, code="TR-0001", items=())},
    spares={"A9": replace(ITEM, id="A9")},
    people={"P-014": Person(id="P-014", name="Ada Grün", role=Role.SENIOR, badge="014", pin_hash="scrypt$00$11")},
    loads={"W-2201": Load(id="W-2201", released=True, trays=("TR-0417",))},
    kit=Kit(
        scopes=(Scope(id="SC-1", od_mm=Decimal("0.95"), reach_mm=Decimal(420), bends=True),),
        swabs=Swabs(heads_mm=(Decimal("1.2"), Decimal(3)), reach_mm=Decimal(350), max_over=Decimal("1.25")),
        air_station=True,
        gauge_pins=True,
    ),
)


def test_a_catalogue_comes_back_as_it_was_loaded(folder: Path) -> None:
    with Store(folder) as store:
        assert keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS, who="P-014") == 1
    with Store(folder) as store:
        back = latest_catalogue(store)
        assert back == CATALOGUE
        assert list(back.trays) == ["TR-0417", "TR-0001"]  # in the order of the file, not of the code


def test_a_new_store_has_no_catalogue_and_no_policy_of_its_own(store: Store) -> None:
    assert latest_catalogue(store) is None
    assert latest_policy(store) is None


def test_every_version_stays_and_the_newest_is_in_use(store: Store) -> None:
    keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS)
    fewer = replace(CATALOGUE, trays={})
    assert keep_catalogue(store, fewer, at_ms=MORNING_MS + 1) == 2
    assert latest_catalogue(store) == replace(fewer, version=2)
    assert store.db.conn.execute("SELECT count(*) FROM catalogue").fetchone() == (2,)


def test_a_catalogue_that_can_not_be_kept_leaves_the_one_before(store: Store) -> None:
    keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS)
    bad = replace(CATALOGUE, trays={"TR-1": replace(TRAY, weight_max_lb=Decimal("NaN"))})
    with pytest.raises(CodecFault, match=r"trays\['TR-1'\]\.weight_max_lb"):
        keep_catalogue(store, bad, at_ms=MORNING_MS)
    assert latest_catalogue(store) == CATALOGUE
    assert keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS) == 2


def test_own_policy_values_make_the_same_policy_after_the_store(store: Store) -> None:
    own = dict(default_policy_values()) | {
        "scope_fit_ratio": 0.85,
        "max_dry_tries": 3,
        "set_weight_max_lb": Decimal(20),
    }
    assert keep_policy(store, own, at_ms=MORNING_MS, who="P-001") == 1
    kept = latest_policy(store)
    assert kept is not None
    assert kept[0] == 1
    assert policy(kept[1]) == policy(own)


@pytest.mark.parametrize("table", ["catalogue", "policy"])
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE {} SET who = 'P-999'",
        "DELETE FROM {}",
        "INSERT OR REPLACE INTO {} SELECT 1, 0, NULL, x'7b7d', h FROM {}",
    ],
)
def test_no_version_is_changed_or_taken_away_in_sql(store: Store, table: str, sql: str) -> None:
    keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS)
    keep_policy(store, {}, at_ms=MORNING_MS)
    with pytest.raises(sqlite3.IntegrityError, match="append-only"):
        store.db.conn.execute(sql.format(table, table))


@pytest.mark.parametrize(
    "change", ["CAST(replace(CAST(body AS TEXT), '\"3.20\"', '\"3.90\"') AS BLOB)", "CAST(body AS TEXT)"]
)
def test_a_size_changed_in_the_file_is_found_before_it_draws_a_plan(folder: Path, change: str) -> None:
    with Store(folder) as store:
        keep_catalogue(store, CATALOGUE, at_ms=MORNING_MS)
        sql = store.db.conn.execute
        sql("DROP TRIGGER catalogue_never_changes")
        sql("PRAGMA writable_schema = ON")
        sql("UPDATE sqlite_schema SET sql = replace(sql, 'STRICT', '') WHERE name = 'catalogue'")
    with Store(folder) as store:
        store.db.conn.execute(f"UPDATE catalogue SET body = {change}")
        with pytest.raises(Outage, match="damaged"):
            latest_catalogue(store)
