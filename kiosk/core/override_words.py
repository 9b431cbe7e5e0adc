"""An override in words: what is let go on, and why. Screens and papers say it alike."""

from kiosk.core.glance import Glance, piece_name
from kiosk.core.state.trip import Trip


def said_of(g: Glance, trip: Trip | None, what: str, subjects: tuple[str, ...]) -> str:
    """What is let go on: "Pack short: Forceps, 3 of 4"."""
    return g.words.say(f"override.what.{what}", what=", ".join(_subject(g, trip, name) for name in subjects))


def _subject(g: Glance, trip: Trip | None, name: str) -> str:
    if trip is not None and name in trip.pieces:
        return piece_name(g, trip.pieces[name])
    row = next((row for row in trip.differences if row[0] == name), None) if trip else None
    return g.words.say("override.line", line=name, have=row[2], want=row[1]) if row else name


def why_words(g: Glance, reason: str, words: str) -> str:
    """The reason picked, and the giver's own words after it."""
    if words[1:2].islower():  # the letters on the glass begin large; here they go on in a sentence
        words = words[0].lower() + words[1:]
    if reason == "other":
        return words
    picked = g.words.say(f"override.reasons.{reason}")
    return f"{picked}; {words}" if words else picked
