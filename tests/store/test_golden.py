"""What was ever kept can be read for ever. A golden file holds one body; it is never changed.

`python -m tests.store.write_golden` writes those that are missing, and touches no other.
"""

import json
from pathlib import Path

import pytest

from kiosk.core.events import EVENTS, NAME_OF
from kiosk.store.classes import CLASS
from kiosk.store.codec import canonical, decode, encode
from tests.store.examples import EXAMPLES
from tests.store.write_golden import GOLDEN, write_missing

FILES = sorted(GOLDEN.glob("*.json"))
EXAMPLE_OF = {NAME_OF[type(event)]: event for event in EXAMPLES}


@pytest.mark.parametrize("name", EVENTS)
def test_every_event_has_a_golden_file_of_its_version_of_today(name: str) -> None:
    assert (GOLDEN / f"{name}.{EVENTS[name][0]}.json").is_file(), f"no golden file for {name}"


@pytest.mark.parametrize("path", FILES, ids=[path.stem for path in FILES])
def test_every_golden_file_decodes(path: Path) -> None:
    name, version = path.stem.rsplit(".", 1)
    body = path.read_bytes().removesuffix(b"\n")
    event = decode(name, int(version), body)
    assert canonical(json.loads(body)) == body
    if int(version) == EVENTS[name][0]:
        assert event == EXAMPLE_OF[name]
        assert set(json.loads(body)) <= set(json.loads(encode(event)[2]))


def test_every_event_has_one_example() -> None:
    assert len(EXAMPLES) == len(EXAMPLE_OF)
    assert EXAMPLE_OF.keys() == EVENTS.keys()


def test_a_golden_file_that_is_there_is_never_overwritten(tmp_path: Path) -> None:
    (tmp_path / "paused.1.json").write_text("mine")
    new = write_missing(tmp_path)
    assert (tmp_path / "paused.1.json").read_text() == "mine"
    assert len(new) == len(EVENTS) - 1
    assert write_missing(tmp_path) == []


def test_every_event_is_a_hold_a_release_or_neither() -> None:
    assert CLASS.keys() == EVENTS.keys()
    assert set(CLASS.values()) == {"hold", "clear", "info"}


@pytest.mark.parametrize(
    ("name", "cls"),
    [("finding", "hold"), ("tray_back", "hold"), ("hold_released", "clear"), ("check_yes", "info"), ("packed", "info")],
)
def test_what_keeps_a_tray_back_is_told_from_what_lets_it_go(name: str, cls: str) -> None:
    assert CLASS[name] == cls
