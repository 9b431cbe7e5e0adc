"""Words of the pictures that the logs tell of, on the screen and in the printed lookback."""

from collections.abc import Iterator, Sequence

from kiosk.core.composing.parts import moment
from kiosk.core.glance import Glance, place_words
from kiosk.core.papers import Section, SheetLine
from kiosk.core.past.told_pictures import ToldPicture, pictures_of

SHORT = 12
"""Figures of a SHA-256 that stand where it is only to be told apart (a choice: 48 bits)."""


def picture_title(g: Glance, one: ToldPicture) -> str:
    """The piece, its lumen, and the place where the picture was taken, as far as it is known."""
    code, _, n = one.piece.partition("#")
    items = (item for tray in g.desk.catalogue.trays.values() for item in tray.items if item.id == code)
    item = next(items, None)
    name = item.name if item is not None else code
    where = one.place
    known = where.at_mm is not None or where.landmark or where.all_along
    parts = (f"{name} {n}".strip(), g.told(one.lumen) if one.lumen else "", place_words(g, where) if known else "")
    return " · ".join(filter(None, parts))


def answer_words(g: Glance, one: ToldPicture) -> str:
    """How the check was answered, what was found there, and that it is a known look."""
    say = g.words.say
    found = [g.desk.findings[code].say for code in one.found if code in g.desk.findings.kinds]
    parts = [say(f"pictures.answer.{one.answer or 'none'}"), *found]
    parts += [say("pictures.look")] if one.accepted else []
    return " · ".join(parts)


def taken_words(g: Glance, one: ToldPicture) -> str:
    """When it was taken, on which trip, at which station."""
    return g.words.say("pictures.taken", time=moment(g, one.at_ms), trip=one.trip, station=one.station)


def sha_words(g: Glance, one: ToldPicture) -> str:
    """The beginning of its SHA-256."""
    return g.words.say("pictures.sha", short=one.sha256[:SHORT])


def gone_words(g: Glance, one: ToldPicture) -> str:
    """That it was dropped, when, and why; "" where it was not."""
    if one.gone is None:
        return ""
    why = one.gone.why if one.gone.why in ("days", "room") else "days"
    return g.words.say(f"pictures.gone.{why}", date=moment(g, one.gone.at_ms).partition(" ")[0])


def _line(g: Glance, one: ToldPicture) -> SheetLine:
    said = (moment(g, one.at_ms), answer_words(g, one), sha_words(g, one), gone_words(g, one))
    trip = g.words.say("lookback.trip", trip=one.trip)
    return SheetLine(label=f"{picture_title(g, one)} · {trip}", note=" · ".join(filter(None, said)))


def pictures_section(g: Glance, trips: Sequence[str], item: str = "") -> Iterator[Section]:
    """The pictures of these trips by name: what each is of, date, answer, SHA-256; nothing where there are none."""
    lines = tuple(_line(g, one) for one in pictures_of(g.desk.records, trips, item))
    if lines:
        yield Section(title=g.words.say("pictures.section"), paragraphs=(g.words.say("pictures.rule"),), lines=lines)
