"""A scanner told from a hand by pace alone: no Qt, no clock."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from kiosk.devices.pace import Heard, Pace

GAP, LEAST, TAIL = 35, 4, 150
LETTERS = st.characters(min_codepoint=0x1D, max_codepoint=0x7E)
PRESSES = st.lists(st.tuples(LETTERS | st.sampled_from("\r\n\t"), st.integers(0, 200)), max_size=40)


def press(pace: Pace[str], text: str, *, every: float, start: float = 1000.0) -> tuple[list[str], str, float]:
    """Scans, what was typed, and the time after the last key."""
    scans, typed, at = [], "", start
    for char in text:
        heard = pace.key(char, char, at)
        scans += [heard.scan] if heard.scan is not None else []
        typed += "".join(heard.typed)
        at += every
    return scans, typed, at


def rest(pace: Pace[str]) -> tuple[list[str], str]:
    heard = pace.pause()
    return [heard.scan] if heard.scan is not None else [], "".join(heard.typed)


def test_a_burst_with_enter_is_a_scan_and_types_nothing() -> None:
    for end in ("\r", "\n", "\t"):
        assert press(Pace(), f"TR-0734{end}", every=8)[:2] == (["TR-0734"], "")


def test_a_burst_without_enter_is_a_scan_after_the_pause() -> None:
    pace = Pace[str]()
    assert press(pace, "TR-0734", every=8)[:2] == ([], "")
    assert rest(pace) == (["TR-0734"], "")
    assert not pace.waiting


def test_slow_typing_comes_through_whole_and_in_order() -> None:
    pace = Pace[str]()
    scans, typed, _ = press(pace, "TR-0734\r", every=120)
    assert (scans, typed) == ([], "TR-0734\r")
    assert rest(pace) == ([], "")


def test_a_last_slow_key_is_handed_on_by_the_pause() -> None:
    pace = Pace[str]()
    assert press(pace, "7", every=120)[:2] == ([], "")
    assert pace.waiting
    assert rest(pace) == ([], "7")


def test_a_key_of_a_hand_before_a_scan_is_typed_and_the_scan_is_whole() -> None:
    pace = Pace[str]()
    _, _, at = press(pace, "7", every=50)
    assert press(pace, "TR-0734\r", every=8, start=at)[:2] == (["TR-0734"], "7")


def test_a_late_enter_belongs_to_the_scan_before_it() -> None:
    pace = Pace[str]()
    _, _, at = press(pace, "TR-0734", every=8)
    assert pace.pause() == Heard(scan="TR-0734")
    assert pace.key("\r", "\r", at + 70) == Heard()
    assert pace.key("\r", "\r", at + 400) == Heard(typed=("\r",))


def test_a_run_that_nothing_closes_broke_off_once_a_scan_was_closed() -> None:
    pace = Pace[str]()
    _, _, at = press(pace, "TR-0734\r", every=8)
    press(pace, "TR-07", every=8, start=at + 300)
    assert pace.pause() == Heard(broken="TR-07")
    assert press(pace, "TR-0734\r", every=8, start=at + 900)[:2] == (["TR-0734"], "")


def test_the_same_run_once_more_is_a_scan_of_a_scanner_that_closes_none() -> None:
    pace = Pace[str]()
    _, _, at = press(pace, "TR-0734\r", every=8)
    press(pace, "W-2201", every=8, start=at + 300)
    assert pace.pause() == Heard(broken="W-2201")
    press(pace, "W-2201", every=8, start=at + 900)
    assert pace.pause() == Heard(scan="W-2201")
    press(pace, "W-2202", every=8, start=at + 1500)
    assert pace.pause() == Heard(scan="W-2202")


def test_a_late_enter_closes_its_scan_also_where_scans_are_closed() -> None:
    pace = Pace[str]()
    _, _, at = press(pace, "TR-0734\r", every=8)
    _, _, at = press(pace, "TR-0735", every=8, start=at + 300)
    assert pace.pause_ms >= TAIL
    assert pace.key("\r", "\r", at + 100) == Heard(scan="TR-0735")


def test_enter_and_line_feed_after_a_scan_are_one_end() -> None:
    assert press(Pace(), "TR-0734\r\n", every=8)[:2] == (["TR-0734"], "")


def test_two_scans_in_a_row_are_two() -> None:
    pace = Pace[str]()
    first, typed, at = press(pace, "TR-0734\r", every=8)
    second, more, _ = press(pace, "W-2201\r", every=8, start=at + 300)
    assert (first, second, typed + more) == (["TR-0734"], ["W-2201"], "")


def test_group_separators_stay_in_the_scan() -> None:
    assert press(Pace(), "10AB\x1d21C\r", every=8)[0] == ["10AB\x1d21C"]


def test_three_fast_keys_are_a_hand_and_three_with_enter_a_scan() -> None:
    pace = Pace[str]()
    press(pace, "abc", every=8)
    assert rest(pace) == ([], "abc")
    assert press(Pace(), "SC1\r", every=8)[:2] == (["SC1"], "")
    assert press(Pace(), "T1\r", every=8)[:2] == ([], "T1\r")


def test_another_key_ends_the_run_and_comes_after_it() -> None:
    pace = Pace[str]()
    press(pace, "ab", every=8)
    assert pace.other("<left>") == Heard(typed=("a", "b", "<left>"))
    press(pace, "TR-0734", every=8)
    assert pace.other("<left>") == Heard(scan="TR-0734", typed=("<left>",))


@given(presses=PRESSES)
def test_every_key_comes_out_once_typed_or_scanned_and_in_order(presses: list[tuple[str, int]]) -> None:
    """All that goes in comes out, but for the Enter or Tab that closes a scan."""
    pace = Pace[str](gap_ms=GAP, least=LEAST, tail_ms=TAIL)
    out, at = "", 0.0
    for char, after in presses:
        at += after
        heard = pace.key(char, char, at)
        out += (heard.scan or heard.broken or "") + "".join(heard.typed)
    heard = pace.pause()
    out += (heard.scan or heard.broken or "") + "".join(heard.typed)
    given_in = "".join(char for char, _ in presses)
    assert out.translate({13: None, 10: None, 9: None}) == given_in.translate({13: None, 10: None, 9: None})
    remaining = iter(given_in)
    assert all(char in remaining for char in out), "order"
    assert not pace.waiting


@given(presses=PRESSES)
def test_a_scan_is_never_shorter_or_slower_than_a_scanner(presses: list[tuple[str, int]]) -> None:
    pace = Pace[tuple[str, float]](gap_ms=GAP, least=LEAST, tail_ms=TAIL)
    at, times = 0.0, dict[int, float]()
    scans = []
    for n, (char, after) in enumerate(presses):
        at += after
        times[n] = at
        if scan := pace.key(char, (char, at), at).scan:
            scans.append(scan)
    if scan := pace.pause().scan:
        scans.append(scan)
    text = "".join(char for char, _ in presses)
    for scan in scans:
        assert len(scan) >= LEAST - 1
        starts = [n for n in range(len(text)) if text.startswith(scan, n)]
        paces = [[times[n + k] for k in range(len(scan))] for n in starts]
        assert any(all(b - a <= GAP for a, b in pairwise(run)) for run in paces)


@given(text=st.text(LETTERS, min_size=LEAST), every=st.floats(0, GAP - 1))
def test_any_code_at_a_scanners_pace_is_scanned_whole(text: str, every: float) -> None:
    assert press(Pace(gap_ms=GAP, least=LEAST), text + "\r", every=every)[:2] == ([text], "")


@given(text=st.text(LETTERS | st.sampled_from("\r\t")), every=st.floats(GAP + 1, 500))
def test_any_text_at_a_hands_pace_is_typed_whole(text: str, every: float) -> None:
    pace = Pace[str](gap_ms=GAP, least=LEAST)
    scans, typed, _ = press(pace, text, every=every)
    last_scans, last = rest(pace)
    assert (scans + last_scans, typed + last) == ([], text)
