"""The exposure note on the screen: by number only, until its person or a supervisor has opened it."""

from kiosk.core.commands import OpenNote, Page, PrintNote, Turn, WriteNote
from kiosk.core.decide.exposure_notes import DOC, NOW, ready
from kiosk.core.exposure import CHOICES, FIELDS, SEVERAL, Exposure, ExposureNote
from kiosk.core.glance import Glance, hand, head
from kiosk.core.stamp import local_time
from kiosk.core.state.jobs import Job
from kiosk.core.viewing.packing import where_words
from kiosk.core.viewing.rows import listed
from kiosk.core.views import Hand, Key, ListRow, ListView, MenuView, NumberView, View
from kiosk.core.vocabulary import Role


def exposures(g: Glance) -> ListView:
    """The notes by number and time, newest first: nothing else is known here."""
    say = g.words.say
    rows = [
        ListRow(
            title=say("note.row", number=one.number, time=_moment(one)),
            value=say("note.printed") if one.prints else say("note.open"),
            icon="arrow_right",
            send=OpenNote(n=one.n),
            name=f"note {one.number}",
        )
        for one in reversed(g.bench.exposures)
    ]
    return listed(
        g,
        rows,
        page=Page.EXPOSURES,
        title=say("note.list_title"),
        help_=say("note.list_help"),
        nothing=say("note.none"),
        back=Turn(page=Page.DESK if _is_lead(g) else Page.HAPPENED),
    )


def _moment(one: Exposure) -> str:
    return f"{local_time(one.at_ms, one.offset_min):%Y-%m-%d %H:%M}"


def note(g: Glance) -> View:
    """The note that is open: each field a row."""
    if g.note is None:
        return exposures(g)
    say = g.words.say
    one = next(x for x in g.bench.exposures if x.n == g.note.n)
    at = g.turn.number if g.turn else 0
    rows = [
        ListRow(
            title=say(f"note.field.{field}"),
            value=answer(g, g.note, field) or say("note.open"),
            icon="arrow_right",
            send=Turn(page=Page.NOTE_FIELD, subject=f"{field}:{at}"),
            name=f"field {field}",
        )
        for field in FIELDS
    ]
    where = ", ".join(part for part in (one.tray, one.item, check_of(g, one)) if part)
    job = next((job for job in reversed(g.bench.jobs) if (job.doc, job.number) == (DOC, one.number)), None)
    again = "note.again" if one.prints and job is not None and job.settled else "note.print"
    print_ = g.key(again, PrintNote(number=at), kind="main", icon="printer", name="print note")
    return listed(
        g,
        rows,
        page=Page.NOTE,
        title=say("note.title", number=one.number, time=_moment(one)),
        help_=_paper_words(g, job) or where,
        nothing="",
        hand=_back_to(g, Turn(page=Page.EXPOSURES)),
        main=print_ if ready(g.note) else None,
        kept=1,
    )


def _paper_words(g: Glance, job: Job | None) -> str:
    """What became of its paper, as other papers say it; "" before it is asked for."""
    if job is None:
        return ""
    state = g.words.say("print.state.why" if job.why else "print.state.asked")
    return f"{g.words.say('print.doc.exposure_note')}: {where_words(g, job.where) if job.where else state}."


def _back_to(g: Glance, to: Turn) -> Hand:
    return hand(g, left=(g.key("rail.back", to, icon="arrow_left"),))


def check_of(g: Glance, one: Exposure) -> str:
    """The check that was being done, in words."""
    name = one.key.rpartition(".")[2]
    return g.words.some(f"name.{name}") if name else ""


def answer(g: Glance, told: ExposureNote, field: str) -> str:
    """What was told of a field, in words; "" where nothing was."""
    if field in SEVERAL:
        return ", ".join(g.words.say(f"note.{field}.{part}").replace("\n", " ") for part in told.values(field))
    value = told.value(field)
    if field == "person":
        person = g.desk.catalogue.people.get(value)
        return f"{person.name}, {g.words.say(f'note.role.{person.role}')}" if person else value
    if field == "told_at" and value:
        return f"{value[:2]}:{value[2:]}"
    return value


