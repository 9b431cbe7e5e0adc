"""The ids of events: the kept library against RFC 9562, version 7. Sources stand in the reference file."""

import json
from pathlib import Path
from typing import Any

import pytest
import uuid_utils

CASES: dict[str, dict[str, Any]] = {
    case["id"]: case
    for case in json.loads((Path(__file__).parents[1] / "reference" / "uuid7.json").read_text("utf-8"))["cases"]
}


def is_version_7(text: str) -> bool:
    try:
        id_ = uuid_utils.UUID(text)
    except ValueError:
        return False
    return id_.variant == uuid_utils.RFC_4122 and id_.version == 7


@pytest.mark.parametrize("case", ["uuid7-rfc", "uuid7-0"])
def test_the_parts_packed_by_the_standards_layout_are_what_the_library_reads(case: str) -> None:
    parts, expected = CASES[case]["inputs"], CASES[case]["expected"]["uuid"]
    packed = parts["unix_ts_ms"] << 80 | 7 << 76 | parts["rand_a"] << 64 | 2 << 62 | parts["rand_b"]
    id_ = uuid_utils.UUID(int=packed)
    assert str(id_).upper() == expected
    assert id_.timestamp == parts["unix_ts_ms"]


def test_the_published_id_decodes_to_its_time() -> None:
    expected = CASES["uuid7-rfc-decode"]["expected"]
    id_ = uuid_utils.UUID(CASES["uuid7-rfc-decode"]["inputs"]["uuid"])
    assert (id_.version, id_.timestamp) == (expected["ver"], expected["ms"])


def test_ids_of_another_kind_are_told_apart() -> None:
    case = CASES["uuid7-reject"]
    assert [is_version_7(text) for text in case["inputs"]["uuids"]] == case["expected"]["is_v7"]


def test_ids_made_one_after_the_other_sort_in_that_order() -> None:
    ids = [str(uuid_utils.uuid7()) for _ in range(2000)]
    assert ids == sorted(ids)
    assert len({*ids}) == len(ids)
    assert all(map(is_version_7, ids))
