"""Whatever hands do, in whatever order: nothing breaks, nothing is lost, and the bench never locks itself."""

from collections.abc import Iterator
from random import Random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import settings as hypothesis_settings
from hypothesis import strategies as st

from kiosk.core import commands as c
from kiosk.core import events as e
from kiosk.core.agenda import bench_owed
from kiosk.core.dispositions import waits
from kiosk.core.evolve import evolve
from kiosk.core.state.bench import Bench
from kiosk.core.state.piece import TRAY
from kiosk.core.state.scopes import ScopeState
from kiosk.core.vocabulary import Disposition
from kiosk.pins import Argon2id
from tests.core.by_chance import onward, pick
from tests.core.department import PIN, Shift, desk, scan

WAITS = (1, 31, 5 * 60, 9 * 60)  # minutes: within a pause, past it, past the shift

POLICIES: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(
    {
        "scope_clean_every": st.sampled_from(["item", "lumen", "tray", "shift"]),
        "look_time": st.sampled_from(["ask", "wait", "off"]),
        "load_release_required": st.booleans(),
        "bench_contact_minutes": st.sampled_from(["from_label", 2]),
        "self_override": st.booleans(),
    }
)
MOVES = st.lists(st.integers(0, 1 << 20), min_size=20, max_size=110)


@pytest.fixture(autouse=True, scope="module")
def _pins_that_cost_nothing() -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Argon2id, "matches", lambda _, pin, __: pin == PIN)
        yield


def play(moves: list[int], policy: dict[str, Any]) -> Shift:
    """Follow the moves; both sizes of every view are made on the way."""
    shift = Shift(desk=desk(**policy))
    shift.sign_in()
    for number in moves:
        shift.session.small = True
        shift.session.view()
        shift.session.small = False
        view = shift.session.view()
        if number % 19 == 0:
            shift.minutes(WAITS[number // 19 % len(WAITS)])
        shift.send(pick(shift, view, number))
    shift.session.view()
    return shift


@pytest.mark.slow
@hypothesis_settings(max_examples=60)
@given(MOVES, POLICIES)
def test_any_sequence_of_commands_is_followed_or_refused_and_folds_to_the_same_bench(
    moves: list[int], policy: dict[str, Any]
) -> None:
    shift = play(moves, policy)
    assert shift.folded() == shift.bench
    hold_to_the_rules(shift)


def hold_to_the_rules(shift: Shift) -> None:
    """What no order of commands may break, read from the log."""
    bench = Bench()
    for kept in shift.log:
        event, trip = kept.event, bench.trip
        match event:
            case e.TrayOpened():
                assert bench_owed(bench) is None
            case e.TrayBack() if trip:
                out = {None, Disposition.SECOND_LOOK}  # what a doubt waits for goes back with its tray
                gone = {p.name for p in trip.pieces.values() if p.disposition not in out and p.name != TRAY}
                assert not gone & set(event.pieces)
                assert event.findings or event.why in {"stopped", "load_withdrawn"}
            case e.CheckYes() if event.key.endswith(".scope"):
                assert not bench.scopes.get(event.tool, ScopeState()).out_of_use
            case e.Packed() if trip:
                assert not waits(trip)
                assert all(p.all_yes or p.name in trip.replaced for p in trip.pieces.values())
            case e.TrayLetGo() if trip:
                assert not trip.findings
        bench = evolve(bench, kept)


@pytest.mark.slow
@hypothesis_settings(max_examples=60)
@given(MOVES, POLICIES)
def test_from_any_state_somebody_at_work_gets_back_to_the_next_scan(moves: list[int], policy: dict[str, Any]) -> None:
    shift = play(moves, policy)
    rng = Random(sum(moves))
    shift.send(c.FirstAidDone(), c.Turn())
    for _ in range(700):
        if shift.step.kind == "scan" and shift.bench.wet_since_ms is None:
            return
        shift.minutes(0.5)
        shift.send(rng.choice(_next(shift)))
    raise AssertionError(shift.step)


def _next(shift: Shift) -> list[c.Send]:
    if shift.bench.who is None:
        return [c.EnterPin(person=person, pin=PIN) for person in shift.desk.catalogue.people]
    kind = shift.step.kind
    if kind == "intake":  # somebody of decontam is signed in
        return [c.SignOut()]
    if kind in {"load", "plan_hold"}:
        return [c.StopHere(reason="called_away")]
    if shift.bench.label_minutes is None:
        return [c.SetLabelTime(minutes=1)]
    view = shift.session.view()
    if kind == "scan" and not hasattr(view, "yes"):  # the bench is wet: only its own tray can go on
        return [scan(t.tray.code) for t in shift.bench.trips.values() if any(k.kind == "bench" for k in t.tasks)]
    if type(view).__name__ == "PhotoView":
        return [c.NoPhoto(reason="no_time")]
    if shift.refused == "refused.tester_out":  # the tester failed this morning: only NO is left
        return [c.Answer(piece=shift.step.piece, key="insulation", yes=False)]
    return onward(shift, view) or [c.Turn()]
