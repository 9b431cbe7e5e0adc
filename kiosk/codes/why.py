"""Why a code was not taken, in one plain sentence each: what `Meaning.why` says."""

from enum import StrEnum


class Why(StrEnum):
    """Sentences; those of GS1 are filled with the application identifier they speak of."""

    UNKNOWN = "This bench does not know this label."
    EMPTY = "There is nothing in this code."
    CHECK = "One character of this code is wrong. Scan it again, or type it again."
    TICKET = "This ticket's code is damaged, or not as its bench printed it. Type the number."
    CHECK_LEFT_OUT = "Type the check character at the end of the number too."
    GS1_EMPTY = "There is nothing in this GS1 code."
    GS1_BRACKETS = "The brackets of this GS1 code do not fit together."
    GS1_CHARACTERS = "This GS1 code holds a character that GS1 does not allow."
    GS1_SEPARATORS = "This GS1 code holds two separators in a row."
    GS1_SHAPE = "This GS1 code can not be read at {at}."
    GS1_CHECK = "The check digit of ({ai}) does not fit. Scan it again."
    GS1_DATE = "({ai}) names a day or time that does not exist."
    GS1_TWICE = "({ai}) stands twice in this GS1 code."
    GS1_PAIR = "({ai}) and ({other}) can not stand in one GS1 code."
