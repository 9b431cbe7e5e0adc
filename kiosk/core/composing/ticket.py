"""The return ticket in two parts: what was seen, where, how it was found, what to do. No names, no blame."""

from dataclasses import replace

from kiosk.core.composing.parts import Order, foot, mark, moment, plain_name
from kiosk.core.exposure import BESIDE
from kiosk.core.folds.turnouts import row_of
from kiosk.core.glance import Glance, finding_place, place_words
from kiosk.core.papers import ReturnTicket, SheetLine
from kiosk.core.place import Place
from kiosk.core.state.jobs import Job
from kiosk.core.state.piece import FindingOn, Piece
from kiosk.core.state.tickets import Ticket
from kiosk.core.state.trip import Trip
from kiosk.core.ticket_card import card_of
from kiosk.core.together.repeats import in_a_row, visits
from kiosk.core.together.returns import find_return
from kiosk.core.together.rush import rush_of
from kiosk.core.vocabulary import Group


def ticket(g: Glance, order: Order) -> ReturnTicket:
    """The ticket `order.number` of the trip."""
    trip, say = order.trip, g.words.say
    made = next(t for t in trip.tickets if t.number == order.number)
    findings = [trip.finding(n) for n in made.findings]
    pieces = [trip.pieces[name] for name in made.pieces]
    unsure = all(f.group == "check" for f in findings)
    reach = bool(findings) and all(f.code == "cannot_reach" for f in findings)
    fell = bool(findings) and all(f.code == "dropped" for f in findings)
    word = "check" if reach else "unsure" if unsure and findings else "found" if findings else "exposed"
    word = "fell" if fell else word
    if made.why == "load_withdrawn":
        word = made.why
    return ReturnTicket(
        number=made.number,
        code=g.desk.encode(made.number),
        code_text=g.desk.with_check(made.number),
        header=say("paper.ticket.header"),
        scope=say("paper.ticket.tray") if made.whole_tray else say("paper.ticket.piece"),
        not_clear=say(f"paper.ticket.word.{word}"),
        ring="unsure" if unsure else "found",
        said=tuple(dict.fromkeys(g.desk.findings[f.code].say for f in findings)),
        pieces=tuple(piece_line(g, trip, piece, findings) for piece in pieces),
        tray=f"{trip.tray.name} · {trip.tray.code}",
        marks=tuple(mark(g, trip, f, i) for i, f in enumerate(_on_pieces(findings), 1)),
        how_found=_how(g, findings),
        todo=_todo(g, trip, made, findings),
        together=" ".join(dict.fromkeys(_together(g, piece) for piece in pieces if _together(g, piece))),
        warnings=_warnings(g, pieces, findings),
        effort=_effort(g, trip, pieces) if any(f.fails for f in findings) else "",
        facts=_facts(g, trip, made),
        biohazard=say("paper.ticket.biohazard"),
        receive=say("paper.ticket.receive", number=g.desk.with_check(made.number)),
        data=_data(g, trip, made),
        data_words=say("paper.ticket.data"),
        copy_lines=_copy_lines(g, order) if order.copy else (),
        part_d=say("paper.ticket.part_d_tray" if made.whole_tray else "paper.ticket.part_d"),
        part_c=say("paper.ticket.part_c_tray" if made.whole_tray else "paper.ticket.part_c"),
        c_lines=_part_c(g, trip, made),
        foot=foot(g, order),
    )


APART_MS = 60_000
"""Without a word from the hub for so long, this station counts as apart from decontam's."""


def _data(g: Glance, trip: Trip, made: Ticket) -> str:
    """The data code, by policy always, or while the hub is not reached: then decontam may not have heard of it."""
    rule, hub = g.desk.policy.ticket_data_code, g.desk.hub
    apart = hub is not None and g.now.at_ms - hub.ok_ms > APART_MS
    if g.desk.seal is None or not (rule == "every_ticket" or (rule == "when_apart" and apart)):
        return ""
    return g.desk.seal(card_of(trip, made))


def _on_pieces(findings: list[FindingOn]) -> list[FindingOn]:
    """Without what hit the tray as a whole: a splash has no place on a tube."""
    return [f for f in findings if f.group != Group.EVENT or f.place != Place()]


def _copy_lines(g: Glance, order: Order) -> tuple[str, ...]:
    """What keeps a late print out of decontam: it says how the return went, and that it was taken in."""
    say = g.words.say
    lines = []
    found = find_return(g.bench, g.desk, order.number)
    hand = next((job for job in order.trip.jobs if job.number == order.number and job.by_hand), None)
    if hand is not None:
        key = "paper.copies.by_hand" if hand.form else "paper.copies.by_hand_bare"
        lines.append(say(key, form=hand.form, time=g.since(hand.by_hand_ms)))
    if found is not None and found.back.received_ms is not None:
        lines.append(say("paper.copies.received", time=g.since(found.back.received_ms)))
    if hand is not None or lines:
        lines.append(say("paper.copies.file"))
    return tuple(lines)


def piece_line(g: Glance, trip: Trip, piece: Piece, findings: list[FindingOn]) -> str:
    """The piece, or the count line that was touched for a piece without a lumen."""
    if piece.item is None:
        named = [f.place.landmark for f in findings if f.piece == piece.name and f.place.landmark]
        return named[0] if named else g.words.say("name.others")
    line = plain_name(g, piece)
    if piece.mark:
        return f"{line}, {piece.mark}"
    return line if piece.item.own_mark or piece.item.qty == 1 else f"{line}. {g.words.say('paper.ticket.mark')}"


def _how(g: Glance, findings: list[FindingOn]) -> str:
    say = g.words.say
    checks = [f.key.rpartition(".")[2] for f in findings if f.key != BESIDE]
    methods = dict.fromkeys(say(f"paper.ticket.by_method.{check}") for check in checks)
    return say("paper.ticket.found_by", method=", ".join(methods)) if methods else ""


