"""Numbered spare forms for when printer or tool is down, and the audit pack drawn at random. Boxes to fill by hand."""

from collections.abc import Mapping

from kiosk.core import events as e
from kiosk.core.composing.parts import Order, ReportOrder, moment, report_foot
from kiosk.core.composing.sheet import sheet
from kiosk.core.decide.desk_papers import form_number
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine
from kiosk.core.policy import plain_values
from kiosk.core.records import told_trip

ROOM = "\u00a0"
"""A line left free to write on."""


def spare_forms(g: Glance, order: ReportOrder) -> Report:
    """The forms of one issue, a page each, with the fields of the real paper in the same order."""
    say = g.words.say
    issued = next(
        k.event
        for _, k in g.desk.records.kept("forms_issued")
        if isinstance(k.event, e.FormsIssued) and f"{k.event.kind}/{k.event.first}" == order.about
    )
    fields = g.words.lines(f"forms.fields.{issued.kind}")
    pages = tuple(
        Section(
            title=f"{say(f'print.doc.{issued.kind}')}  {form_number(g.desk.bench_number, n)}",
            lines=tuple(SheetLine(label=field, note=ROOM) for field in fields),
            note=say("forms.entered_note"),
            new_page=True,
        )
        for n in range(issued.first, issued.first + issued.many)
    )
    last = issued.first + issued.many - 1
    numbers = {"first": form_number(g.desk.bench_number, issued.first), "last": form_number(g.desk.bench_number, last)}
    return Report(
        doc=order.doc,
        title=say(f"forms.title.{issued.kind}"),
        number=order.number,
        about=say("forms.about", **numbers),
        headline=(say("forms.never_again"),),
        sections=(Section(title=say("forms.how_title"), paragraphs=g.words.lines("forms.how")), *pages),
        foot=report_foot(g, order),
    )


def audit_pack(g: Glance, order: ReportOrder) -> Report:
    """The policy in force, then each trip drawn with its record: what was done, found and not seen. No names."""
    say = g.words.say
    drawn = next(
        k.event
        for _, k in g.desk.records.kept("audit_drawn", holding=order.number)
        if isinstance(k.event, e.AuditDrawn) and k.event.number == order.number
    )
    policy = Section(
        title=say("audit.policy", n=g.desk.policy.version),
        lines=tuple(
            SheetLine(label=key.replace("_", " "), note=_in_words(value, key))
            for key, value in plain_values(g.desk.policy).items()
        ),
        new_page=True,
    )
    return Report(
        doc=order.doc,
        title=say("audit.title"),
        number=order.number,
        about=say("audit.about", n=len(drawn.trips), of=drawn.of, seed=drawn.seed),
        headline=(say("audit.aloud", n=len(drawn.trips), of=drawn.of),),
        sections=(
            Section(
                title=say("audit.rule_title"),
                paragraphs=(say("audit.rule", seed=drawn.seed, since=moment(g, drawn.since_ms)),),
            ),
            policy,
            *(_record(g, trip) for trip in drawn.trips),
        ),
        foot=report_foot(g, order),
    )


def _in_words(value: object, key: str = "") -> str:
    """A policy value as it is read: lists with commas, tables as name: value."""
    if isinstance(value, Mapping):
        return "; ".join(f"{name}: {_in_words(part)}" for name, part in value.items())
    if isinstance(value, list | tuple | set | frozenset):
        return ", ".join(_in_words(part) for part in value)
    text = str(value).replace("_", " ")
    return f"{text} water" if key == "water_kind" else text


def _record(g: Glance, trip_id: str) -> Section:
    """One trip's sheet as lines, without the people on it."""
    trip = told_trip(g.desk.records.of_trip(trip_id))
    if trip is None:
        return Section(title=trip_id, paragraphs=(g.words.say("trip.unknown"),), new_page=True)
    paper = sheet(g, Order(trip=trip, doc="tray_sheet", number=trip.id))
    lines = [SheetLine(label=fact.label, value=fact.value, note=fact.note) for fact in paper.facts]
    lines += [SheetLine(label=line.label, value=line.value, note=line.note) for line in paper.counts]
    for piece in paper.pieces:
        notes = " ".join(f"{one.name}: {one.checks}. {one.result}. {one.not_seen}".strip() for one in piece.lumens)
        lines.append(
            SheetLine(label=piece.name, value=piece.result, note=" ".join(filter(None, (notes, *piece.notes))))
        )
    return Section(
        title=f"{paper.tray_name} · {paper.tray_code} · {paper.trip}",
        paragraphs=tuple(filter(None, (paper.headline, paper.not_seen, paper.shares))),
        lines=tuple(lines),
        new_page=True,
    )


REPORTS = {"downtime_sheet": spare_forms, "audit_pack": audit_pack}
