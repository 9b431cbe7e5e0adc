"""What the papers say of an override that was given. One that was refused stands on no paper."""

from kiosk.core.bench import Override, Trip
from kiosk.core.glance import Glance


def override_lines(g: Glance, trip: Trip) -> tuple[str, ...]:
    """The trip's overrides: what, why, who asked, who gave it, the second person, when."""
    return tuple(_line(g, trip, one) for one in trip.overrides)


def _line(g: Glance, trip: Trip, one: Override) -> str:
    say = g.words.say
    what = ", ".join(_subject(g, trip, name) for name in one.subjects)
    picked = "" if one.reason == "other" else say(f"override.reasons.{one.reason}")
    how = say("override.sheet_phone") if one.phone else ""
    if one.second:
        how += say("override.sheet_second", name=g.name_of(one.second))
    elif one.alone:
        how += say("override.sheet_alone")
    return say(
        "override.sheet",
        what=say(f"override.what.{one.what}", what=what),
        why="; ".join(part for part in (picked, one.words) if part),
        asked=g.name_of(one.asked),
        given=g.name_of(one.by),
        how=how,
        time=g.clock(one.at_ms),
    )


def _subject(g: Glance, trip: Trip, name: str) -> str:
    if name in trip.pieces:
        return trip.pieces[name].plan.name
    row = next((row for row in trip.differences if row[0] == name), None)
    return g.words.say("override.line", line=name, have=row[2], want=row[1]) if row else name
