"""What is asked for of the reading practice."""

from dataclasses import dataclass

from kiosk.core.readings import ReadingPicture


@dataclass(frozen=True, slots=True, kw_only=True)
class MakeReadingSet:
    """Make a set of kept pictures. `set`: its random number, 32 hexadecimal figures; `name`: 2031-Q1."""

    set: str
    name: str
    pictures: tuple[ReadingPicture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class BeginReading:
    """The person signed in reads a set, or goes on where they stopped."""

    set: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadPicture:
    """The person signed in answers a picture of a set: yes, no or unsure."""

    set: str
    picture: str
    says: str


@dataclass(frozen=True, slots=True, kw_only=True)
class EndReadingSet:
    """The set is read no more, and the group's figure is shown."""

    set: str


ReadingsCommand = MakeReadingSet | BeginReading | ReadPicture | EndReadingSet
