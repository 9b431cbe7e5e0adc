"""What the papers say of an override that was given. One that was refused stands on no paper."""

from kiosk.core.glance import Glance
from kiosk.core.override_words import said_of, why_words
from kiosk.core.state.ruled import Override
from kiosk.core.state.trip import Trip


def override_lines(g: Glance, trip: Trip) -> tuple[str, ...]:
    """The trip's overrides: what, why, who asked, who gave it, the second person, when."""
    return tuple(_line(g, trip, one) for one in trip.overrides)


def _line(g: Glance, trip: Trip, one: Override) -> str:
    say = g.words.say
    how = say("override.sheet_phone") if one.phone else ""
    if one.second:
        how += say("override.sheet_second", name=g.name_of(one.second))
    elif one.alone:
        how += say("override.sheet_alone")
    return say(
        "override.sheet",
        what=said_of(g, trip, one.what, one.subjects),
        why=why_words(g, one.reason, one.words),
        asked=g.name_of(one.asked),
        given=g.name_of(one.by),
        how=how,
        time=g.clock(one.at_ms),
    )
