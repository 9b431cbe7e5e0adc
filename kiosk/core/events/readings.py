"""The reading practice: sets of pictures, and what was said of them. No event has a trip; answers have no person."""

from dataclasses import dataclass

from kiosk.core.events.shipped import Shipped
from kiosk.core.readings import ReadingPicture


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSetMade:
    """A set of kept pictures was made for every reader. `set`: its number, random, in hexadecimal; `name`: 2031-Q1."""

    set: str
    name: str
    pictures: tuple[ReadingPicture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingBegun:
    """Somebody began to read a set. `reader`: their mark in this set, no name; `seed`: of their order of pictures."""

    set: str
    reader: str
    seed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class PictureRead:
    """A picture of a set was answered under a mark: yes (the wall is clear of soil), no, or unsure."""

    set: str
    reader: str
    picture: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadingSetEnded:
    """A set is read no more: from here on the group's figure is shown."""

    set: str


ReadingsEvent = ReadingSetMade | ReadingBegun | PictureRead | ReadingSetEnded

SHIPPED: dict[str, Shipped] = {
    "reading_set_made": Shipped(1, ReadingSetMade, "info"),
    "reading_begun": Shipped(1, ReadingBegun, "info"),
    "picture_read": Shipped(1, PictureRead, "info"),
    "reading_set_ended": Shipped(1, ReadingSetEnded, "info"),
}
