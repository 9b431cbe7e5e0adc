"""Examples of the events of the reading practice."""

from kiosk.core import events as e
from kiosk.core.readings import ReadingPicture

SET = "0f" * 16

EXAMPLES: tuple[e.Event, ...] = (
    e.ReadingSetMade(
        set=SET, name="2031-Q1", pictures=(ReadingPicture(name="1", file="reading_5c.png", sha256="5c" * 32),),
    ),
    e.ReadingBegun(set=SET, reader="3d2c1b0a9f8e", seed=67_241_110_009_871),
    e.PictureRead(set=SET, reader="3d2c1b0a9f8e", picture="1", says="unsure"),
    e.ReadingSetEnded(set=SET),
)  # fmt: skip
