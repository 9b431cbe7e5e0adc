"""The exposure note: facts for whoever helps the person. Nothing medical, no fault, nobody else but whom was told."""

from collections.abc import Callable

from kiosk.core.composing.parts import ReportOrder, moment, report_foot
from kiosk.core.exposure import Exposure, ExposureNote
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.stamp import local_time
from kiosk.core.viewing.exposure_notes import answer, check_of


def exposure_note(g: Glance, order: ReportOrder) -> Report:
    """The note that lies open. It can be printed by nobody else, and from nowhere else."""
    note = g.note
    if note is None or str(note.n) != order.about:
        raise LookupError(f"the note {order.number} is not open")
    one = next(x for x in g.bench.exposures if x.n == note.n)
    say = g.words.say
    keep = say("note.paper.keep_copy" if order.copy else "note.paper.keep")
    return Report(
        doc=order.doc,
        title=say("note.paper.title"),
        number=order.number,
        about=say("note.paper.about"),
        headline=g.words.lines("note.paper.headline"),
        sections=(
            Section(title=say("note.paper.who"), lines=_lines(g, _who(g, note, one))),
            Section(title=say("note.paper.what"), lines=_lines(g, _what(g, note, one))),
            Section(title=say("note.paper.care"), lines=_lines(g, _care(g, note, one)), note=keep),
        ),
        signature=(),
        foot=report_foot(g, order),
    )


def _lines(g: Glance, rows: list[tuple[str, str]]) -> tuple[SheetLine, ...]:
    return tuple(
        SheetLine(label=g.words.say(f"note.paper.line.{key}"), value=value or g.words.say("note.paper.not_said"))
        for key, value in rows
    )


def _at(one: Exposure) -> str:
    return f"{local_time(one.at_ms, one.offset_min):%Y-%m-%d %H:%M}"


def _who(g: Glance, note: ExposureNote, one: Exposure) -> list[tuple[str, str]]:
    return [("person", answer(g, note, "person")), ("when", _at(one)), ("bench", g.bench_name)]


def _what(g: Glance, note: ExposureNote, one: Exposure) -> list[tuple[str, str]]:
    """What lay on the bench is left out where the log knows nothing of it: nobody is asked for that afterwards."""
    seen = g.desk.findings[one.seen].say if one.seen else ""
    lay = [("tray", one.tray), ("item", one.item), ("check", check_of(g, one)), ("seen", seen)]
    return [
        ("happened", answer(g, note, "happened")),
        *(row for row in lay if row[1]),
        ("worn", answer(g, note, "worn")),
    ]


def _care(g: Glance, note: ExposureNote, one: Exposure) -> list[tuple[str, str]]:
    say = g.words.say
    told, at = answer(g, note, "told"), answer(g, note, "told_at")
    return [
        ("aid", answer(g, note, "aid")),
        ("began", _at(one)),
        ("told", say("note.paper.told_at", name=told, time=at) if told and at else told),
        ("bench_clean", moment(g, one.bench_ms) if one.bench_ms is not None else say("note.paper.not_recorded")),
        ("trays", ", ".join(one.trays) or say("note.paper.no_tray")),
    ]


REPORTS: dict[str, Callable[[Glance, ReportOrder], Report]] = {"exposure_note": exposure_note}
