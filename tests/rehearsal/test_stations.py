"""Several stations in one written shift: each its own log, all heard by each other, compared as one."""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtWidgets import QApplication

from kiosk.app.stage import Stage
from kiosk.core import events as e
from kiosk.rehearsal.play import play
from kiosk.rehearsal.player import Player
from kiosk.rehearsal.scenario import Scenario
from kiosk.rehearsal.world import build

BORE = {"n": "bore", "id_mm": 3.0, "len_mm": 150, "open": "both"}
ITEM = {"id": "A1", "name": "Suction tube", "type": "fine_suction", "lumens": [BORE]}
COUNTED = [{"do": "count", "lines": "all", "is": "ok"}]


def written(**then: Any) -> Scenario:
    """Two benches in one afternoon; one tray was opened at the first in the morning."""
    given = {
        "now": "2031-03-04 12:00",
        "people": [
            {"id": "T1", "name": "Mara Quill", "role": "tech"},
            {"id": "T2", "name": "Jonah Pell", "role": "tech"},
        ],
        "load": {"id": "W-2201", "released": True},
        "trays": [{"id": f"TR-000{n}", "name": f"Tray {n}", "others": 3, "items": [ITEM]} for n in (1, 2, 3)],
        "before": [{"t": "09:00", "who": "T1", "do": "sign_in"}, {"do": "scan_tray", "tray": "TR-0001"}, *COUNTED],
    }
    when: tuple[Mapping[str, Any], ...] = (
        {"t": "12:00", "who": "T1", "do": "sign_in"},
        {"do": "scan_tray", "tray": "TR-0002"},
        {"t": "12:05", "who": "T2", "bench": "B2", "do": "sign_in"},
        {"do": "scan_tray", "tray": "TR-0003"},
        {"t": "12:10", "who": "T1", "do": "count", "lines": "all", "is": "ok"},
        {"t": "12:15", "who": "T2", "do": "count", "lines": "all", "is": "ok"},
    )
    return Scenario(id="X", title="", given=given, when=when, then=then, file="two.yaml")


@pytest.fixture
def played(qapp: QApplication, tmp_path: Path) -> Iterator[Player]:
    scenario = written()
    player = Player(scenario, build(scenario), Stage, out=tmp_path, size=(1280, 800), pictures=False)
    player.play()
    yield player
    player.close()


def test_every_person_works_at_the_bench_where_they_signed_in(played: Player) -> None:
    opened = {
        name: [kept.event.tray.code for kept in log if isinstance(kept.event, e.TrayOpened)]
        for name, log in played.logs().items()
    }
    assert opened == {"B1": ["TR-0001", "TR-0002"], "B2": ["TR-0003"]}


def test_each_station_hears_the_others_and_writes_in_no_log_but_its_own(played: Player) -> None:
    first, second = played.stages["B1"].kiosk, played.stages["B2"].kiosk
    assert first.session.desk.others["B2"] == second.session.bench
    assert second.session.desk.others["B1"] == first.session.bench


def test_what_was_done_before_now_counts_in_the_shift_and_is_compared_nowhere_else(
    qapp: QApplication, tmp_path: Path
) -> None:
    result = play(
        written(
            logged=["signed_in", "tray_opened", "tray_opened", "count_ok", "count_ok"],
            summary={"trays_opened": 3},
        ),
        Stage,
        tmp_path,
        size=(1280, 800),
    )
    assert result.missed == []
    three = play(written(logged=["tray_opened"] * 3), Stage, tmp_path / "again", size=(1280, 800))
    assert [miss["where"] for miss in three.missed] == ["then.logged.tray_opened"]
