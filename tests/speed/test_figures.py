"""The rows of the table say what was measured."""

import pytest

from tests.speed.figures import Figure, in_turn, table


def test_a_ratio_is_that_of_the_medians_and_least_and_most_stand_beside() -> None:
    figure = Figure(what="a", against="b", ours=[3.0, 1.0, 1000.0], base=[2.0, 0.5, 4.0], goal=1.5)
    assert figure.ratio == 1.5
    assert figure.cells() == ("", "a", "b", "1.50", "1.5", "3 ms [1, 1,000]", "2 ms [0.5, 4]", "3")


def test_without_a_goal_the_table_says_none() -> None:
    lines = table([Figure(what="a", against="b", ours=[1.0], base=[4.0], unit="B")]).splitlines()
    assert len(lines) == 3
    assert lines[-1] == "|  | a | b | 0.25 | none | 1 B [1, 1] | 4 B [4, 4] | 1 |"


def test_both_run_in_turn_the_other_first() -> None:
    order: list[str] = []
    ours, base = in_turn(lambda: order.append("ours"), lambda: order.append("base"))
    assert order == ["base", "ours"] * 3
    assert len(ours) == len(base) == 3
    assert min(*ours, *base) >= 0


def test_a_row_of_nothing_can_not_be_made() -> None:
    with pytest.raises(ValueError, match="median"):
        Figure(what="a", against="b", ours=[], base=[1.0]).cells()
