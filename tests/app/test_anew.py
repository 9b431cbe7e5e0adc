"""A bug ends nothing for long: the program starts anew where it was, and gives up only where it falls in a row."""

import sys
from pathlib import Path

import pytest

from kiosk.app.anew import GAVE_UP, MARK, MOST, SOON_S, how_often, start_anew
from tests.app.driven import prepare, run


@pytest.mark.parametrize(
    ("mark", "now_s", "often"),
    [
        ("", 5.0, 1),
        ("100.0 1", 100.0 + SOON_S - 1, 2),
        ("100.0 2", 100.0 + SOON_S + 1, 1),
        ("100.0 2", 50.0, 1),  # the machine was started anew meanwhile
        ("what 2", 5.0, 1),
    ],
)
def test_bugs_close_to_each_other_are_counted_in_a_row(mark: str, now_s: float, often: int) -> None:
    assert how_often(mark, now_s) == often


def test_the_same_call_is_started_again_with_its_mark() -> None:
    called: list[tuple[str, list[str], dict[str, str]]] = []
    ended: list[int] = []
    start_anew({"HOME": "/h"}, 7.0, lambda *words: called.append(words), ended.append)
    assert ended == []
    (words,) = called
    assert words[0] == sys.executable
    assert words[1] == [sys.executable, *sys.orig_argv[1:]]
    assert words[2] == {"HOME": "/h", MARK: "7.0 1"}


def test_a_program_that_falls_again_and_again_is_left_to_who_started_it() -> None:
    ended: list[object] = []
    start_anew({MARK: f"100.0 {MOST}"}, 101.0, lambda *words: ended.append(words), ended.append)
    assert ended == [GAVE_UP]


@pytest.mark.slow
def test_after_a_bug_nothing_kept_is_lost_and_a_badge_and_a_scan_lead_to_where_it_was(tmp_path: Path) -> None:
    """As after a power cut: the tray waits as it was left, and who comes signs in first (look.md 3.13)."""
    prepare(tmp_path / "store")
    _, before, after, again = run(tmp_path / "store", "bug")
    assert (before["anew"], after["anew"]) == (False, True)
    assert before["trip"]
    assert after["kept"] == before["kept"]
    assert after["view"] == "SignInView"
    assert (again["who"], again["trip"]) == (before["who"], before["trip"])
