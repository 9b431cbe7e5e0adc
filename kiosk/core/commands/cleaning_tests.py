"""What is asked for cleaning tests."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class KeepCleaningTest:
    """A result, field by field: as long as one is missing, its page is shown; with the value it is kept.

    `meter` "-": read on none. `about`: `tray=TR-1`, `item=` a mark, `load=W-1`, or what was typed.
    """

    kind: str = ""
    what: str = ""
    unit: str = ""
    method: str = ""
    meter: str = ""
    about: str = ""
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class AnswerCleaningTest:
    """What was done about a result at its action level, or `mistyped` of any."""

    test: str
    done: str


CleaningTestsCommand = KeepCleaningTest | AnswerCleaningTest
