"""The desk says when the hub was not reached for as long as policy allows, and why a log does not go on there."""

from dataclasses import replace

import pytest

from kiosk import resources
from kiosk.core import waiting
from kiosk.core.composing.handover import line_words, step_words
from kiosk.core.desk import HubState
from tests.core.department import Shift, at_work

HOUR_MS = 3_600_000


def found(shift: Shift, hub: HubState | None) -> list[waiting.Line]:
    shift.session.reach(hub)
    return waiting.some(waiting.lines(shift.bench, shift.session.desk, shift.now()), ("hub",))


def test_a_station_without_a_hub_says_nothing_of_it() -> None:
    assert found(at_work(), None) == []


def test_a_hub_that_answered_lately_is_no_line_and_one_that_did_not_for_the_policys_hours_is() -> None:
    shift = at_work()
    hours, now = shift.desk.policy.offline_warn_hours, shift.now().at_ms
    assert found(shift, HubState(ok_ms=now - hours * HOUR_MS + 1, waiting=7)) == []
    (line,) = found(shift, HubState(ok_ms=now - hours * HOUR_MS, waiting=7))
    title, state = line_words(shift.session.glance(), line)
    assert (title, state) == ("", f"The hub has not answered for {hours} hours; 7 entries wait here")
    assert "hub" in waiting.RULED


@pytest.mark.parametrize("verdict", waiting.HUB_VERDICTS)
def test_why_a_log_does_not_go_on_is_said_with_what_to_do(verdict: str) -> None:
    shift = at_work()
    (line,) = found(shift, HubState(ok_ms=shift.now().at_ms, waiting=3, verdict=verdict))
    glance = shift.session.glance()
    for words in (resources.words("en"), resources.words("es")):
        told = replace(glance, words=words)
        assert line_words(told, line)[1]
        assert step_words(told, line)


def test_the_hub_is_still_known_after_the_policy_was_changed() -> None:
    shift = at_work()
    hub = HubState(ok_ms=1, waiting=0)
    shift.session.reach(hub)
    shift.session.use(shift.session.desk)
    assert shift.session.desk.hub == hub
