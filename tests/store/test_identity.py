"""The id of an event and its place in time, against what is published. Sources stand in reference/uuid7_hlc.json."""

import json
from pathlib import Path
from typing import Any

import pytest
import uuid_utils
from hypothesis import given
from hypothesis import strategies as st

from kiosk.store.identity import is_uuid7, new_id, tick, uuid7

CASES: dict[str, Any] = {
    case["id"]: case
    for case in json.loads((Path(__file__).parents[1] / "reference" / "uuid7_hlc.json").read_text("utf-8"))["cases"]
}


@pytest.mark.parametrize("case", ["uuid7-rfc", "uuid7-0"])
def test_the_id_is_packed_as_the_rfc_prints_it(case: str) -> None:
    given_, wanted = CASES[case]["inputs"], CASES[case]["expected"]["uuid"]
    assert str(uuid7(given_["unix_ts_ms"], given_["rand_a"], given_["rand_b"])).upper() == wanted


def test_the_rfcs_own_id_is_read_as_it_prints_it() -> None:
    """By a second reader: uuid_utils."""
    text, wanted = CASES["uuid7-rfc-decode"]["inputs"]["uuid"], CASES["uuid7-rfc-decode"]["expected"]
    read = uuid_utils.UUID(text)
    assert (read.timestamp, read.version, read.int >> 64 & 0xFFF, read.int >> 62 & 3) == (
        wanted["ms"], wanted["ver"], wanted["rand_a"], wanted["var"],
    )  # fmt: skip
    assert is_uuid7(text)


@pytest.mark.parametrize(
    ("text", "yes"),
    [*zip(CASES["uuid7-reject"]["inputs"]["uuids"], CASES["uuid7-reject"]["expected"]["is_v7"], strict=True)],
)
def test_what_is_no_uuid_of_version_7_is_told_apart(text: str, yes: bool) -> None:
    assert is_uuid7(text) is yes


@pytest.mark.parametrize("fields", [(-1, 0, 0), (1 << 48, 0, 0), (0, 1 << 12, 0), (0, 0, 1 << 62)])
def test_a_field_that_does_not_fit_is_refused(fields: tuple[int, int, int]) -> None:
    with pytest.raises(ValueError, match="does not fit"):
        uuid7(*fields)


def test_the_clock_follows_the_published_run_through_jumps_ties_and_messages() -> None:
    case = CASES["hlc-sequence"]
    clock, got = -1, []
    for at, _, message in case["inputs"]["events_pt_kind_msg"]:
        clock = tick(clock, at, message[0] << 16 | message[1] if message else -1)
        got.append([clock >> 16, clock & 0xFFFF])
    assert got == case["expected"]["timestamps_l_c"]


@given(st.lists(st.integers(min_value=0, max_value=(1 << 47) - 1), min_size=1, max_size=50))
def test_ids_and_clock_rise_whatever_the_wall_clock_does(wall: list[int]) -> None:
    clocks = [0]
    for at_ms in wall:
        clocks.append(tick(clocks[-1], at_ms))
    ids = [new_id(clock) for clock in clocks[1:]]
    assert clocks == sorted(set(clocks))
    assert ids == sorted(set(ids))
    assert all(map(is_uuid7, ids))
    assert [uuid_utils.UUID(text).timestamp for text in ids] == [clock >> 16 for clock in clocks[1:]]


def test_seventy_thousand_events_of_one_millisecond_still_rise() -> None:
    """More than the counter holds: it runs over into the milliseconds."""
    first = tick(0, 1_700_000_000_000)
    ids = [new_id(clock) for clock in range(first + 65_000, first + 66_500)]
    assert ids == sorted(set(ids))
