"""From the shell: the log written to a stick, taken in elsewhere, and what is refused said."""

import json
from pathlib import Path

import pytest

from kiosk.store.database import FILE, Store
from kiosk.store.log import Log
from kiosk.sync.courier import SEEN
from tests.cli.running import Run
from tests.store.older import copied
from tests.store.shift import yes

NOT_ONE = "bad.bundle is no bundle, or not the whole of one, or not as it was written."


def with_events(folder: str, number: int = 3, bench: str = "B1") -> str:
    with Store(Path(folder), bench) as store:
        Log(store).append([yes(n) for n in range(number)])
        return store.origin


@pytest.fixture
def stick() -> Path:
    """Made in the empty folder that `run` works in."""
    return Path("stick")


def written(run: Run, *more: str) -> dict[str, object]:
    Path("stick").mkdir(exist_ok=True)
    ran = run("bundle", "write", "stick", "--store", "mine", "--json", *more)
    assert ran.status == 0
    (one,) = ran.json["files"]
    return dict(one)


def test_a_log_is_written_read_with_its_key_once_and_then_without(run: Run) -> None:
    with_events("mine")
    with_events("other", 1, "D1")
    one = written(run)
    refused = run("bundle", "read", one["file"], "--store", "other", "--json")
    assert (refused.status, refused.json[0]["refused"]) == (1, "bundle_unknown_key")
    assert f"--trust {one['key']}" in refused.json[0]["says"]
    (taken,) = run("bundle", "read", one["file"], "--store", "other", "--trust", one["key"], "--json").json
    assert (taken["new"], taken["from"], taken["to"], taken["refused"]) == (3, 1, 3, None)
    assert json.loads(Path(taken["receipt"]).read_text())["took"]["to"] == 3
    with_events("mine", 2)
    second = written(run)
    ran = run("bundle", "read", second["file"], "--store", "other")
    assert ran.status == 0
    assert ran.out.endswith("B1, events 1 to 5, 2 of them new\n")


def test_what_was_written_is_said_in_words_with_the_key_and_when_the_stick_may_go(run: Run) -> None:
    with_events("mine")
    ran = run("bundle", "write", "b1.bundle", "--store", "mine")
    first, key, last = ran.out.splitlines()
    assert first.startswith("b1.bundle: B1, events 1 to 3, ")
    assert key.startswith("The key of B1: ")
    assert (ran.status, last) == (0, "The stick may be pulled out now.")


def test_a_refused_one_does_not_keep_the_others_out_and_the_order_of_the_names_does_not_count(run: Run) -> None:
    with_events("mine")
    with_events("other", 1, "D1")
    first = written(run)
    Path("stick/z.bundle").write_bytes(Path(str(first["file"])).read_bytes())
    with_events("mine", 4)
    Path("mine", SEEN).write_text(json.dumps({first["origin"]: 3}))
    second = written(run, "--since-acked")
    assert (second["from"], second["to"]) == (4, 7)
    Path("stick/bad.bundle").write_bytes(b"nothing")
    call = ["stick/bad.bundle", second["file"], "stick/z.bundle"]
    ran = run("bundle", "read", *call, "--store", "other", "--trust", first["key"])
    assert ran.status == 1
    assert ran.out.splitlines() == [
        "z.bundle: B1, events 1 to 3, 3 of them new",
        f"{Path(str(second['file'])).name}: B1, events 4 to 7, 4 of them new",
        f"bad.bundle was not taken in, and nothing of it was kept. {NOT_ONE}",
    ]


def test_a_hub_that_was_never_heard_of_acknowledged_nothing(run: Run) -> None:
    with_events("mine")
    for told in (None, "", "[]", '{"x": "y"}'):
        if told is not None:
            Path("mine", SEEN).write_text(told)
        assert written(run, "--since-acked")["from"] == 1


def test_where_there_is_nothing_to_write_that_is_said(run: Run, stick: Path) -> None:
    origin = with_events("mine")
    Path("mine", SEEN).write_text(json.dumps({origin: 3}))
    stick.mkdir()
    ran = run("bundle", "write", "stick", "--since-acked", "--store", "mine")
    assert (ran.status, ran.out) == (0, "There is nothing to write.\n")


def test_events_that_nobody_here_can_sign_for_are_named(run: Run, stick: Path) -> None:
    with_events("first")
    copied(Path("first"), Path("mine"))
    with_events("mine", 1)
    stick.mkdir()
    ran = run("bundle", "write", "stick", "--store", "mine")
    assert ran.status == 1
    assert "Events 1 to 3 of the log " in ran.out


def test_a_stick_that_lets_nothing_be_written_is_read_all_the_same(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    with_events("mine")
    with_events("other", 1, "D1")
    one = written(run)
    Path(f"stick/.{Path(str(one['file'])).name}.receipt.part").mkdir()
    ran = run("bundle", "read", one["file"], "--store", "other", "--trust", one["key"], "--json")
    assert (ran.status, ran.json[0]["new"], ran.json[0]["receipt"]) == (0, 3, None)


def test_what_is_wrong_with_the_call_is_said(run: Run, stick: Path) -> None:
    assert "gone: there is no store here" in run("bundle", "write", ".", "--store", "gone").complaint
    with_events("mine")
    for to in ("stick", "stick/x.bundle", f"mine/{FILE}"):
        assert "there is no such folder" in run("bundle", "write", to, "--store", "mine").complaint
    assert not stick.exists()
    assert "0 to 9 and a to f" in run("bundle", "read", "x", "--store", "mine", "--trust", "zz").complaint
    assert "64 figures" in run("bundle", "read", "x", "--store", "mine", "--trust", "abab").complaint
    assert run("bundle", "read", "gone.bundle", "--store", "mine", "--json").json[0]["refused"] == "bundle_not_read"
