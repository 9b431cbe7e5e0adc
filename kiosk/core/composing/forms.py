"""Numbered spare forms for when printer or tool is down, and the audit pack drawn at random. Boxes to fill by hand."""

from collections.abc import Iterator
from dataclasses import replace
from itertools import zip_longest

from kiosk.core import events as e
from kiosk.core.composing.parts import Order, ReportOrder, moment, report_foot
from kiosk.core.composing.policy_page import policy_sections
from kiosk.core.composing.sheet import sheet
from kiosk.core.decide.desk_papers import form_number
from kiosk.core.glance import Glance
from kiosk.core.papers import Report, Section, SheetLine, TraySheet
from kiosk.core.past.records import told_trip
from kiosk.core.state.trip import Trip

BLANK = "\u00a0"
"""A blank that is not closed up."""

PARTS = {"return_ticket": ("choice", "goes", "stays"), "tray_sheet": ("sheet",)}
"""Kind of form -> its parts on the page: a ticket is torn in two, as the printed one is."""

ROOM_MM = {"return_ticket": 6.0, "tray_sheet": 8.0}
"""White to write on below each field, so that a form fills its one page (letter is the lower of the two papers)."""


def spare_forms(g: Glance, order: ReportOrder) -> Report:
    """The forms of one issue, a page each, with the fields of the real paper in the same order."""
    say = g.words.say
    issued = next(
        k.event
        for _, k in g.desk.records.kept("forms_issued")
        if isinstance(k.event, e.FormsIssued) and f"{k.event.kind}/{k.event.first}" == order.about
    )
    forms = [form_number(g.desk.bench_number, n) for n in range(issued.first, issued.first + issued.many)]
    numbers = {"first": forms[0], "last": forms[-1]}
    return Report(
        doc=order.doc,
        title=say(f"forms.title.{issued.kind}"),
        number=order.number,
        about=say("forms.about", **numbers),
        headline=(say("forms.never_again"),),
        sections=(
            Section(title=say("forms.how_title"), paragraphs=g.words.lines("forms.how")),
            Section(title=say("forms.book_title"), lines=_book(g, forms)),
            *(section for number in forms for section in _form(g, issued.kind, number)),
        ),
        foot=report_foot(g, order),
    )


def _book(g: Glance, forms: list[str]) -> tuple[SheetLine, ...]:
    """A line a form, two beside each other: when it was used, and when it was entered."""
    half = (len(forms) + 1) // 2
    written = [g.words.say("forms.book_line", number=number) for number in forms]
    pairs = zip_longest(written[:half], written[half:], fillvalue="")
    return tuple(SheetLine(label=one, value=other) for one, other in pairs)


def _form(g: Glance, kind: str, number: str) -> Iterator[Section]:
    """One form on one page: the fields of the paper that it stands for, in their order, with room to write."""
    say, parts = g.words.say, PARTS[kind]
    for part in parts:
        yield Section(
            title=say(f"forms.part.{part}", doc=say(f"print.doc.{kind}"), number=number),
            lines=tuple(SheetLine(label=_boxed(field)) for field in g.words.lines(f"forms.fields.{part}")),
            note=say("forms.entered_note") if part == parts[-1] else "",
            new_page=part == parts[0],
            room_mm=ROOM_MM[kind],
        )


def _boxed(field: str) -> str:
    return field.replace("[  ]", f"[{BLANK * 3}]").replace("   ", f"{BLANK * 3} ")


def audit_pack(g: Glance, order: ReportOrder) -> Report:
    """Every policy that the trips drawn ran under, then each trip's record: done, found, not seen. No names."""
    say = g.words.say
    drawn = next(
        k.event
        for _, k in g.desk.records.kept("audit_drawn", holding=order.number)
        if isinstance(k.event, e.AuditDrawn) and k.event.number == order.number
    )
    trips = {trip: told_trip(g.desk.records.of_trip(trip)) for trip in drawn.trips}
    versions = sorted({trip.policy for trip in trips.values() if trip is not None} or {g.desk.policy.version})
    return Report(
        doc=order.doc,
        title=say("audit.title"),
        number=order.number,
        about=say("audit.about", n=len(drawn.trips), of=drawn.of, seed=drawn.seed),
        headline=(say(f"audit.aloud.{'one' if len(drawn.trips) == 1 else 'many'}", n=len(drawn.trips), of=drawn.of),),
        sections=(
            Section(
                title=say("audit.rule_title"),
                paragraphs=(say("audit.rule", seed=drawn.seed, since=moment(g, drawn.since_ms)),),
            ),
            *(section for n, version in enumerate(versions) for section in _policy(g, version, first=not n)),
            *(_record(_without_names(g), name, trip) for name, trip in trips.items()),
        ),
        foot=report_foot(g, order),
    )


def _policy(g: Glance, version: int, *, first: bool) -> Iterator[Section]:
    """One version of the policy, on pages of its own; a version that no log here holds is named as unknown."""
    known = g.desk.policies.get(version, g.desk.policy if version == g.desk.policy.version else None)
    said = g.words.say("paper.policy.first" if known else "audit.policy_unknown")
    yield Section(title=g.words.say("audit.policy", n=version), paragraphs=(said,), new_page=not first)
    if known is not None:
        yield from policy_sections(g, known)


def _without_names(g: Glance) -> Glance:
    """People by what they are: the pack names nobody."""
    people = {
        code: replace(person, name=g.words.say(f"role.{person.role}").lower())
        for code, person in g.desk.catalogue.people.items()
    }
    return replace(g, desk=replace(g.desk, catalogue=replace(g.desk.catalogue, people=people)))


def _record(g: Glance, trip_id: str, trip: Trip | None) -> Section:
    """One trip's sheet as lines, without the people on it, and the policy that it ran under."""
    if trip is None:
        return Section(title=trip_id, paragraphs=(g.words.say("trip.unknown"),), new_page=True)
    paper = sheet(g, Order(trip=trip, doc="tray_sheet", number=trip.id))
    return Section(
        title=f"{paper.tray_name} · {paper.tray_code} · {paper.trip}",
        paragraphs=tuple(filter(None, (paper.headline, paper.not_seen, paper.shares, *paper.exceptions))),
        lines=(
            SheetLine(label=g.words.say("audit.policy_of_trip"), value=str(trip.policy)),
            *paper.facts,
            *_counted(g, paper),
            *_pieces(paper),
        ),
        new_page=True,
    )


def _counted(g: Glance, paper: TraySheet) -> Iterator[SheetLine]:
    """Count lines that differ, each; the others as their number: a hundred lines as listed are one."""
    differ = [line for line in paper.counts if len(set(line.value.split(" / "))) > 1]
    yield from differ
    if same := len(paper.counts) - len(differ):
        yield SheetLine(label=g.words.say("audit.as_listed.one" if same == 1 else "audit.as_listed.many", n=same))


def _pieces(paper: TraySheet) -> Iterator[SheetLine]:
    """A line a way, below its piece."""
    for piece in paper.pieces:
        yield SheetLine(label=piece.name, value=piece.result, note=" ".join(piece.notes))
        for way in piece.lumens:
            result = " · ".join(filter(None, (way.result, way.not_seen)))
            yield SheetLine(label=f"{way.name}: {way.checks}", value=result)


REPORTS = {"downtime_sheet": spare_forms, "audit_pack": audit_pack}
