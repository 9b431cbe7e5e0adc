"""The watch over a feed, by a clock in the hand; and what a picture holds."""

import pytest
from PySide6.QtGui import QColor, QImage

from kiosk.devices.feed_watch import Feed, FeedWatch
from kiosk.devices.picture_content import content_of, lightest_of, lightness


def _watch() -> FeedWatch:
    watch = FeedWatch()
    watch.begin(0)
    return watch


def test_a_first_frame_is_waited_for_and_given_up_after_its_time() -> None:
    watch = _watch()
    assert [watch.feed(at) for at in (0, 9_999, 10_000)] == [Feed.WAITING, Feed.WAITING, Feed.NEVER_CAME]
    watch.saw(1, 60, 11_000)
    assert watch.feed(11_000) is Feed.LIVE


def test_the_same_picture_again_and_again_is_frozen_and_so_is_none_at_all() -> None:
    watch = _watch()
    for at in range(0, 3_000, 100):
        watch.saw(7, 60, at)
        assert watch.feed(at) is Feed.LIVE
    watch.saw(7, 60, 3_000)
    assert watch.feed(3_000) is Feed.FROZEN
    watch.saw(8, 60, 3_100)
    assert watch.feed(3_100) is Feed.LIVE
    assert watch.feed(6_100) is Feed.FROZEN  # the cable holds and nothing comes


def test_a_lamp_that_is_off_for_a_moment_is_not_told_and_one_that_stays_off_is_before_frozen() -> None:
    watch = _watch()
    for at, lightest, feed in (
        (0, 60, Feed.LIVE), (500, 3, Feed.LIVE), (1_400, 3, Feed.LIVE), (1_500, 3, Feed.BLACK), (9_000, 3, Feed.BLACK),
        (9_100, 60, Feed.LIVE),
    ):  # fmt: skip
        watch.saw(at if lightest > 10 else 1, lightest, at)
        assert watch.feed(at) is feed, at


def test_a_watch_begun_again_knows_nothing_of_the_feed_before() -> None:
    watch = _watch()
    watch.saw(1, 2, 0)
    watch.begin(20_000)
    assert watch.feed(20_100) is Feed.WAITING
    watch.saw(1, 60, 20_200)
    assert watch.feed(20_200) is Feed.LIVE


@pytest.mark.parametrize(
    ("gray", "star"),
    [(0, 0.0), (255, 100.0), (119, 50.0), (1, 0.27)],
)
def test_lightness_is_that_of_the_standard(gray: int, star: float) -> None:
    """IEC 61966-2-1 and ISO/CIE 11664-4: black 0, white 100; sRGB gray 119 is the middle gray of L* 50 (from memory);
    gray 1 lies in the linear part: 903.3 / 12.92 / 255 = 0.27."""
    assert lightness(gray) == pytest.approx(star, abs=0.1)


def _gray(value: int) -> QImage:
    image = QImage(1280, 720, QImage.Format.Format_RGB32)
    image.fill(QColor(value, value, value))
    return image


def test_hot_pixels_of_a_sensor_make_no_light_and_a_lit_spot_of_the_wall_does() -> None:
    image = _gray(4)
    image.setPixelColor(300, 200, QColor(255, 255, 255))
    image.setPixelColor(900, 500, QColor(255, 255, 255))
    assert lightest_of(image) < 8
    for x in range(600, 660):
        for y in range(300, 360):
            image.setPixelColor(x, y, QColor(120, 110, 90))
    assert lightest_of(image) > 40


def test_one_pixel_makes_another_picture() -> None:
    one, other = _gray(90), _gray(90)
    assert content_of(one) == content_of(other)
    other.setPixelColor(5, 5, QColor(91, 90, 90))
    assert content_of(one) != content_of(other)
