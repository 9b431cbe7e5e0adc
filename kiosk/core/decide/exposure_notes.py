"""The exposure note: opened by its person or a supervisor, told field by field, printed once for both."""

from kiosk.core import events as e
from kiosk.core.commands import OpenNote, Page, PrintNote, Turn, WriteNote
from kiosk.core.decide.pen import Pen, Refused
from kiosk.core.exposure import CHOICES, FIELDS, SEVERAL, Exposure, ExposureNote, NoteEntry
from kiosk.core.stamp import local_time, time_of_day
from kiosk.core.vocabulary import Role

DOC = "exposure_note"
LONGEST = 60
NOW = "now"
"""What is told in place of a time of day that is just now."""


def is_lead(pen: Pen) -> bool:
    """Is a supervisor signed in?"""
    person = pen.desk.catalogue.people.get(pen.bench.who or "")
    return person is not None and person.role is Role.SUPERVISOR


def open_note(pen: Pen, command: OpenNote) -> None:
    """Ask for the note; the store gives it to its person and to a supervisor, and writes down who asked."""
    if all(exposure.n != command.n for exposure in pen.bench.exposures):
        raise Refused("refused.not_asked")
    pen.opens = command.n
    pen.turn = Turn(page=Page.NOTE)


def write_note(pen: Pen, command: WriteNote) -> None:
    """One field of the note, whole. It may be told again: the last word stands, the others stay."""
    note = _open(pen)
    known = command.field in FIELDS and len(command.value) <= LONGEST
    chosen = command.value.split(",") if command.field in SEVERAL and command.value else ()
    if not known or any(part not in CHOICES[command.field] for part in chosen):
        raise Refused("refused.not_asked")
    if command.field == "person" and command.value not in pen.desk.catalogue.people:
        raise Refused("refused.unknown_person")
    if command.field == "person" and not is_lead(pen) and command.value != pen.bench.who:
        raise Refused("refused.not_your_note")
    value = _clock(pen, command.value) if command.field == "told_at" else command.value
    pen.entries.append(_entry(pen, note.n, command.field, value))
    several = Turn(page=Page.NOTE_FIELD, subject=f"{command.field}:{command.number}")
    pen.turn = several if command.field in SEVERAL else Turn(page=Page.NOTE, number=command.number)


def _clock(pen: Pen, text: str) -> str:
    """A time of day as typed, or now, as four figures."""
    at = local_time(pen.now.at_ms, pen.now.offset_min).time() if text == NOW else time_of_day(text)
    if at is None:
        raise Refused("refused.told_time")
    return f"{at:%H%M}"


def _entry(pen: Pen, n: int, field: str, value: str) -> NoteEntry:
    return NoteEntry(
        note=n, field=field, value=value, by=pen.bench.who or "", at_ms=pen.now.at_ms, offset_min=pen.now.offset_min
    )


def print_note(pen: Pen, command: PrintNote) -> None:
    """Once, for the person and the supervisor. A further print is marked as a copy, or refused, as policy says."""
    note = _open(pen)
    exposure = exposure_of(pen, note)
    if not ready(note):
        raise Refused("refused.note_not_ready")
    job = next((job for job in reversed(pen.bench.jobs) if (job.doc, job.number) == (DOC, exposure.number)), None)
    if job is not None and not job.settled and not job.why:
        raise Refused("refused.not_asked")  # it is on its way
    copy = exposure.prints if job is None or job.settled else job.copy
    if copy and pen.desk.policy.exposure_note_again == "refuse":
        raise Refused("refused.note_printed")
    pen.write(e.NotePrinted(n=note.n, copy=copy), private=True)
    pen.write(e.PrintAsked(doc=DOC, number=exposure.number, copy=copy, about=str(note.n)), private=True)
    pen.turn = Turn(page=Page.NOTE, number=command.number)


def ready(note: ExposureNote) -> bool:
    """Is it known who, and what happened? Everything else may stay open: nothing is refused for what was not worn."""
    return bool(note.person and note.values("happened"))


def exposure_of(pen: Pen, note: ExposureNote) -> Exposure:
    """The exposure that the note is about."""
    return next(exposure for exposure in pen.bench.exposures if exposure.n == note.n)


def _open(pen: Pen) -> ExposureNote:
    if pen.note is None or pen.bench.who is None:
        raise Refused("refused.not_asked")
    return pen.note