def _todo(g: Glance, trip: Trip, made: Ticket, findings: list[FindingOn]) -> tuple[str, ...]:
    lines = [g.words.say("paper.ticket.whole_todo")] if made.whole_tray else []
    if made.whole_tray:
        out = [plain_name(g, p) for p in trip.pieces.values() if p.item and p.ticket != made.number]
        if out:
            lines.append(g.words.say("paper.ticket.not_with_it", pieces=", ".join(dict.fromkeys(out))))
    if made.why == "stopped":
        lines.append(g.words.say("paper.ticket.exposed"))
    for finding in findings:
        kind = g.desk.findings[finding.code]
        if finding.first:
            where = finding_place(g, trip, finding) or trip.pieces[finding.piece].plan.name
            lines.append(g.desk.findings["unsure"].to_decontam.format(place=_in_words(g, trip, finding) or where))
            continue
        if finding.code in {"splash", "sharps_injury"} and made.whole_tray:
            lines.append(g.words.say(f"paper.ticket.{finding.code}"))
            continue
        if finding.code == "unsure":
            lines.append(g.words.say("paper.ticket.doubtful", place=finding_place(g, trip, finding)))
            continue
        if not kind.to_decontam:
            lines.append(g.words.say("paper.ticket.again"))
            continue
        piece = trip.pieces[finding.piece]
        where = finding_place(g, trip, finding) or piece.plan.name
        names = {
            "place": _in_words(g, trip, finding, depth="{depth}" not in kind.to_decontam) or where,
            "depth": where,
            "item": piece.plan.name,
            "tray": trip.tray.code,
            "load": trip.load or "-",
        }
        lines.append(kind.to_decontam.format(**names))
    return tuple(dict.fromkeys(lines))


def _in_words(g: Glance, trip: Trip, finding: FindingOn, *, depth: bool = True) -> str:
    """ "the lumen, 13 cm from ENTRY", as it stands after "in"; `depth` False: the lumen alone. "" for a named place."""
    say, place, item = g.words.say, finding.place, trip.pieces[finding.piece].item
    if place.landmark or not (place.all_along or place.at_mm is not None):
        return ""
    lumen = place.lumen if item and len(item.lumens) > 1 else say("place.the_lumen")
    where = say("place.along") if place.all_along else place_words(g, replace(place, lumen=""))
    return say("place.inside", lumen=lumen, place=where) if depth else lumen


def _together(g: Glance, piece: Piece) -> str:
    kind = g.desk.types.get(piece.item.type) if piece.item else None
    return kind.together if kind and piece.item and piece.item.takes_apart else ""


def _warnings(g: Glance, pieces: list[Piece], findings: list[FindingOn]) -> tuple[str, ...]:
    warnings = [g.words.say("paper.ticket.wet")] if any(f.group == "wet" for f in findings) else []
    for piece in pieces:
        kind = g.desk.types.get(piece.item.type) if piece.item else None
        if kind and kind.warning:
            warnings.append(kind.warning)
    soiled = [f.tool for f in findings if f.tool in g.bench.scopes and g.bench.scopes[f.tool].out_of_use]
    warnings += [g.words.say("paper.ticket.scope_with", scope=scope) for scope in soiled]
    return tuple(dict.fromkeys(warnings))


def _effort(g: Glance, trip: Trip, pieces: list[Piece]) -> str:
    rows = {row_of(trip, piece.name) for piece in pieces}
    most = max((in_a_row(visits(g.bench, g.desk, row)) for row in rows), default=0)
    if most < g.desk.policy.tell_lead_at:
        return ""
    return g.words.say("paper.ticket.second") if most == 2 else g.words.say("paper.ticket.nth", n=most)


def _facts(g: Glance, trip: Trip, made: Ticket) -> tuple[SheetLine, ...]:
    say = g.words.say
    back = say("paper.ticket.back_to_tray") if made.whole_tray else say("paper.ticket.back_to")
    rows = [
        ("load", trip.load or "-"),
        ("back_to", back),
        ("time", g.clock(made.at_ms)),
    ]
    mark = rush_of(g.bench, g.desk, trip.tray.code)
    if mark is not None:
        rows.append(("wanted", mark.by))
    return tuple(SheetLine(label=say(f"paper.ticket.fact.{key}"), value=value) for key, value in rows)


def _part_c(g: Glance, trip: Trip, made: Ticket) -> tuple[SheetLine, ...]:
    say = g.words.say
    if made.whole_tray:  # nothing stays on the shelf
        whole = (("sent", moment(g, made.at_ms)), ("again", say("paper.ticket.all_checks")))
        return tuple(SheetLine(label=say(f"paper.ticket.c.{key}"), value=value) for key, value in whole)
    names = ", ".join(plain_name(g, trip.pieces[name]) for name in made.pieces if trip.pieces[name].item)
    rows = [
        ("waits", names or say("name.others")),
        ("again", say("paper.ticket.all_checks")),
        ("covered", moment(g, made.at_ms)),
        ("place", ""),
    ]
    short = ", ".join(f"{line} {have}/{want}" for line, want, have in trip.differences)
    if short:
        rows.insert(1, ("missing", short))
    return tuple(SheetLine(label=say(f"paper.ticket.c.{key}"), value=value) for key, value in rows)


def ticket_by_hand(g: Glance, trip: Trip, job: Job) -> tuple[str, ...]:
    """The lines of a ticket to copy onto a spare form."""
    paper = ticket(g, Order(trip=trip, doc=job.doc, number=job.number))
    return (paper.scope, *paper.pieces, *paper.said, *(m.words for m in paper.marks if m.words), *paper.todo)
