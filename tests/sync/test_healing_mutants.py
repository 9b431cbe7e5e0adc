"""The test tested: with a fault built into the exchange, the store or the hub, the healing is not what it should be.

Each fault is one line of the product turned into another. One the chain of hashes makes harmless on its own: then the
department heals nevertheless, and that is what is shown.
"""

import inspect
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from hypothesis.errors import HypothesisException

from kiosk.places import DB
from kiosk.store import heard, incarnation
from kiosk.store.database import Store
from kiosk.store.heard import Heard
from kiosk.store.outage import Outage
from kiosk.sync import exchange
from kiosk.sync.exchange import _Sending
from tests.sync.healing import Site
from tests.sync.rows import rows
from tests.sync.test_healing import machine, memory, play, quick, sites, steps

__all__ = ["memory", "quick", "sites"]
pytestmark = [pytest.mark.postgres, pytest.mark.slow, pytest.mark.timeout(600)]

EXAMPLES = 400
"""Plays that a fault may take until it is found."""


def turned(of: Callable[..., Any], old: str, new: str) -> Callable[..., Any]:
    """The function with one piece of its text turned into another."""
    text = textwrap.dedent(inspect.getsource(of))
    assert text.count(old) == 1, f"{of.__qualname__} has {text.count(old)} of {old!r}"
    made: dict[str, Any] = {}
    code = compile("from __future__ import annotations\n" + text.replace(old, new), of.__name__, "exec")
    exec(code, of.__globals__, made)  # noqa: S102
    return made[of.__name__]  # type: ignore[no-any-return]


IN_PYTHON: dict[str, tuple[Any, str, str, str]] = {
    "the hub's head is not compared with the own log": (
        _Sending, "meets", "head.h == self._own.hash_of(head.seq)", "True"),
    "a longer log at the hub is not compared": (
        _Sending, "meets", "theirs is None or theirs == self._own.hash_of(last)", "True"),
    "the last event of a log is not sent": (
        _Sending, "go", "self._own.rows(self.seq, self._stretch.last, BATCH)",
        "self._own.rows(self.seq, self._stretch.last - 1, BATCH)\n        if not rows: return"),
    "the other branch is not sent": (_Sending, "_forked", "after = alike\n", "after = self._stretch.last\n"),
    "what stands after a fork is not sent": (_Sending, "_forked", "alike = differs\n    while", "return\n    while"),
    "where a log begins is forgotten": (exchange, "_segment", "was=head.was", "was=None"),
    "one event is passed over when fetching": (
        exchange, "fetch_others", "here[head.origin], max(", "here[head.origin] + 1, max("),
    "former logs of a bench are never heard again": (
        exchange, "fetch_moved", "own.stretches()[-1:]", "own.stretches()"),
    "a store that was put back goes on under its old log": (
        incarnation, "_why", 'return "restored"\n    if keys', 'return ""\n    if keys'),
    "a copied store goes on under its old log": (
        incarnation, "_why", "keys.public(last.origin) != last.public_key", "False"),
}  # fmt: skip

IN_SQL: dict[str, tuple[str, str]] = {
    "the hub's head is not moved": ("SET seq = v_head.seq, h = v_head.h, recv", "SET recv"),
    "the overlap is not compared at the hub": ("stored IS DISTINCT FROM p_h[skip]", "false"),
    "the other branch is thrown away at the hub": (
        "WHERE NOT EXISTS (SELECT FROM sync.event", "WHERE false AND NOT EXISTS (SELECT FROM sync.event"),
    "a branch is not followed beyond the head": ("'active' AND NOT branch", "'active'"),
}  # fmt: skip


GAP = ("p_first > v_head.seq + 1 AND v_origin.state = 'active' AND NOT branch", "false")


def _turn(monkeypatch: pytest.MonkeyPatch, name: str) -> None:
    of, function, old, new = IN_PYTHON[name]
    monkeypatch.setattr(of, function, turned(getattr(of, function), old, new))


def _turn_at(site: Site, old: str, new: str) -> None:
    text = (DB / "postgres" / "0002_door.sql").read_text("utf-8")
    assert text.count(old) == 1, f"{text.count(old)} of {old!r}"
    anew = text.replace(old, new).replace("CREATE FUNCTION", "CREATE OR REPLACE FUNCTION")
    site.root.execute(anew.encode())
    site.root.commit()


def _found(sites: list[Site], memory: Path) -> str:
    """What the machine says of the fault; "" where it finds none."""
    steps.clear()
    try:
        play(machine(sites, memory), EXAMPLES)
    except HypothesisException:
        raise
    except Exception as fault:
        if isinstance(fault, Outage) and fault.key in {"hub_away", "hub_silent"}:
            raise  # the hub itself was not there: nothing was found
        return f"{type(fault).__name__}: {str(fault).splitlines()[0]}"
    finally:
        for site in sites:
            site.root.rollback()
    return ""


@pytest.mark.parametrize("name", IN_PYTHON)
def test_a_fault_of_the_station_is_found(
    name: str, sites: list[Site], memory: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(exchange, "BATCH", 3)
    _turn(monkeypatch, name)
    said = _found(sites, memory)
    with capsys.disabled():
        sys.stdout.write(f"\n{name}: {said[:150]!r} after {steps['steps']} steps")
    assert said


@pytest.mark.parametrize("name", IN_SQL)
def test_a_fault_of_the_hub_is_found(
    name: str, sites: list[Site], memory: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(exchange, "BATCH", 3)
    for site in sites:
        _turn_at(site, *IN_SQL[name])
    said = _found(sites, memory)
    with capsys.disabled():
        sys.stdout.write(f"\n{name}: {said[:150]!r} after {steps['steps']} steps")
    assert said


def test_what_came_twice_would_be_refused_by_the_chain_and_never_put_twice(
    memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It is no play: the log would wait, refused, until the hub has more of it."""
    turn = turned(heard._following, "if row[0] > walk.seq]", "]")
    monkeypatch.setattr(heard, "_following", turn)
    with Store(memory / "twice", "B1") as store:
        here = Heard(store)
        origin = "78e51061-7311-48a3-82ce-6f447ed4d57b"
        came = rows(origin, 5, bench="B2")
        here.take(origin, came)
        with pytest.raises(Outage) as told:
            here.take(origin, came)
        assert told.value.key == "other_log"
        assert here.heads() == {origin: 5}


def test_a_hub_that_does_not_look_for_gaps_is_kept_from_harm_by_the_chain(
    sites: list[Site], memory: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(exchange, "BATCH", 3)
    for site in sites:
        _turn_at(site, *GAP)
    play(machine(sites, memory), 15)
