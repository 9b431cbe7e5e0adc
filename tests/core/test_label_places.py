"""Words beside points: none touches another, and none leaves its room."""

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from kiosk.core.label_places import Box, beside, placed

ROOM, HIGH = 200.0, 60.0
BOXES = st.lists(
    st.builds(
        Box,
        left=st.floats(0, 120),
        top=st.floats(-5, 58),
        width=st.floats(5, 80),
        height=st.just(5.0),
    ),
    max_size=9,
)


@given(BOXES, BOXES)
def test_no_words_touch_others_or_leave_the_room(wanted: list[Box], taken: list[Box]) -> None:
    found = [box for box in placed(wanted, taken, gap=0.5, low=0.0, high=HIGH) if box is not None]
    for one, other in combinations(found, 2):
        apart = max(one.left, other.left) >= min(one.right, other.right)
        assert apart or abs(one.top - other.top) >= 5.0
    assert all(box.top >= 0.0 and box.top + box.height <= HIGH for box in found)


@given(st.integers(1, 10))
def test_as_many_are_told_as_the_room_holds(many: int) -> None:
    """Twelve lines of 5 with no gap fill a room of 60: ten that all want one place find one each."""
    wanted = [Box(left=0, top=30, width=50, height=5)] * many
    assert None not in placed(wanted, (), gap=0.5, low=0.0, high=HIGH)


def test_words_stand_clear_of_other_points_where_there_is_room() -> None:
    want, point = Box(left=10, top=20, width=40, height=5), Box(left=30, top=21, width=3, height=3)
    (box,) = placed([want], [point], gap=0.5, low=0.0, high=HIGH)
    assert box is not None
    assert box.top + box.height <= point.top or box.top >= point.top + point.height


@given(st.floats(0, ROOM), st.floats(1, ROOM))
def test_words_beside_a_point_stay_within_the_width(x: float, width: float) -> None:
    at = beside(x, width, away=3, left=0, right=ROOM)
    assert 0 <= at <= ROOM - width + 1e-9
