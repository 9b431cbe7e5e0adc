"""Written lessons of the practice: what is to be done, and what was right after it. No points, no clock, no names."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class LessonStep:
    """One thing to do, in each language, and the event (its name on disk) that shows that it was done."""

    say: Mapping[str, str]
    right: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Lesson:
    """A lesson: its title in each language and its steps in order."""

    id: str
    title: Mapping[str, str]
    steps: tuple[LessonStep, ...]


def in_words(words: Mapping[str, str], language: str) -> str:
    """A lesson's words in a language; English where it has none."""
    return words.get(language) or words["en"]


def done(lesson: Lesson, happened: Iterable[str]) -> tuple[bool, ...]:
    """Which steps were done, each after the one before it, by the names of what happened since the lesson began."""
    names, at, out = list(happened), 0, []
    for step in lesson.steps:
        found = step.right in names[at:]
        if found:
            at = names.index(step.right, at) + 1
        out.append(found)
    return tuple(out)