def note_field(g: Glance) -> View:
    """One field: people to pick from, things that may be several, or a time."""
    field = _asked(g)
    if g.note is None or field not in FIELDS:
        return exposures(g)
    if field in SEVERAL:
        return _several(g, g.note, field)
    return _time(g) if field == "told_at" else _people(g, field)


def _asked(g: Glance) -> str:
    """The field that is asked for: `person` of `person:1`."""
    return g.turn.subject.partition(":")[0] if g.turn else ""


def _page(g: Glance) -> int:
    """The page of the note that the field stands on: there one goes back to."""
    page = g.turn.subject.partition(":")[2] if g.turn else ""
    return int(page) if page.isdecimal() else 0


def _back_to_note(g: Glance) -> Hand:
    return _back_to(g, Turn(page=Page.NOTE, number=_page(g)))


def _several(g: Glance, told: ExposureNote, field: str) -> MenuView:
    say = g.words.say
    chosen = told.values(field)
    return MenuView(
        head=head(g, title=g.bench_name),
        hand=_back_to_note(g),
        title=say(f"note.ask.{field}"),
        help=say("note.several"),
        notice=g.said(),
        lines=(answer(g, told, field),) if chosen else (),
        keys=tuple(_toggle(g, field, part, chosen) for part in CHOICES[field]),
    )


def _toggle(g: Glance, field: str, part: str, chosen: tuple[str, ...]) -> Key:
    """Touched once it counts, touched again it does not; what counts is dark, and stands in words above."""
    after = [each for each in CHOICES[field] if (each in chosen) is not (each == part)]
    if part == "nothing":
        after = [] if part in chosen else [part]
    elif "nothing" in after:
        after.remove("nothing")
    return Key(
        label=g.words.say(f"note.{field}.{part}"),
        send=WriteNote(field=field, value=",".join(after), number=_page(g)),
        kind="main" if part in chosen else "plain",
        name=f"pick {part}",
    )


def _people(g: Glance, field: str) -> ListView:
    people = list(g.desk.catalogue.people.values())
    people.sort(key=lambda person: person.name.casefold())
    lead = _is_lead(g)
    if field == "person":
        rows = [(p.name, p.id) for p in people if lead or p.id == g.bench.who]
    else:
        own = g.desk.first_aid
        called = (own.call, *own.then) if own else ()
        rows = [(p.name, p.name) for p in people if p.role is Role.SUPERVISOR] + [
            (one.name, one.name) for one in called
        ]
        rows.append((g.words.say("note.told.nobody"), g.words.say("note.told.nobody")))
    return listed(
        g,
        [
            ListRow(title=name, send=WriteNote(field=field, value=value, number=_page(g)), name=f"pick {value}")
            for name, value in rows
        ],
        page=Page.NOTE_FIELD,
        subject=f"{field}:{_page(g)}",
        title=g.words.say(f"note.ask.{field}"),
        nothing="",
        hand=_back_to_note(g),
    )


def _time(g: Glance) -> NumberView:
    say, at = g.words.say, _page(g)
    now = g.key("note.now", WriteNote(field="told_at", value=NOW, number=at), name="now")
    return NumberView(
        head=head(g, title=g.bench_name),
        hand=hand(g, left=_back_to_note(g).left, right=(now,)),
        title=say("note.ask.told_at"),
        help=say("note.time_help"),
        notice=g.said(),
        purpose="other",
        send=WriteNote(field="told_at", value="", number=at),
        field="value",
        as_text=True,
        most=4,
        done=say("number.minutes.done"),
        erase=say("number.erase"),
    )


def desk_key(g: Glance) -> Key | None:
    """For the supervisor, as soon as there is an exposure."""
    return _key(g) if _is_lead(g) and g.bench.exposures else None


def _is_lead(g: Glance) -> bool:
    """Is a supervisor signed in?"""
    person = g.desk.catalogue.people.get(g.bench.who or "")
    return person is not None and person.role is Role.SUPERVISOR


def own_key(g: Glance) -> Key | None:
    """For the person, where the newest exposure has no printed note yet."""
    return _key(g) if any(not one.prints for one in g.bench.exposures) else None


def _key(g: Glance) -> Key:
    return g.key("note.key", Turn(page=Page.EXPOSURES), icon="lock", name="exposure notes")


PAGES = {Page.EXPOSURES: exposures, Page.NOTE: note, Page.NOTE_FIELD: note_field}
